"""Work out whether later bales prove a case cured, and keep what they say."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass
from typing import Final

import numpy as np

from balewright.cause.case.case import Case, Outcome, RepairMade
from balewright.cause.case.entry import EntryKind
from balewright.cause.case.proof import CureProof, LaterBales, RepairedAt, no_records, prove
from balewright.cause.case.writing import proof_fields
from balewright.findings.episode import Episode
from balewright.findings.judged import Judged
from balewright.flows.add_to_case import Writing, add_to_case
from balewright.flows.list_cases import list_cases
from balewright.flows.read_case_of import KeptCase, read_case_of
from balewright.flows.review_machine import keep_review, read_records
from balewright.flows.workplace import Workplace
from balewright.quantities.errors import BadInput, Fault
from balewright.store.case_entries import Way

_FOLLOWS: Final = 20
"""Episodes may join one another; never in a ring, but nothing here rests on that."""


@dataclass(frozen=True)
class Proved:
    """The case with the proof, which is kept where it says something else than the last one."""

    case: Case
    proof: CureProof


def prove_cure(
    workplace: Workplace,
    case: str,
    by: str | None = None,
    way: Way = Way.DESK,
    only_news: bool = False,
) -> Proved:
    """Review the case's machine and say whether its findings are gone.

    only_news: keep what is found only where its outcome is another one than before, not where
    merely more bales were made.

    Raises BadInput for a case nobody knows and one in which nothing was repaired yet.
    """
    kept = read_case_of(workplace, case)
    proof = _proof(workplace, kept)
    last = kept.case.proof
    payload = proof_fields(proof)
    if last is not None and (
        last.entry.payload == payload or (only_news and last.outcome is proof.outcome)
    ):
        return Proved(kept.case, proof)
    after = add_to_case(workplace, case, Writing(EntryKind.PROVED, payload, by, way))
    return Proved(after, proof)


def _proof(workplace: Workplace, kept: KeptCase) -> CureProof:
    case = kept.case
    if not case.repairs:
        cure = "Enter what was repaired or swapped first."
        raise BadInput(Fault("case", "a repair or a swap", "none", cure))
    if case.machine is None or workplace.register.load_machine(case.machine) is None:
        return no_records()
    records = read_records(workplace, case.machine)
    if not records.bales.rows:
        return no_records()
    keep_review(workplace, records)
    repaired = repaired_at(kept, case.repairs[-1])
    found = [_lives_on(workplace, key) for key in case.findings]
    episodes = tuple({one.key: one for one in found if one is not None}.values())
    return prove(episodes, repaired, _later(records.judged, repaired, episodes))


def repaired_at(kept: KeptCase, repair: RepairMade) -> RepairedAt:
    """When a repair was done at the latest: when its entry arrived."""
    opened = kept.case.opened
    begun_us = 0 if opened is None else kept.arrival_of(opened).at_us
    arrived_us = kept.arrival_of(repair.entry).at_us
    return RepairedAt(arrived_us, repair.at_bale, min(begun_us, arrived_us))


def _lives_on(workplace: Workplace, key: str) -> Episode | None:
    """The episode of a key, or the older one that it turned out to be part of."""
    episode = workplace.register.load_episode(key)
    for _ in range(_FOLLOWS):
        if episode is None or episode.joined is None:
            return episode
        episode = workplace.register.load_episode(episode.joined)
    return episode


def _later(judged: Judged, repaired: RepairedAt, episodes: tuple[Episode, ...]) -> LaterBales:
    """Bales after the repair: by the counter where it was read off, else by time."""
    bales = judged.watched.bales
    numbers, known = bales.column("bale_no"), bales.mask("bale_no")
    after = judged.made_us > repaired.at_us
    if repaired.at_bale is not None and bool(known.any()):
        is_new = judged.made_us > repaired.not_before_us
        counted = np.flatnonzero(known & is_new & (numbers > repaired.at_bale))
        after = np.zeros(bales.rows, dtype=np.bool_)
        after[counted[0] if len(counted) else bales.rows :] = True
    rows = np.flatnonzero(after)
    could_show = {}
    for one in episodes:
        last = judged.places_of(one.outbreaks[-1])[1] if one.outbreaks else 0
        judged_rows = judged.is_judged(one.finding.evidence, last)
        could_show[one.key] = int(np.count_nonzero(judged_rows & after))
    named = rows[known[rows]]
    ends = (int(numbers[named[0]]), int(numbers[named[-1]])) if len(named) else (None, None)
    return LaterBales(len(rows), could_show, *ends)


def prove_waiting(workplace: Workplace) -> tuple[Proved, ...]:
    """Look at every case that was repaired and whose cure is not proved yet; what is said of them
    now. A case that cannot be looked at (its machine's profile is gone) is left as it is."""
    found = []
    for line in list_cases(workplace):
        if is_waiting(line.case):
            with suppress(BadInput):
                proved = prove_cure(workplace, line.case.key, way=Way.COMMAND, only_news=True)
                found.append(proved)
    return tuple(found)


def is_waiting(case: Case) -> bool:
    """Whether a case is repaired or closed, and its proof is still to come."""
    if not case.repairs:
        return False
    return case.proof is None or case.proof.outcome in (Outcome.NOT_YET, Outcome.NOT_CURED)
