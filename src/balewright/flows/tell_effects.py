"""What one job gives beside another: layers, pace, film, cost and keeping in plain sentences.

The numbers are those under the pictures of what a machine would give, so that both say the same.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Final

from balewright.flows.foresee import Foreseen
from balewright.plan.keeping.keep import School
from balewright.plan.sheet.compare import Moved
from balewright.quantities.reason import Reason, ReasonValue, because
from balewright.words.say import say, say_value

EFFECTS: Final = ("layers", "pace", "film", "cost", "keeping")
_MOST_FRAC: Final = 0.99
_LEAST_FRAC: Final = 0.01
Numbers = Mapping[str, float | str | None]


@dataclass(frozen=True)
class Effect:
    """key: one of EFFECTS; moved: whether anything of it reads otherwise; said: in sentences, with
    "as before" in them only where the effect moved; numbers: each as the one job and as the other
    has it, None where it cannot be told.
    """

    key: str
    moved: bool
    said: tuple[Reason, ...]
    numbers: tuple[Moved[float | str], ...]


def tell_effects(one: Foreseen, other: Foreseen) -> tuple[Effect, ...]:
    """The five effects in the order of EFFECTS, also those that did not move."""
    told = (_layers(one, other), _pace(one, other), _film(one, other),
            _cost(one, other), _keeping(one, other))  # fmt: skip
    pairs = zip(EFFECTS, told, _NUMBERS, strict=True)
    return tuple(_effect(key, tuple(said), read(one), read(other)) for key, said, read in pairs)


def _effect(key: str, said: tuple[Reason, ...], one: Numbers, other: Numbers) -> Effect:
    numbers: tuple[Moved[float | str], ...] = tuple(
        Moved(name, one.get(name), other.get(name)) for name in dict.fromkeys((*one, *other))
    )
    moved = any(not _reads_alike(part.name, part.one, part.other) for part in numbers)
    return Effect(key, moved, said if moved else tuple(map(_plain, said)), numbers)


def _plain(reason: Reason) -> Reason:
    """Without "as before": nothing of this effect moved, which is said once for all of it."""
    return replace(reason, key=reason.key.removesuffix(".same"))


def _reads_alike(name: str, one: object, other: object) -> bool:
    return one == other or say_value(name, one) == say_value(name, other)


def _of_layers(told: Foreseen) -> Numbers:
    layers, outlook = told.layers, told.outlook
    if layers is None or layers.count is None:
        return {}
    return {
        "thinnest_layers": layers.count.thinnest_anywhere,
        "need_layers": outlook.need_layers,
        "short_frac": layers.count.short_frac,
        "chance_frac": layers.chance_frac,
    }


def _of_pace(told: Foreseen) -> Numbers:
    if told.pace is None:
        return {}
    steady = told.pace.answer.steady
    return {
        "pace_bales_h": steady.pace_bales_h,
        "throughput_t_h": steady.throughput_t_h,
        "part": steady.held_back_by.value,
    }


def _of_film(told: Foreseen) -> Numbers:
    expected = told.outlook.sheet.expected
    if expected.film_m_bale is None:
        return {}
    grams = expected.film_g_bale
    return {
        "film_m": expected.film_m_bale,
        "film_kg": None if grams is None else grams / 1000.0,
        "film_rolls": expected.film_rolls,
    }


def _of_cost(told: Foreseen) -> Numbers:
    cost = told.cost
    if cost is None:
        return {}
    if cost.answer is not None:
        whole = cost.answer.cost
        return {"bale_money": whole.bale_money, "t_money": whole.money_t_dm}
    found: dict[str, float | str | None] = {
        "binding_m": cost.made.binding_m,
        "work_min": cost.work_s / 60.0,
    }
    if cost.fuel_l is not None:
        found["fuel_l"] = cost.fuel_l
    return found


def _of_keeping(told: Foreseen) -> Numbers:
    keeping = told.keeping
    if keeping is None:
        return {}
    if keeping.hay is not None:
        return {"hay": keeping.hay.verdict.name.lower()}
    if keeping.answer is None:
        return {}
    kept = keeping.answer.kept
    well, barrier = (kept.of(school).total_frac.best for school in School)
    return {
        "well_made_frac": well,
        "barrier_frac": barrier,
        "low_frac": kept.total_frac.low,
        "high_frac": kept.total_frac.high,
        "mould": kept.mould.band.name.lower(),
    }


_NUMBERS: Final = (_of_layers, _of_pace, _of_film, _of_cost, _of_keeping)


def _layers(one: Foreseen, other: Foreseen) -> Iterator[Reason]:
    before, after = _of_layers(one), _of_layers(other)
    if not after:
        if other.layers is not None:
            yield other.layers.told.answer
        return
    yield from _each(before, after, ("thinnest_layers",))
    chances = tuple(_chance(numbers) for numbers in (before, after))
    needs = (before.get("need_layers"), after["need_layers"])
    if before and (chances[0], needs[0]) != (chances[1], needs[1]):
        yield because("what_if.chance.moved", chance=chances[1], layers=_value(needs[1]),
                      was=chances[0], was_layers=_value(needs[0]))  # fmt: skip
    else:
        yield because("what_if.chance.same", chance=chances[1], layers=_value(needs[1]))
    yield from _as_set(one, other)


def _as_set(one: Foreseen, other: Foreseen) -> Iterator[Reason]:
    """What the turns of the one job lay in the other: nobody went and changed them."""
    turns, outlook = one.outlook.wrap_turns, other.outlook
    if turns is None or outlook.wrap_turns in (None, turns):
        return
    if one.outlook.machine.key != outlook.machine.key or outlook.machine.wrapper is None:
        return
    given = (turns,) * outlook.machine.wrapper.dispensers
    count = outlook.planned.count(outlook.bale.diameter_m, outlook.strip_m or 0.0, given)
    yield because("what_if.layers.as_set", turns=turns, layers=count.thinnest_anywhere,
                  short_frac=count.short_frac)  # fmt: skip


def _chance(numbers: Numbers) -> str:
    chance_frac = numbers.get("chance_frac")
    if not isinstance(chance_frac, float):
        return say_value("chance_frac", None)
    share = min(max(chance_frac, _LEAST_FRAC), _MOST_FRAC)
    key = "exactly" if share == chance_frac else "most" if chance_frac > share else "least"
    return say(because(f"what_if.share.{key}", chance_frac=share))


def _pace(one: Foreseen, other: Foreseen) -> Iterator[Reason]:
    before, after = _of_pace(one), _of_pace(other)
    if not after:
        yield because("what_if.pace.unknown")
        return
    yield from _each(before, after, ("pace_bales_h", "throughput_t_h"))
    yield because("what_if.pace.stops")
    if before and before["part"] != after["part"]:
        was = say_value("part", before["part"])
        yield because("what_if.held.moved", part=_value(after["part"]), was=was)
    else:
        yield because("what_if.held.same", part=_value(after["part"]))


def _film(one: Foreseen, other: Foreseen) -> Iterator[Reason]:
    before, after = _of_film(one), _of_film(other)
    if not after:
        yield because("what_if.film.none")
        return
    yield from _each(before, after, ("film_m", "film_kg"))
    bales = other.outlook.asked.conditions.bales
    yield from _each(before, after, ("film_rolls",), bales=bales)


def _cost(one: Foreseen, other: Foreseen) -> Iterator[Reason]:
    before, after = _of_cost(one), _of_cost(other)
    if not after or other.cost is None:
        yield because("what_if.cost.unknown")
    elif "bale_money" in after:
        given, was = (
            {name: f"{value:,.2f}" for name, value in numbers.items() if isinstance(value, float)}
            for numbers in (after, before)
        )
        yield from _each(was, given, ("bale_money", "t_money"))
    else:
        yield from _each(before, after, ("binding_m", "work_min", "fuel_l"))
        yield because("what_if.cost.unpriced")


def _keeping(one: Foreseen, other: Foreseen) -> Iterator[Reason]:
    before, after = _of_keeping(one), _of_keeping(other)
    if other.keeping is None:
        yield because("what_if.keeping.unknown")
        return
    if "well_made_frac" not in after:
        yield other.keeping.told.answer
        return
    yield from _each(before, after, ("well_made_frac", "barrier_frac"))
    yield _span(before, after)
    if before.get("mould") != after["mould"]:
        yield because(f"outlook.keeping.mould.{after['mould']}")


def _span(before: Numbers, after: Numbers) -> Reason:
    ends = ("low_frac", "high_frac")
    values = {name: _value(after[name]) for name in ends}
    if any(before.get(name) is None for name in ends):
        return because("what_if.span", **values)
    if all(_reads_alike(name, before[name], after[name]) for name in ends):
        return because("what_if.span.same", **values)
    return because("what_if.span.moved", **values, **_were(before, ends))


def _each(
    before: Numbers, after: Numbers, names: tuple[str, ...], **more: ReasonValue
) -> Iterator[Reason]:
    """A sentence for each number that is there: `<name>.same`, `<name>.moved` with what it was,
    or `<name>` alone where it was not.
    """
    for name in names:
        value = after.get(name)
        if value is None:
            continue
        values = {name: value, **more}
        if before.get(name) is None:
            yield because(f"what_if.{name}", **values)
        elif _reads_alike(name, before[name], value):
            yield because(f"what_if.{name}.same", **values)
        else:
            yield because(f"what_if.{name}.moved", **values, **_were(before, (name,)))


def _were(before: Numbers, names: tuple[str, ...]) -> dict[str, ReasonValue]:
    return {f"was_{name}": _value(before[name]) for name in names}


def _value(value: float | str | None) -> ReasonValue:
    return "–" if value is None else value
