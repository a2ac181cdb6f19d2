"""Diagnostic messages: which codes a control says are there, since when, until when.

ISO 11783-12 / SAE J1939-73, DM1 (there now) and DM2 (were there). DM1 comes about once a second
while a code is there; on an implement silence means that there is none.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum
from typing import Final

from balewright.readers.can.notes import Notes
from balewright.records.quality import Mark

ACTIVE_CODES: Final = 65226
PREVIOUS_CODES: Final = 65227

SILENCE_US: Final = 5_000_000
"""A control that has not repeated its codes for so long has none: five turns of its message."""

MOST_EPISODES: Final = 10_000
_NO_COUNT: Final = 127
_LAMPS: Final = ("protect", "amber warning", "red stop", "malfunction")


@dataclass(frozen=True)
class Code:
    """One code. spn: what it is about, 19 bits; fmi: how it fails, 0 to 31; occurrence: how often
    it came, 0 to 126, None where the control does not count; old_form: its sender numbers by a
    way older than version 4, so that the SPN may read differently."""

    spn: int
    fmi: int
    occurrence: int | None
    old_form: bool


@dataclass(frozen=True)
class Diagnosis:
    """What one message says. lamps: those that are on, of protect, amber warning, red stop and
    malfunction; rest: bytes at its end that make no code."""

    lamps: tuple[str, ...]
    codes: tuple[Code, ...]
    rest: bytes = b""


def read_diagnosis(data: bytes) -> Diagnosis:
    """The content of a DM1 or DM2: two bytes of lamps, then four bytes a code.

    data: at least two bytes; filling of ones and the code 0/0, which says that there is none, are
    left out.
    """
    lamps = tuple(name for at, name in enumerate(_LAMPS) if (data[0] >> 2 * at) & 3 == 1)
    whole = (len(data) - 2) // 4
    codes = []
    for at in range(whole):
        bits = int.from_bytes(data[2 + 4 * at : 6 + 4 * at], "little")
        spn, fmi = (bits & 0xFFFF) | ((bits >> 21) & 7) << 16, (bits >> 16) & 0x1F
        count = (bits >> 24) & 0x7F
        if bits == 0xFFFF_FFFF or (spn == 0 and fmi == 0):
            continue
        codes.append(Code(spn, fmi, None if count == _NO_COUNT else count, bool(bits >> 31)))
    rest = data[2 + 4 * whole :]
    return Diagnosis(lamps, tuple(codes), rest if rest.strip(b"\xff") else b"")


class Ended(StrEnum):
    """How it is known that a code went."""

    SAID = "said"
    SILENT = "silent"
    STILL_THERE = "still there"


@dataclass(frozen=True)
class CodeEpisode:
    """A code from when it came to when it went.

    source: address of the control; active: said as there (DM1), else as been there (DM2);
    came_us: first heard; went_us: first message without it, or the last with it where silence
    tells, None where it was there to the end of the trace; occurrence: the largest heard; lamps:
    on at some time; messages: how many said it; number: of the frame in which it came.
    """

    source: int
    spn: int
    fmi: int
    active: bool
    came_us: int
    went_us: int | None
    ended: Ended
    occurrence: int | None
    lamps: tuple[str, ...]
    old_form: bool
    messages: int
    number: int

    @property
    def text(self) -> str:
        """`SPN/FMI`, as in the bale table."""
        return f"{self.spn}/{self.fmi}"


@dataclass
class _Open:
    code: Code
    came_us: int
    heard_us: int
    number: int
    occurrence: int | None
    lamps: set[str] = field(default_factory=set)
    messages: int = 0


@dataclass
class _Control:
    heard_us: int
    open: dict[tuple[int, int, bool], _Open] = field(default_factory=dict)


class Diagnostics:
    """Follows the codes of every control through one trace."""

    def __init__(self, notes: Notes) -> None:
        self._notes = notes
        self._controls: dict[tuple[int, bool], _Control] = {}
        self._gaps: list[tuple[int, int]] = []
        self._done: list[CodeEpisode] = []
        self._count = 0

    def gap(self, from_us: int, to_us: int) -> None:
        """Nothing at all was recorded between: silence then says nothing."""
        self._gaps.append((from_us, to_us))

    def unheard(self, at_us: int, source: int) -> None:
        """A message of codes of that control got lost: it spoke, nobody knows what."""
        control = self._controls.get((source, True))
        if control is not None:
            control.heard_us = max(control.heard_us, at_us)

    def hear(self, at_us: int, source: int, active: bool, data: bytes, number: int) -> None:
        """One whole DM1 (active) or DM2."""
        if len(data) < 6:
            said = "A message of codes has six bytes or more."
            self._notes.refuse(f"message {number}", data.hex(), said)
            return
        diagnosis = read_diagnosis(data)
        if diagnosis.rest:
            said = f"{len(diagnosis.rest)} bytes at the end of a message of codes make no code"
            self._notes.doubt(f"message {number}", Mark.RECORD_DAMAGED, said)
        control = self._controls.setdefault((source, active), _Control(at_us))
        if active:
            self._close_silent(source, control, at_us)
        control.heard_us = at_us
        now = {(code.spn, code.fmi, code.old_form): code for code in diagnosis.codes}
        for key, code in now.items():
            self._go_on(control, key, code, (at_us, number, diagnosis.lamps))
        if active:
            for key in [key for key in control.open if key not in now]:
                self._close(source, control.open.pop(key), at_us, Ended.SAID)

    def episodes(self, last_us: int | None) -> tuple[CodeEpisode, ...]:
        """Everything heard, in the order in which it came. last_us: end of the trace."""
        for (source, active), control in self._controls.items():
            if active and last_us is not None:
                self._close_silent(source, control, last_us)
            for one in control.open.values():
                self._done.append(_episode(source, active, one, None, Ended.STILL_THERE))
            control.open.clear()
        return tuple(
            sorted(self._done, key=lambda one: (one.came_us, one.source, one.spn, one.fmi))
        )

    def _go_on(
        self,
        control: _Control,
        key: tuple[int, int, bool],
        code: Code,
        heard: tuple[int, int, tuple[str, ...]],
    ) -> None:
        at_us, number, lamps = heard
        one = control.open.get(key)
        if one is None:
            self._count += 1
            if self._count > MOST_EPISODES:
                if self._count == MOST_EPISODES + 1:
                    said = f"more than {MOST_EPISODES} codes came; the further ones are left out"
                    self._notes.doubt(f"message {number}", Mark.RECORD_LEFT_OUT, said)
                return
            one = control.open[key] = _Open(code, at_us, at_us, number, code.occurrence)
        one.heard_us = at_us
        one.messages += 1
        one.lamps.update(lamps)
        if code.occurrence is not None:
            one.occurrence = max(one.occurrence or 0, code.occurrence)

    def _close_silent(self, source: int, control: _Control, at_us: int) -> None:
        """Close what was not repeated, unless the recording itself paused."""
        if at_us - control.heard_us <= SILENCE_US or self._paused(control.heard_us, at_us):
            return
        for one in control.open.values():
            self._close(source, one, one.heard_us, Ended.SILENT)
        control.open.clear()

    def _paused(self, from_us: int, to_us: int) -> bool:
        lost_us = sum(max(0, min(end, to_us) - max(start, from_us)) for start, end in self._gaps)
        return lost_us > 0 and to_us - from_us - lost_us <= SILENCE_US

    def _close(self, source: int, one: _Open, went_us: int, ended: Ended) -> None:
        self._done.append(_episode(source, True, one, went_us, ended))


def _episode(
    source: int, active: bool, one: _Open, went_us: int | None, ended: Ended
) -> CodeEpisode:
    return CodeEpisode(
        source=source,
        spn=one.code.spn,
        fmi=one.code.fmi,
        active=active,
        came_us=one.came_us,
        went_us=went_us,
        ended=ended,
        occurrence=one.occurrence,
        lamps=tuple(name for name in _LAMPS if name in one.lamps),
        old_form=one.code.old_form,
        messages=one.messages,
        number=one.number,
    )
