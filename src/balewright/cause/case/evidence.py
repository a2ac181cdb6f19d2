"""A case as evidence for inference."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from balewright.cause.case.answers import Answered, answers_before_repair, answers_of
from balewright.cause.case.case import Case
from balewright.cause.case.entry import Said
from balewright.cause.evidence_value import NO, UNKNOWN, YES, Seen, read

_SEEN: Final = {Said.YES: YES, Said.NO: NO}


def evidence_of(case: Case) -> Mapping[str, Seen]:
    """What the case knows of each observation, by its key; see `answers_of` for what counts.

    Answers that contradict each other count as unknown until one is taken back.
    """
    return {key: _seen(one) for key, one in answers_of(case).items()}


def evidence_before_repair(case: Case) -> Mapping[str, Seen]:
    """What was known when the last repair was made: what a case can teach about its cause."""
    return {key: _seen(one) for key, one in answers_before_repair(case).items()}


def _seen(one: Answered) -> Seen:
    if one.value is not None:
        return read(one.value)
    return UNKNOWN if one.said is None else _SEEN.get(one.said, UNKNOWN)
