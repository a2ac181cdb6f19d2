"""Samples of signals as they come, and which sender's count where several give one signal."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from typing import Final

import numpy as np
from numpy.typing import NDArray

from balewright.quantities.errors import BadInput, Fault
from balewright.readers.can.fields import Values
from balewright.readers.can.notes import Notes
from balewright.records.quality import Mark
from balewright.records.signals import Signal

MOST_SAMPLES: Final = 40_000_000
"""About a gigabyte; a day of forty signals ten times a second has half of it."""
HELD_SAMPLES: Final = 8_000_000
"""So many are held of a trace that can be read a second time; of a longer one none are."""

OWN_RANK: Final = 0
_FOR_BALERS: Final = (OWN_RANK, 1)
"""Ranks of what only the baler itself can say: its own signals and its process data."""


@dataclass(frozen=True, order=True)
class Origin:
    """Where samples come from. rank: the lowest counts; what: in words; pgn; source: address of
    the sender; element: of process data, else 0."""

    rank: int
    what: str
    pgn: int
    source: int
    element: int = 0

    @property
    def text(self) -> str:
        """For a person."""
        return f"{self.what} from address {self.source:#04x}"


@dataclass(frozen=True, eq=False)
class When:
    """Times and message numbers of samples, (n,) each."""

    at_us: NDArray[np.int64]
    number: NDArray[np.int64]


@dataclass
class _Pieces:
    at_us: list[NDArray[np.int64]] = field(default_factory=list)
    values: list[NDArray[np.float64]] = field(default_factory=list)
    known: list[NDArray[np.bool_]] = field(default_factory=list)
    error: list[NDArray[np.bool_]] = field(default_factory=list)
    number: list[NDArray[np.int64]] = field(default_factory=list)
    known_total: int = 0

    def let_go(self) -> None:
        for held in (self.at_us, self.values, self.known, self.error, self.number):
            held.clear()

    def signal(self) -> Signal:
        at_us = np.concatenate(self.at_us)
        number = np.concatenate(self.number)
        # Long messages are found after the short ones of their block.
        order = np.argsort(number, kind="stable")
        return Signal(
            at_us[order],
            np.concatenate(self.values)[order],
            np.concatenate(self.known)[order],
            np.concatenate(self.error)[order],
            number[order],
        )


class Samples:
    """Gathers samples by signal and origin.

    most: how many are held, None for MOST_SAMPLES, beyond which the trace is refused; beyond
    `most` none are held any more, `spilled` is True, and who sent what is still told.
    """

    def __init__(self, file: str, notes: Notes, most: int | None = None) -> None:
        self.spilled = False
        self._file = file
        self._notes = notes
        self._most = most
        self._by_signal: dict[str, dict[Origin, _Pieces]] = {}
        self._total = 0

    def add(self, name: str, origin: Origin, values: Values, when: When) -> None:
        """Keep some samples of one sender. Raises BadInput where there are too many to hold."""
        if not len(values.values):
            return
        self._total += len(values.values)
        if self._most is None and self._total > MOST_SAMPLES:
            need = f"a trace with at most {MOST_SAMPLES:,} values of signals"
            raise BadInput(Fault(self._file, need, "one with more", "Split it, such as by day."))
        if self._most is not None and self._total > self._most and not self.spilled:
            self.spilled = True
            self._let_go()
        pieces = self._by_signal.setdefault(name, {}).setdefault(origin, _Pieces())
        pieces.known_total += int(values.known.sum())
        if self.spilled:
            return
        pieces.at_us.append(when.at_us)
        pieces.values.append(values.values)
        pieces.known.append(values.known)
        pieces.error.append(values.error)
        pieces.number.append(when.number)

    def take(self, origins: Mapping[str, Origin]) -> Mapping[str, Signal]:
        """The samples of these origins that came since the last time; all are let go."""
        found = {}
        for name, origin in origins.items():
            pieces = self._by_signal.get(name, {}).get(origin)
            if pieces is not None and pieces.at_us:
                found[name] = pieces.signal()
        self._let_go()
        self._total = 0
        return found

    def _let_go(self) -> None:
        for origins in self._by_signal.values():
            for pieces in origins.values():
                pieces.let_go()

    def choose(self, balers: Collection[int]) -> Mapping[str, Origin]:
        """The origin that counts for each signal.

        balers: addresses that a forage machine claimed; where there are some, only they give the
        baler's own signals. Of several origins the lowest rank that knows something counts, of
        these the one that knows most; what is left out is a doubt.
        """
        chosen = {}
        for name, origins in sorted(self._by_signal.items()):
            origin = self._choose(name, origins, balers)
            if origin is not None:
                chosen[name] = origin
        if "lat" in chosen and "lon" in chosen and chosen["lat"] != chosen["lon"]:
            other = chosen["lat"]
            if other in self._by_signal["lon"]:
                chosen["lon"] = other
        return chosen

    def _choose(
        self, name: str, origins: Mapping[Origin, _Pieces], balers: Collection[int]
    ) -> Origin | None:
        fitting = [
            one
            for one in origins
            if one.rank not in _FOR_BALERS or not balers or one.source in balers
        ]
        if not fitting:
            senders = ", ".join(sorted({f"{one.source:#04x}" for one in origins}))
            said = f"{name}: sent by address {senders}, which is no baler; left out"
            self._notes.doubt("whole file", Mark.SENDER_DOUBTED, said)
            return None
        known = [one for one in fitting if origins[one].known_total] or fitting
        rank = min(one.rank for one in known)
        rivals = sorted(
            (one for one in known if one.rank == rank),
            key=lambda one: (-origins[one].known_total, one),
        )
        if len(rivals) > 1:
            rest = ", ".join(one.text for one in rivals[1:4])
            said = f"{name}: {rivals[0].text} is taken; left out: {rest}"
            self._notes.doubt("whole file", Mark.SENDER_DOUBTED, said)
        return rivals[0]
