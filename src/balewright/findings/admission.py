"""Which alarms are told: the share of false ones among all that are open is held at a number."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

import numpy as np

from balewright.findings.finding import Finding
from balewright.quantities.errors import BadInput, Fault

USUAL_RATE_FRAC: Final = 0.1
"""Assumed: one told alarm in ten may be false until a manager says otherwise."""


class Dependence(StrEnum):
    """How the charts of a fleet hang together when all is well.

    positive: not at all, or so that one that is out makes others rather out too (the same weather,
    the same crop): Benjamini and Hochberg 1995. any: in whatever way, at the price of a rate
    divided by 1 + 1/2 + ... + 1/charts: Benjamini and Yekutieli 2001.
    """

    POSITIVE = "positive"
    ANY = "any"


@dataclass(frozen=True)
class Admission:
    """admitted: one for each finding, in their order; limit_frac: the largest chance that was
    admitted is at most this; 0 where no chart was.
    """

    admitted: tuple[bool, ...]
    limit_frac: float


def admit(
    findings: Sequence[Finding],
    rate_frac: float,
    charts: int,
    dependence: Dependence = Dependence.POSITIVE,
) -> Admission:
    """Admit open alarms so that at most `rate_frac` of those told are false, on average.

    findings: every open one of the whole fleet; those without `chance_frac` are settled by
    geometry or counting and always admitted. rate_frac: above 0, below 1. charts: how many charts
    were watched over the fleet, with and without an alarm (no fewer than the alarms count).

    The i smallest chances are admitted, i being the largest with chance i <= i * rate / charts.
    Charts without an alarm have larger chances and are not listed: leaving them out admits no more
    than listing them, and what stays still satisfies the line by its own count, which is all that
    the proof under positive dependence asks for (Blanchard and Roquain 2008). Raises BadInput for
    a rate that is none.
    """
    chances = [one.chance_frac for one in findings]
    return admit_chances(chances, rate_frac, charts, dependence)


def admit_chances(
    chances: Sequence[float | None],
    rate_frac: float,
    charts: int,
    dependence: Dependence = Dependence.POSITIVE,
) -> Admission:
    """The same by the chances alone; None is settled. Arguments and errors as in `admit`."""
    if not 0.0 < rate_frac < 1.0:
        cure = "Write 0.1 for one false alarm in ten that are told."
        raise BadInput(Fault("rate", "a share between 0 and 1", repr(rate_frac), cure))
    known = np.array([one for one in chances if one is not None], dtype=np.float64)
    limit_frac = _limit_frac(known, rate_frac, charts, dependence)
    return Admission(tuple(one is None or one <= limit_frac for one in chances), limit_frac)


def _limit_frac(
    chances: np.ndarray[tuple[int], np.dtype[np.float64]],
    rate_frac: float,
    charts: int,
    dependence: Dependence,
) -> float:
    watched = max(charts, len(chances))
    if not len(chances):
        return 0.0
    share = 1.0
    if dependence is Dependence.ANY:
        share = float(np.sum(1.0 / np.arange(1, watched + 1)))
    place = np.arange(1, len(chances) + 1)
    line = place * rate_frac / (watched * share)
    kept = np.flatnonzero(np.sort(chances) <= line)
    return float(line[kept[-1]]) if len(kept) else 0.0
