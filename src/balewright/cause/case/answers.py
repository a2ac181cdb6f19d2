"""What all answers to one question come to, for whoever infers from them."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from balewright.cause.case.case import Case, Reading
from balewright.cause.case.entry import Said


@dataclass(frozen=True)
class Answered:
    """What counts of the answers to one question.

    said: None where a number counts; value: mean of the numbers read, in the check's unit;
    disagree: some said yes and some no, so that none counts until one is taken back; readings:
    those it was made of, all after the last repair that one was made after.
    """

    said: Said | None
    value: float | None
    disagree: bool
    readings: tuple[Reading, ...]


def answers_of(case: Case, repairs: int | None = None) -> Mapping[str, Answered]:
    """The answer to each question that has one, by key of the observation.

    repairs: only readings made before that many repairs (1: before the first); None: all.
    A question answered anew after a repair has its new answer, as a repair may have changed what
    is seen. One skipped has none. One that somebody could not tell, and nobody else could, is
    answered so: asking again leads nowhere.
    """
    found: dict[str, list[Reading]] = {}
    for one in case.readings:
        if one.said is Said.SKIPPED or (repairs is not None and one.repairs_before >= repairs):
            continue
        found.setdefault(one.on, []).append(one)
    return {key: _answer(found[key]) for key in sorted(found)}


def answers_before_repair(case: Case) -> Mapping[str, Answered]:
    """What was known when the last repair was made: what led to it, nothing that came after."""
    return answers_of(case, len(case.repairs) or None)


def disagreeing(case: Case) -> tuple[str, ...]:
    """Keys of questions whose answers contradict each other, by key."""
    return tuple(key for key, one in answers_of(case).items() if one.disagree)


def _mean(values: list[float]) -> float:
    whole = sum(values) / len(values)
    return whole if math.isfinite(whole) else sum(one / len(values) for one in values)


def _answer(readings: list[Reading]) -> Answered:
    last = max(one.repairs_before for one in readings)
    own = tuple(one for one in readings if one.repairs_before == last)
    told = [one for one in own if one.value is not None or one.said is not Said.CANNOT_TELL]
    values = [one.value for one in told if one.value is not None]
    words = {one.said for one in told if one.said is not None}
    if len(words) > 1:
        return Answered(Said.CANNOT_TELL, None, True, own)
    if values:
        return Answered(None, _mean(values), False, own)
    return Answered(words.pop() if words else Said.CANNOT_TELL, None, False, own)
