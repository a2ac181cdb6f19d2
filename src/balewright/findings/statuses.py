"""Bales that are not plain work: burst, wrapped twice, not wrapped, made as a test."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np

from balewright.findings.finding import FindingKind, Weight
from balewright.findings.runs import Run, episodes
from balewright.findings.sure import share_interval
from balewright.findings.watched import Bools, Found, Watched
from balewright.quantities.reason import because

AMONG: Final = 200
"""The share is told among so many bales up to the last of them: what lies farther back says
little about now."""
_BY_STATUS: Final = (
    ("burst", FindingKind.BURST, Weight.COST, "burst"),
    ("re-wrapped", FindingKind.WRAPPED_TWICE, Weight.NOTE, "twice"),
    ("test", FindingKind.MADE_AS_TEST, Weight.NOTE, "test"),
)


def find_statuses(watched: Watched) -> Iterator[Found]:
    """Each status that needs a look, gathered into episodes; the share carries its interval."""
    for word, kind, weight, key in _BY_STATUS:
        yield from _tell(
            watched, watched.says("status", word), kind, weight, f"findings.status.{key}"
        )
    bare, off = _not_wrapped(watched)
    evidence_key = "findings.status"
    yield from _tell(watched, off, FindingKind.NOT_WRAPPED, Weight.NOTE, f"{evidence_key}.off")
    yield from _tell(watched, bare, FindingKind.NOT_WRAPPED, Weight.HARM, f"{evidence_key}.bare")


def _tell(
    watched: Watched, out: Bools, kind: FindingKind, weight: Weight, key: str
) -> Iterator[Found]:
    judged = np.ones(watched.bales.rows, dtype=np.bool_)
    for run in episodes(out, judged):
        last = int(run.rows[-1])
        among = last + 1 - max(0, min(int(run.rows[0]), last + 1 - AMONG))
        counted = Run(run.rows, among)
        seen = share_interval(len(run.rows), among)
        until = watched.bales.cell(last, "bale_no")
        words = because(
            key, until_bale="(no number)" if until is None else int(until), **watched.facts(counted)
        )
        evidence = ("mode",) if key.endswith("off") else ("wrap_turns",) if key.endswith(
            "bare") else ("status",)  # fmt: skip
        yield Found(kind, weight, counted, None, seen, "share of bales", evidence, words)


def _not_wrapped(watched: Watched) -> tuple[Bools, Bools]:
    """Bales the sheet wanted wrapped: bare though the wrapper was on; left bare on purpose."""
    wanted = np.isfinite(watched.planned(lambda plan: plan.wrap_turns)) & watched.whole
    off = wanted & (watched.says("mode", "wrapper off"))
    return wanted & ~off & (watched.floats("wrap_turns") == 0), off
