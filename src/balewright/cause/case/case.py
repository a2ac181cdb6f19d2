"""A case as its entries tell it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from balewright.cause.case.entry import Entry, Said
from balewright.cause.case.merge import Conflict


class CaseState(StrEnum):
    """open: nobody put it right yet; repaired: somebody did, or swapped the machine; closed."""

    OPEN = "open"
    REPAIRED = "repaired"
    CLOSED = "closed"


class Outcome(StrEnum):
    """How a case stands towards its cure.

    cured: later bales show its findings gone; not cured: they go on; not yet: too few bales; said:
    records show nothing of it, and somebody says it is well again: what it is, and no proof.
    """

    CURED = "cured"
    NOT_CURED = "not cured"
    NOT_YET = "not yet"
    SAID = "said"


@dataclass(frozen=True)
class Reading:
    """One answer to one question, as one entry gives it.

    on: key of an observation; said: the answer, None where only a number was read; value, unit:
    of a check that reads a number; repairs_before: repairs and swaps that came before it.
    """

    entry: Entry
    on: str
    said: Said | None
    value: float | None = None
    unit: str = ""
    repairs_before: int = 0


@dataclass(frozen=True)
class CauseFound:
    """What was found to be wrong. cause: a key of the network, "" for own words alone."""

    entry: Entry
    cause: str
    words: str


@dataclass(frozen=True)
class PartUsed:
    """Parts that went in. part: a key or a number of the maker's; count: how many."""

    part: str
    count: int | float


@dataclass(frozen=True)
class RepairMade:
    """What was done.

    minutes, travel_minutes: None unknown; at_bale: what the machine's counter showed when it was
    done, the one mark of it that a phone's clock cannot get wrong; swap: the machine was swapped
    instead, `instead` the serial of the one that came.
    """

    entry: Entry
    words: str
    parts: tuple[PartUsed, ...] = ()
    minutes: float | None = None
    travel_minutes: float | None = None
    at_bale: int | None = None
    swap: bool = False
    instead: str = ""


@dataclass(frozen=True)
class NoteMade:
    """Words, of a note, a closing, an opening again, a claim or a sharing."""

    entry: Entry
    words: str


@dataclass(frozen=True)
class PhotoTaken:
    """A picture. sha256: of its content, which lies under that name or has not arrived yet."""

    entry: Entry
    sha256: str
    size_bytes: int | None
    words: str


@dataclass(frozen=True)
class ProofMade:
    """A proof, as it was worked out once. ended, going_on: keys of episodes."""

    entry: Entry
    outcome: Outcome
    bales: int | None
    need_bales: int | None
    from_bale: int | None
    to_bale: int | None
    ended: tuple[str, ...]
    going_on: tuple[str, ...]
    why: str


@dataclass(frozen=True)
class Case:
    """A case, read from its entries. Lists are in the order of entries, withdrawn ones left out.

    key: of the case; entries: every one, withdrawn or not; machine: its serial, None until the
    opening arrived; complaint: in the words of who called; findings: keys of episodes it is
    about; network: which version was asked by; readings: what was reported and read, with all
    answers to one question; skipped: keys asked and left, and not answered since; withdrawn: ids;
    conflicts: ids under which two things were written; not_understood: entries of newer versions,
    or without what their kind needs: kept, and not read.
    """

    key: str
    entries: tuple[Entry, ...]
    state: CaseState
    opened: Entry | None
    machine: str | None
    complaint: str
    findings: tuple[str, ...]
    network: str
    readings: tuple[Reading, ...]
    skipped: frozenset[str]
    causes: tuple[CauseFound, ...]
    repairs: tuple[RepairMade, ...]
    notes: tuple[NoteMade, ...]
    photos: tuple[PhotoTaken, ...]
    closings: tuple[NoteMade, ...]
    reopenings: tuple[NoteMade, ...]
    proofs: tuple[ProofMade, ...]
    sharings: tuple[NoteMade, ...]
    claims: tuple[NoteMade, ...]
    withdrawn: frozenset[str]
    conflicts: tuple[Conflict, ...]
    not_understood: tuple[Entry, ...]

    @property
    def cause(self) -> CauseFound | None:
        """The cause found last, None while none is."""
        return self.causes[-1] if self.causes else None

    @property
    def proof(self) -> ProofMade | None:
        """The proof worked out last, if nobody repaired or opened it again after that."""
        if not self.proofs:
            return None
        last = self.proofs[-1]
        place = self.entries.index(last.entry)
        later = [one.entry for one in self.repairs] + [one.entry for one in self.reopenings]
        return None if any(self.entries.index(one) > place for one in later) else last

    @property
    def is_proved(self) -> bool:
        """Whether later bales show it cured. A word alone is none."""
        return self.proof is not None and self.proof.outcome is Outcome.CURED

    @property
    def minutes(self) -> float | None:
        """Work at the machine in all, minutes; None where nobody said."""
        known = [one.minutes for one in self.repairs if one.minutes is not None]
        return sum(known) if known else None

    @property
    def clock(self) -> int:
        """The highest logical clock so far; the next entry's is above it."""
        return max((one.clock for one in self.entries), default=0)
