"""How fast a machine would go, what holds it back, and how far chance moves that."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Final

from balewright.flows.outlook import Outlook, Told
from balewright.flows.pace_settings import pace_settings
from balewright.plan.pace.answer import USUAL_SPREAD, Job, PaceAnswer, answer_pace
from balewright.plan.pace.settings import Settings, work_of
from balewright.plan.pace.steady import WorkPace, work_pace
from balewright.plan.sheet.to_pace import Unsaid
from balewright.quantities.reason import Reason, because

_MOST_BALES: Final = 200
_RUNS: Final = 200


@dataclass(frozen=True)
class PaceTold:
    """answer: even work, chance, effects and timeline; told: the words to it."""

    answer: PaceAnswer
    told: Told


def tell_pace(outlook: Outlook) -> PaceTold:
    """Bales an hour in the field, in even work and under chance, the same draws every time.

    Raises BadInput where the settings leave what a pace can be reckoned for.
    """
    settings = pace_settings(outlook)
    bales = max(2, min(outlook.asked.conditions.bales, _MOST_BALES))
    answer = answer_pace(settings, Job(bales=bales, runs=_RUNS))
    steady = answer.steady
    said = because(
        f"outlook.pace.{steady.held_back_by.name.lower()}",
        pace_bales_h=steady.pace_bales_h,
        throughput_t_h=steady.throughput_t_h,
    )
    so = because(
        f"outlook.pace.so.{steady.held_back_by.name.lower()}", speed_m_s=settings.row.speed_m_s
    )
    sureness = (so, _mass(outlook, settings), _chance(answer), *_seconds(steady))
    told = Told(said, sureness, ("grisso-2020", "assumed"), tuple(_assumed(outlook)))
    return PaceTold(answer, told)


def _mass(outlook: Outlook, settings: Settings) -> Reason:
    """Nobody knows how dense a bale will be: the pace of the lightest and the heaviest."""
    mass, best = outlook.sheet.expected.mass_kg, settings.bale.dry_matter_kg_m3
    paces = []
    for kg in (mass.high, mass.low):
        bale = replace(settings.bale, dry_matter_kg_m3=best * kg / mass.best)
        paces.append(work_pace(work_of(replace(settings, bale=bale))).pace_bales_h)
    return because(
        "outlook.pace.mass",
        low_kg=round(mass.low, -1),
        high_kg=round(mass.high, -1),
        low_bales_h=paces[0],
        high_bales_h=paces[1],
    )


def _chance(answer: PaceAnswer) -> Reason:
    pace = answer.chance.pace_bales_h
    return because(
        "outlook.pace.chance",
        low_bales_h=pace.low,
        high_bales_h=pace.high,
        bales=answer.chance.bales,
        fill_frac=USUAL_SPREAD.fill_frac,
    )


def _seconds(steady: WorkPace) -> Iterator[Reason]:
    best = steady.seconds[0]
    if best.saved_bales_h > 0.0:
        yield because(f"outlook.pace.second.{best.phase}", saved_bales_h=best.saved_bales_h)


def _assumed(outlook: Outlook) -> Iterator[Reason]:
    field, unsaid = outlook.asked.field, Unsaid()
    if field.change_s is None:
        film, net = unsaid.film_change_s / 60.0, unsaid.net_change_s / 60.0
        if outlook.wrap_turns is None:
            yield because("outlook.pace.change.net", net_min=net)
        else:
            yield because("outlook.pace.change", film_min=film, net_min=net)
    if field.run_m is None:
        yield because("outlook.pace.no_turns")
