"""Whether what is stated as so certain comes true so often."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from bench.findings.facts import Season
from bench.findings.judging import Book, Whose, judge

SUREST = 1e-6
"""A statement nearer to 0 or 1 counts as this near, so that one miss costs no infinite score."""


@dataclass(frozen=True)
class Case:
    """One statement: how certain it was said to be, and whether it was true."""

    stated_frac: float
    true: bool


def cases_of(seasons: Sequence[Season], book: Book, daily: bool) -> tuple[list[Case], int]:
    """Every stated certainty with its truth, and how many were left out.

    daily: every daily review's statement of a finding that stands is a case (many, and alike
    within one matter); else a matter counts once, as first told. Side effects are left out: no
    truth says whether they are real.
    """
    cases: list[Case] = []
    left_out = 0
    for season in seasons:
        for told in season.told:
            whose = judge(told, season.fault, book)
            for said in told.said if daily else told.said[:1]:
                if said.certain_frac is None:
                    continue
                if whose in (Whose.SIDE, Whose.NOTE):
                    left_out += 1
                else:
                    cases.append(Case(said.certain_frac, whose is not Whose.FALSE))
    return cases, left_out


@dataclass(frozen=True)
class Bin:
    """Statements about as certain: least, most and mean stated; how many, how many true."""

    low_frac: float
    high_frac: float
    stated_frac: float
    count: int
    true: int


def bins_of(cases: Sequence[Case], bins: int) -> list[Bin]:
    """The cases in so many bins of as equal a count as can be, least certain first.

    Equal statements never lie in two bins, so there may be fewer bins than asked for.
    """
    ordered = sorted(cases, key=lambda case: case.stated_frac)
    edges = [round(len(ordered) * nth / bins) for nth in range(bins + 1)]
    found: list[Bin] = []
    begin = 0
    for edge in edges[1:]:
        end = max(edge, begin)
        while 0 < end < len(ordered) and (
            ordered[end].stated_frac == ordered[end - 1].stated_frac and end > begin
        ):
            end += 1
        lot = ordered[begin:end]
        begin = end
        if lot:
            stated = [case.stated_frac for case in lot]
            true = sum(case.true for case in lot)
            found.append(Bin(stated[0], stated[-1], sum(stated) / len(lot), len(lot), true))
    return found


@dataclass(frozen=True)
class Scores:
    """Mean squared error and mean log score (nats, 0 is best) of the statements, and of one who
    always states the base rate.
    """

    count: int
    base_frac: float
    brier: float
    brier_base: float
    log_score: float
    log_score_base: float


def score(cases: Sequence[Case]) -> Scores:
    """Score the statements. Raises ValueError without cases."""
    if not cases:
        raise ValueError("no statement to score")
    count = len(cases)
    base = sum(case.true for case in cases) / count

    def brier(stated: Sequence[float]) -> float:
        return sum((s - c.true) ** 2 for s, c in zip(stated, cases, strict=True)) / count

    def log_score(stated: Sequence[float]) -> float:
        held = [min(max(s, SUREST), 1.0 - SUREST) for s in stated]
        return -sum(
            math.log(s if c.true else 1.0 - s) for s, c in zip(held, cases, strict=True)
        ) / count  # fmt: skip

    given = [case.stated_frac for case in cases]
    always = [base] * count
    return Scores(count, base, brier(given), brier(always), log_score(given), log_score(always))
