"""The table of situations against the rules of the setup sheet: asking and comparing."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from balewright.plan.crop import Crop
from balewright.plan.film.strip import Film
from balewright.plan.keeping.additive import Product
from balewright.plan.machine import BindingKind, Machine, Span
from balewright.plan.sheet.rules import plan_bale
from balewright.plan.sheet.sheet import Additive, Conditions, Sheet
from balewright.quantities.errors import BadInput, Fault
from balewright.quantities.reason import Reason
from balewright.readers.profile import shipped_profiles
from balewright.words.say import say
from balewright.words.sheet_words import label_of, value_of
from situation_rows import ORDER, Row, notes, rows, situations, table

_CLIMATES = {"cool": "cool-moist", "warm": "warm-dry"}
_PURE_ACID = Product(active_frac=1.0, density_kg_l=0.99)
_LINES = {"additive": "additive_l_t"}
_NONE = (None, 0, "none", "not used", "unknown")
_EXACT = 1e-9


@dataclass(frozen=True)
class Compared:
    """An expectation and what the sheet had instead."""

    row: Row
    agrees: bool
    found: str


@cache
def ask(name: str) -> Sheet | tuple[Fault, ...]:
    """What the rules answer to a situation: a sheet, or the faults for which there is none."""
    one = situations()[name]
    try:
        return plan_bale(machine_of(one), _conditions(one), None, "test")
    except BadInput as refused:
        return refused.faults
    except ValueError as unknown_word:
        return (Fault("crop", "a crop of the list", str(unknown_word), "Take one of them."),)


def machine_of(one: Mapping[str, Any]) -> Machine:
    """The shipped make of a situation."""
    return shipped_profiles()[one["make"]]


def _conditions(one: Mapping[str, Any]) -> Conditions:
    return Conditions(
        crop=Crop(one["crop"]),
        moisture_frac=one["moisture_frac"],
        windrow_kg_m=one["windrow_kg_m"],
        speed_m_s=one["speed_m_s"],
        slope_frac=one["slope_frac"],
        dusty=one["dusty"],
        stony=one["stony"],
        film=_film(one),
        net_roll_m=one["net_roll_m"] or None,
        storage_months=one["storage_months"],
        bales=one["bales"],
        climate=_CLIMATES[one["climate"]],
        rolls_left_m=_rolls_left_m(one),
        additive=Additive(acid=_PURE_ACID) if one.get("additive") == "acid" else None,
        row_width_m=one.get("row_width_m"),
        binding=_binding(one),
    )


def _binding(one: Mapping[str, Any]) -> BindingKind | None:
    """Twine where the table names neither net nor film and the machine has it; else nothing is
    asked for.
    """
    unnamed = not one["net_roll_m"] and not one["film_width_m"]
    twine = machine_of(one).binding(BindingKind.TWINE)
    return BindingKind.TWINE if unnamed and twine is not None else None


def _rolls_left_m(one: Mapping[str, Any]) -> tuple[float, ...]:
    """What the table names; a dispenser it does not name is empty, which the rules call 0."""
    wrapper, left_m = machine_of(one).wrapper, one.get("rolls_left_m")
    if wrapper is None or left_m is None:
        return ()
    return (*left_m, *(0.0,) * (wrapper.dispensers - len(left_m)))


def _film(one: Mapping[str, Any]) -> Film | None:
    if not one["film_width_m"]:
        return None
    return Film(
        width_m=one["film_width_m"],
        thickness_m=one["film_um"] * 1e-6,
        roll_m=one["film_roll_m"],
        pre_stretch_frac=one["film_stretch_frac"],
    )


def compare(row: Row) -> Compared:
    """One expectation against the sheet of its situation."""
    answer = ask(row.situation)
    if "refused" in row.expect:
        return Compared(row, not isinstance(answer, Sheet), _answered(answer))
    if "refused_or_warned" in row.expect:
        found = _spoken(row.expect["refused_or_warned"], _words(answer))
        if isinstance(answer, Sheet):
            return Compared(row, found is not None, found or "not spoken of")
        return Compared(row, found is not None, found or _answered(answer))
    if not isinstance(answer, Sheet):
        return Compared(row, False, _answered(answer))
    return _compare_sheet(row, answer)


def _compare_sheet(row: Row, sheet: Sheet) -> Compared:
    expect = row.expect
    if "warned" in expect or "measured" in expect:
        topic, words = (
            (expect["warned"], _words(sheet))
            if "warned" in expect
            else (expect["measured"], _measures(sheet))
        )
        found = _spoken(topic, words)
        return Compared(row, found is not None, found or "not spoken of")
    if "not_warned" in expect:
        found = _spoken(expect["not_warned"], _warnings(sheet))
        return Compared(row, found is None, found or "not spoken of")
    if "conflict" in expect:
        about = [one.line for one in sheet.conflicts]
        return Compared(row, expect["conflict"] in about, ", ".join(about) or "none stated")
    if "changes" in expect:
        return _in_range(row, float(len(sheet.roll_changes)))
    if "bale" in expect:
        return _in_range(row, _of_bale(sheet, expect["bale"]))
    return _compare_line(row, sheet)


def _compare_line(row: Row, sheet: Sheet) -> Compared:
    expect, key = row.expect, _LINES.get(row.expect["line"], row.expect["line"])
    line = sheet.line(key)
    value = None if line is None else line.value
    if "absent" in expect:
        return Compared(row, value in _NONE, _shown(value))
    if "is" in expect:
        return Compared(row, str(value) in expect["is"], _shown(value))
    if not isinstance(value, int | float):
        return Compared(row, False, _shown(value))
    for name, (_, holds) in ORDER.items():
        if name in expect:
            answer = ask(expect[name])
            other = answer.number(key) if isinstance(answer, Sheet) else None
            agrees = other is not None and holds(value, other)
            return Compared(row, agrees, f"{_shown(value)} against {_shown(other)}")
    prefix, scaled = _scaled(row, sheet, key, float(value))
    return _in_range(row, scaled, prefix)


def _scaled(row: Row, sheet: Sheet, key: str, value: float) -> tuple[str, float]:
    """The value as the expectation counts it: plain, as a share of the range, or by layers."""
    if "share_low" in row.expect:
        span = offered(machine_of(situations()[row.situation]), key)
        return "share_", (value - span.low) / (span.high - span.low)
    if "layer_low" in row.expect:
        return "layer_", value / (sheet.number("layers") or float("nan"))
    return "", value


def offered(machine: Machine, key: str) -> Span:
    """What the machine's profile offers for a setting."""
    chamber, tip = machine.chamber, machine.tip
    if key == "chamber_bar":
        return chamber.density_bar or chamber.full_at
    if key == "binding_tension_frac":
        found = next(one.tension_frac for one in machine.bindings if one.kind == "net")
        assert found is not None
        return found
    return {"open_s": tip.open_s, "tip_speed_frac": tip.speed_frac}[key]


def _of_bale(sheet: Sheet, name: str) -> float | None:
    expected = sheet.expected
    if name == "dry_matter_kg_m3":
        dry_frac = 1.0 - sheet.conditions.moisture_frac
        return expected.density_kg_m3.best * dry_frac
    value = getattr(expected, name)
    return value if value is None or isinstance(value, float | int) else value.best


def _in_range(row: Row, value: float | None, prefix: str = "") -> Compared:
    if value is None:
        return Compared(row, False, "unknown")
    low = row.expect.get(prefix + "low", float("-inf"))
    high = row.expect.get(prefix + "high", float("inf"))
    return Compared(row, low - _EXACT <= value <= high + _EXACT, _shown(value))


def _shown(value: object) -> str:
    if value is None:
        return "nothing"
    return f"{value:.4g}" if isinstance(value, float | int) else str(value)


def _answered(answer: Sheet | tuple[Fault, ...]) -> str:
    if isinstance(answer, Sheet):
        return "a sheet"
    return "refused: " + "; ".join(f"{one.place} must be {one.need}" for one in answer)


def _warnings(sheet: Sheet) -> list[str]:
    return [say(one) for one in (*sheet.cautions, *sheet.unknown)]


def _words(answer: Sheet | tuple[Fault, ...]) -> list[str]:
    """Every sentence of the answer, warnings first."""
    if not isinstance(answer, Sheet):
        return [f"{one.place}: {one.need}. {one.given}. {one.cure}" for one in answer]
    said = _warnings(answer)
    for one in answer.conflicts:
        said += [*(say(want) for want in one.wants), say(one.settled)]
    for line in answer.lines:
        said.append(f"{label_of(line)}: {value_of(line)}. {say(line.reason)}")
    return said


def _measures(sheet: Sheet) -> list[str]:
    return [f"{say(Reason(f'measure.{one.key}'))}: {say(one.reason)}" for one in sheet.measures]


def _spoken(topic: str, sentences: Iterable[str]) -> str | None:
    """The first sentence that speaks of a topic, by the table's patterns and by the stricter ones
    that were added for topics whose own patterns let other sentences through.
    """
    asked = [table()["topics"][topic], notes().get("stricter", {}).get(topic, [""])]
    return next(
        (one for one in sentences if all(_speaks(patterns, one) for patterns in asked)), None
    )


def _speaks(patterns: Iterable[str], sentence: str) -> bool:
    return any(re.search(one, sentence, re.IGNORECASE) for one in patterns)


@cache
def compared() -> tuple[Compared, ...]:
    """Every expectation against its sheet."""
    return tuple(compare(row) for row in rows())
