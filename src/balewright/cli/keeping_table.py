"""The answer of `balewright keeping` as tables and a few sentences."""

from __future__ import annotations

from typing import Final

from balewright.cli.answer import print_table
from balewright.plan.keeping.answer import KeepingAnswer
from balewright.plan.keeping.delay import kept_advice
from balewright.plan.keeping.keep import SCHOOL_SOURCES, School, SchoolLoss
from balewright.plan.keeping.least_cost import LeastCost, Optimum
from balewright.plan.keeping.moisture_loss import moisture_doubts
from balewright.plan.keeping.mould import RIP_C, RIP_DAYS
from balewright.plan.keeping.shape import volume_m3
from balewright.quantities.interval import Interval
from balewright.quantities.reason import ReasonValue, because
from balewright.quantities.si import M_PER_UM
from balewright.words.say import say

_ROWS: Final = (
    ("base", "base_frac"),
    ("film", "film_frac"),
    ("lost", "lost_frac"),
    ("cover", "cover_frac"),
    ("total", "total_frac"),
)


def print_answer(answer: KeepingAnswer) -> None:
    """Caution first, then losses, mould, what sources ask for, and costs where asked."""
    print(_say("caution"))
    print()
    print(_headline(answer))
    print()
    _print_losses(answer)
    print()
    for sentence in _sentences(answer):
        print(sentence)
    print()
    _print_mould(answer)
    if answer.least is not None and answer.prices is not None:
        print()
        _print_costs(answer.least, answer.prices.near_frac)


def school_name(school: School) -> str:
    """A school's name in the reader's words."""
    return _say(f"school.{school.name.lower()}")


def _say(key: str, **values: ReasonValue) -> str:
    return say(because(f"keeping.{key}", **values))


def _headline(answer: KeepingAnswer) -> str:
    stored = answer.stored
    return _say(
        "asked",
        diameter_m=stored.bale.diameter_m,
        length_m=stored.bale.length_m,
        dry_matter_kg=volume_m3(stored.bale) * stored.dry_matter_kg_m3,
        moisture_frac=stored.moisture_frac,
        layers=answer.kept.layers,
        layer_um=stored.cover.layer_m / M_PER_UM,
        stay_months=stored.stay.months,
        climate=stored.stay.climate.name,
        start_month=stored.stay.start_month,
    )


def _print_losses(answer: KeepingAnswer) -> None:
    kept = answer.kept
    rows = []
    for name, part in (
        ("delay", kept.delay_frac),
        ("juice", kept.juice_frac),
        ("hole", kept.hole_frac),
    ):
        if part.high > 0.0:
            rows.append(_row(_say(f"row.{name}"), part))
    rows.append(_row(_say("row.film_alone"), kept.film_alone_frac))
    for school in kept.schools:
        rows += _school_rows(school)
    rows.append(_row(_say("row.both"), kept.total_frac))
    heads = [_say("column.loss"), _say("column.best"), _say("column.range")]
    print_table(heads, rows)


def _school_rows(school: SchoolLoss) -> list[list[str]]:
    name = school_name(school.school)
    return [_row(_say(f"row.{key}", school=name), getattr(school, field)) for key, field in _ROWS]


def _row(name: str, part: Interval) -> list[str]:
    low, best, high = (f"{100.0 * end:.1f}" for end in (part.low, part.best, part.high))
    return [name, best, f"{low} to {high}"]


def _sentences(answer: KeepingAnswer) -> list[str]:
    well, barrier = (_sources(SCHOOL_SOURCES[school]) for school in School)
    said = [_say("spread", well_sources=well, barrier_sources=barrier)]
    for doubt in moisture_doubts(answer.stored.moisture_frac):
        said.append(_say(f"doubt.{doubt.value.replace(' ', '_')}"))
    if answer.mishaps.waited_h > 0.0:
        content = kept_advice(answer.mishaps.waited_h)
        waited_h = answer.mishaps.waited_h
        key = "wait.kept" if content else "wait.none"
        said.append(_say(key, waited_h=waited_h, sources=_sources(content)))
    if answer.mishaps.holes and answer.mishaps.hole_m > 0.0:
        said.append(_say("holes", rip_days=RIP_DAYS, rip_c=RIP_C))
    return said


def _sources(keys: tuple[str, ...]) -> str:
    return ", ".join(_say(f"source.{key}") for key in keys)


def _print_mould(answer: KeepingAnswer) -> None:
    risk = answer.kept.mould
    print(_say("mould", band=_say(f"band.{risk.band.name.lower()}")))
    rows = [
        [_say(f"trial.{one.source}"), _say(f"seen.{one.seen.value if one.seen else 'unknown'}")]
        for one in risk.verdicts
    ]
    print_table([_say("column.source"), _say("column.says")], rows)
    print()
    asked = ", ".join(
        f"{_span(one.least_layers, one.most_layers)} ({_sources((one.source,))})"
        for one in answer.advice
    )
    print(_say("advice", advice=asked))


def _span(low: int, high: int) -> str:
    return f"{low}" if low == high else f"{low} to {high}"


def _print_costs(least: LeastCost, near_frac: float) -> None:
    heads = [_say("column.layers"), _say("column.film")]
    heads += [_say("column.cost", school=school_name(school)) for school in School]
    rows = []
    for cost in least.costs:
        row = [f"{cost.layers}", f"{cost.film_money:.2f}"]
        for school in School:
            money = cost.total_money(school)
            row.append(f"{money.best:.2f} ({money.low:.2f} to {money.high:.2f})")
        rows.append(row)
    print_table(heads, rows)
    print()
    for optimum in least.optima:
        print(_optimum(optimum, near_frac))
    low, high = least.advised
    one = ".one" if low == high else ""
    print(_say(f"advised{one}", least_low=low, least_high=high))


def _optimum(optimum: Optimum, near_frac: float) -> str:
    return _say(
        "optimum.floor" if optimum.at_floor else "optimum",
        school=school_name(optimum.school).capitalize(),
        layers=optimum.layers,
        near=_span(*optimum.near),
        near_frac=near_frac,
        least=_span(*optimum.over_spread),
    )
