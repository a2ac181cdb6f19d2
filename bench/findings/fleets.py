"""Whether the share of false alarms among those told to a fleet's manager is held at his number."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from bench.findings.facts import Season, Told
from bench.findings.judging import Book, Whose, judge

from balewright.findings.admission import admit

RATES = (0.05, 0.1, 0.2)


@dataclass(frozen=True)
class Fleet:
    """How fleets are drawn: how many, of how many machines, what share of them with a fault."""

    fleets: int
    machines: int
    faulty_share: float


@dataclass(frozen=True)
class Discovery:
    """What a rate came to: mean over fleets of the share of false ones among the statistical
    alarms admitted (0 where none was), its highest 95 % limit by the fleets' own scatter, alarms
    admitted and open a fleet, and the share of the fleet's standing faults that stayed told.
    """

    rate_frac: float
    false_frac: float
    at_most_frac: float
    admitted: float
    open: float
    kept_frac: float


@dataclass(frozen=True)
class _Alarm:
    """All that admission looks at."""

    chance_frac: float
    whose: Whose


def open_alarms(season: Season, at_share: float, book: Book) -> list[_Alarm]:
    """Statistical alarms that stand at the daily review at this share of a season, 0..1."""
    if not season.reviews:
        return []
    made = season.reviews[min(int(at_share * len(season.reviews)), len(season.reviews) - 1)]
    return [
        _Alarm(said.chance_frac, _whose(told, season, book))
        for told in season.told
        for said in told.said
        if said.made == made and said.chance_frac is not None
    ]


def _whose(told: Told, season: Season, book: Book) -> Whose:
    return judge(told, season.fault, book)


def false_discoveries(
    seasons: Sequence[Season],
    fleet: Fleet,
    rate_frac: float,
    book: Book,
    chance: np.random.Generator,
) -> Discovery:
    """Draw fleets from reviewed seasons, each reviewed on one day, and admit their alarms.

    Side effects of a planted fault count as true: something is wrong with that machine.
    """
    calm = [one for one in seasons if one.fault is None]
    bad = [one for one in seasons if one.fault is not None]
    false, told, standing, kept, seen = [], [], 0, 0, []
    for _ in range(fleet.fleets):
        faulty = chance.binomial(fleet.machines, fleet.faulty_share)
        drawn = [bad[place] for place in chance.integers(0, len(bad), faulty)] if faulty else []
        drawn += [calm[place] for place in chance.integers(0, len(calm), fleet.machines - faulty)]
        at_share = chance.uniform(0.3, 1.0)
        by_machine = [open_alarms(one, at_share, book) for one in drawn]
        alarms = [alarm for one in by_machine for alarm in one]
        charts = sum(one.charts for one in drawn)
        admission = admit(alarms, rate_frac, max(charts, 1))  # type: ignore[arg-type]
        admitted = [a for a, yes in zip(alarms, admission.admitted, strict=True) if yes]
        wrong = sum(alarm.whose is Whose.FALSE for alarm in admitted)
        false.append(wrong / len(admitted) if admitted else 0.0)
        told.append(len(admitted))
        seen.append(len(alarms))
        own = [alarm for alarm in alarms if alarm.whose is Whose.OWN]
        standing += len(own)
        kept += sum(alarm in admitted for alarm in own)
    error = np.std(false, ddof=1) / np.sqrt(len(false)) if len(false) > 1 else np.inf
    mean = float(np.mean(false))
    return Discovery(
        rate_frac, mean, mean + 1.645 * float(error), float(np.mean(told)), float(np.mean(seen)),
        kept / standing if standing else 1.0,
    )  # fmt: skip
