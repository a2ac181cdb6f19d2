"""Put bales under the job they belong to: a new fact beside the record, which can be taken back."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from balewright.flows.correct_bales import Asked, correct_bales, withdraw_correction
from balewright.flows.find_misplaced_bales import Split, find_misplaced_bales
from balewright.flows.workplace import Workplace
from balewright.quantities.errors import BadInput, Fault
from balewright.records.corrected import list_in_force
from balewright.records.corrections import Correction

COLUMN: Final = "job"
JOB_LENGTH: Final = 200
WHY_BACK: Final = "the split was taken back"


@dataclass(frozen=True)
class SplitAsked:
    """key: of the proposal, as it was shown; job: to put its bales under, None for the proposed
    one; serial: of its machine, None to look on all; by: who, None for the command line."""

    key: str
    job: str | None = None
    serial: str | None = None
    by: str | None = None


@dataclass(frozen=True)
class SplitKept:
    """The proposal as it was accepted, the job its bales stand under now, and the correction."""

    split: Split
    job: str
    correction: Correction


def accept_split(workplace: Workplace, asked: SplitAsked) -> SplitKept:
    """Accept exactly the split that was shown.

    Raises BadInput where the record has changed since, so that the proposal is another one, and
    where neither the proposal nor the person names a job.
    """
    told = find_misplaced_bales(workplace, asked.serial)
    split = next((one for one in told.splits if one.key == asked.key), None)
    if split is None:
        cure = "Look at the proposals again: bales came or were put right meanwhile."
        raise BadInput(Fault("split", "a proposal that still stands", repr(asked.key), cure))
    job = " ".join((asked.job or "").split()) or split.found.belongs_to or ""
    if not job or len(job) > JOB_LENGTH or job == split.found.job:
        need = f"another job than {split.found.job}, of at most {JOB_LENGTH} letters"
        raise BadInput(Fault("job", need, repr(job), "Name the job these bales belong to."))
    field = split.found.lies_in or f"the bales of {split.found.belongs_to}"
    why = f"{split.found.bales} bales of {split.found.job} lie in {field}"
    correction = correct_bales(
        workplace, Asked(split.entry.serial, split.bales, COLUMN, job, why, asked.by)
    )
    return SplitKept(split, job, correction)


def accepted_splits(workplace: Workplace, serial: str | None = None) -> tuple[Correction, ...]:
    """Jobs of bales that people put right and that hold, the newest first."""
    held = list_in_force(workplace.register.load_corrections(serial))
    return tuple(sorted((one for one in held if one.column == COLUMN), key=_newest_first))


def take_split_back(workplace: Workplace, key: str, by: str | None = None) -> Correction:
    """Take an accepted split back. Raises BadInput where none of that key holds."""
    if key not in {one.key for one in accepted_splits(workplace)}:
        cure = "Look at the page again: somebody took it back meanwhile."
        raise BadInput(Fault("correction", "a split that holds", repr(key), cure))
    return withdraw_correction(workplace, key, WHY_BACK, by)


def _newest_first(one: Correction) -> tuple[int, str]:
    return (-one.at_us, one.key)
