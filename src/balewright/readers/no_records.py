"""Files that can hold no records of a machine: pictures, programs, documents, noise."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from balewright.quantities.errors import BadInput, Fault

_NEED: Final = "records of a machine: task data, a table of bales, or a recording of its bus"
_CURE: Final = "Choose the file that the machine or its program wrote."
_JUDGED_BYTES: Final = 4096
_MOST_CONTROLS: Final = 0.02
"""Share of control signs above which bytes are no text; text has next to none."""

_CONTROLS: Final = bytes(code for code in range(1, 32) if code not in b"\t\n\r\x1b")
_MARKED: Final = (
    (b"\xff\xd8\xff", "a photo (JPEG)"),
    (b"\x89PNG\r\n\x1a\n", "a picture (PNG)"),
    (b"GIF8", "a picture (GIF)"),
    (b"%PDF", "a PDF document"),
    (b"\x7fELF", "a program"),
    (b"MZ", "a program"),
    (b"Rar!", "an archive (RAR); unpack it first"),
    (b"7z\xbc\xaf\x27\x1c", "an archive (7z); unpack it first"),
    (b"SQLite format 3\x00", "a database"),
    (b"{\\rtf", "a text document (RTF)"),
)


def require_text(path: Path, head: bytes) -> None:
    """Pass where the first bytes of a file may be text of some kind, unpacked.

    Raises BadInput that says in plain words what the file is instead. UTF-16 text passes: it has a
    zero in every other byte.
    """
    what = next((what for mark, what in _MARKED if head.startswith(mark)), None)
    if what == "a program" and head.startswith(b"MZ") and not _is_noise(head):
        what = None  # two letters that a heading may begin with
    if what is None and head[4:8] == b"ftyp":
        what = "a film or photo"
    if what is None and _is_noise(head):
        what = "binary data that no reader here knows"
    if what is not None:
        raise BadInput(Fault(path.name, _NEED, what, _CURE))


def _is_noise(head: bytes) -> bool:
    judged = head[:_JUDGED_BYTES]
    even, odd = judged[::2].count(0), judged[1::2].count(0)
    if abs(even - odd) * 8 > len(judged):  # one of the two bytes of many signs is zero
        return False
    controls = len(judged) - len(judged.translate(None, _CONTROLS))
    return controls + even + odd > _MOST_CONTROLS * max(len(judged), 1)
