"""What is odd in a log's counting, said in one sentence each, with the byte where it stands."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import Final

import numpy as np
from numpy.typing import NDArray

from balewright.readers.task_data.counters import Climb
from balewright.readers.task_data.dictionary import Worth, words_for
from balewright.readers.task_data.logged import TimeLog
from balewright.records.columns import BY_NAME
from balewright.records.intake import Doubt
from balewright.records.quality import Mark

TOO_SOON_S: Final = 3.0
"""Two bales cannot leave one chamber within seconds: common practice, no source."""
_NAMED: Final = 20


def clock_text(at_us: int) -> str:
    """A log's own time as it shows it, to the second."""
    return datetime.fromtimestamp(at_us // 1_000_000, UTC).strftime("%Y-%m-%d %H:%M:%S")


@dataclass
class Note:
    """Doubts about one log, as they are found."""

    log: TimeLog
    doubts: list[Doubt] = field(default_factory=list)

    def at(self, row: int, kind: Mark, text: str) -> None:
        """Note a doubt at a record."""
        place = f"byte {self.log.offsets[row]}" if self.log.rows else "byte 0"
        when = clock_text(int(self.log.at_us[row])) if self.log.rows else "no record"
        self.doubts.append(Doubt(self.log.file, place, kind, f"{when}: {text}"))

    def unbelievable(self, row: int, text: str) -> None:
        """Note values at a record that no bale can have."""
        self.at(row, Mark.VALUE_UNBELIEVABLE, text)

    def unit(self, number: int, worth: Worth) -> None:
        """Note that the device's presentation and the dictionary disagree."""
        taken = "the device's was taken" if worth.by_device else "the dictionary's was taken"
        said = f"{words_for(number)}: the device's own unit contradicts the dictionary; {taken}"
        self.doubts.append(Doubt(self.log.file, "header", Mark.UNIT_CONTRADICTED, said))


def note_counting(note: Note, count: Climb, *, confirmed: bool) -> None:
    """Steps by several, steps seconds apart, steps back, leaps beyond belief.

    confirmed: the lifetime counter gained the same number, so steps close together are only the
    display's haste.
    """
    for row, gain, value in zip(count.rows, count.gains, count.values, strict=True):
        if gain > 1:
            said = (
                f"the count went from {value - gain} to {value} in one step; "
                f"{gain} bales are kept with the time of that step"
            )
            note.at(int(row), Mark.COUNTER_LEAPT, said)
    times_s = note.log.at_us[count.rows] / 1e6
    if not confirmed:
        for place in np.flatnonzero(np.diff(times_s) < TOO_SOON_S)[:_NAMED] + 1:
            said = (
                f"the count stepped to {count.values[place]} only "
                f"{times_s[place] - times_s[place - 1]:.1f} s after the step before; both are kept"
            )
            note.at(int(count.rows[place]), Mark.COUNTED_TWICE, said)
    for row, before, after in count.falls:
        said = f"the count fell from {before} to {after}: a new start, nothing was counted for it"
        note.at(row, Mark.COUNTER_STEPPED_BACK, said)
    for row, before, after in count.leaps:
        said = f"the count leapt from {before} to {after}: beyond belief, not counted as bales"
        note.at(row, Mark.COUNTER_LEAPT, said)


def note_masses(
    note: Note,
    bales: tuple[NDArray[np.int64], NDArray[np.float64]],
    alone: tuple[NDArray[np.int64], NDArray[np.float64]],
) -> None:
    """Mass that no counted bale carries, bales without mass, masses beyond belief.

    bales: record and kilograms (NaN unknown) of each bale; alone: record and kilograms of each
    mass that was paired with none.
    """
    rows, mass_kg = bales
    alone_rows, alone_kg = alone
    if len(alone_rows) <= _NAMED:
        for row, gained_kg in zip(alone_rows.tolist(), alone_kg.tolist(), strict=True):
            said = f"{gained_kg:.0f} kg came that no counted bale of this log carries"
            note.at(row, Mark.MASS_WITHOUT_BALE, said)
    else:
        said = (
            f"{alone_kg.sum():.0f} kg came in {len(alone_rows)} parts that no counted bale of this "
            "log carries; this is the first"
        )
        note.at(int(alone_rows[0]), Mark.MASS_WITHOUT_BALE, said)
    bare = np.flatnonzero(np.isnan(mass_kg))
    if len(bare) and len(bare) < len(rows):
        said = (
            f"{len(bare)} of {len(rows)} counted bales have no mass of their own; this is the first"
        )
        note.at(int(rows[bare[0]]), Mark.BALE_WITHOUT_MASS, said)
    column = BY_NAME["mass_kg"]
    odd = np.flatnonzero((mass_kg < (column.low or 0)) | (mass_kg > (column.high or np.inf)))
    for place in odd[:_NAMED]:
        said = f"{mass_kg[place]:.0f} kg is no mass of a bale; left unknown on the bale"
        note.at(int(rows[place]), Mark.MASS_UNBELIEVABLE, said)
