"""A trace's frames at UTC, whatever its form."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

from balewright.quantities.errors import BadInput, Fault
from balewright.readers.can.blf_frames import blf_frames, blf_start
from balewright.readers.can.forms import TraceForm, tell_form
from balewright.readers.can.frames import Frames
from balewright.readers.can.grammars import grammar_of
from balewright.readers.can.mf4_frames import mf4_frames, require_mf4
from balewright.readers.can.notes import Notes
from balewright.readers.can.text_frames import text_frames
from balewright.readers.can.wall_clock import ClockGiven, Pause, Restart, WallClock
from balewright.readers.lines import read_head

NEED = "a trace of a CAN bus: candump, ASC, TRC, CSV of python-can, BLF or MF4"


@dataclass(frozen=True)
class OpenFrames:
    """form: which one; frames: blocks, once; dated: whether their times are UTC, known once the
    first block was given."""

    form: TraceForm
    frames: Iterator[Frames]
    dated: Callable[[], bool]


def open_frames(
    path: Path, notes: Notes, zone: str | None = None, begins_us: int | None = None
) -> OpenFrames:
    """The frames of a trace of any known form.

    notes: hears what is refused and doubted; zone: IANA zone of the recorder's wall clock, for
    heads that name none; begins_us: UTC microseconds of the recording's start, for traces that
    do not say it. Raises BadInput where it is no trace, at once or while the blocks are taken.
    """
    head = read_head(path)
    form = tell_form(head)
    if form is None:
        raise BadInput(Fault(path.name, NEED, "something else", "Give the recording itself."))
    some: Iterable[Frames | Restart | Pause]
    if form is TraceForm.BLF:
        given = ClockGiven(blf_start(path), zone, begins_us)
        some = blf_frames(path, notes)
    elif form is TraceForm.MF4:
        require_mf4(path)
        given = ClockGiven(None, zone, begins_us)
        some = mf4_frames(path, notes)
    else:
        lines = head.removeprefix(b"\xef\xbb\xbf").decode("utf-8", "replace").splitlines()
        grammar = grammar_of(form, path.name, lines)
        given = ClockGiven(grammar.head.start, zone, begins_us, grammar.head.between)
        some = text_frames(path, grammar, notes)
    clock = WallClock(given, notes)
    return OpenFrames(form, clock.tell(some), lambda: clock.dated)
