"""What a photo carries beside its picture: where it was taken, with what, when; and without it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from balewright.quantities.errors import BadInput, Fault

JPEG: Final = "image/jpeg"
PNG: Final = "image/png"
_PNG_SIGN: Final = b"\x89PNG\r\n\x1a\n"
_PNG_BARE: Final = frozenset(
    (
        *(b"IHDR", b"PLTE", b"IDAT", b"IEND", b"tRNS", b"gAMA", b"cHRM", b"sRGB", b"iCCP"),
        *(b"sBIT", b"pHYs"),
    )
)
_SOI, _EOI, _SOS = 0xD8, 0xD9, 0xDA
_BARE_MARKERS: Final = frozenset((0xE0, 0xE2, 0xEE))
"""APP segments that only say how colours are meant: JFIF, colour profile, colour transform."""
_ALONE: Final = frozenset((*range(0xD0, 0xD9), 0x01))


@dataclass(frozen=True)
class Photo:
    """A photo. media: its type; bare: the picture alone; is_bare: it carried nothing else."""

    media: str
    bare: bytes
    is_bare: bool


def read_photo(content: bytes) -> Photo:
    """A JPEG or PNG with and without what it carries beside the picture (JPEG: ITU-T T.81, annex
    B; PNG: ISO/IEC 15948). The picture's own bytes stay as they are.

    Raises BadInput for anything else and for a file that was cut.
    """
    try:
        if content.startswith(_PNG_SIGN):
            return _photo(PNG, _bare_png(content), content)
        if content[:2] == bytes((0xFF, _SOI)):
            return _photo(JPEG, _bare_jpeg(content), content)
    except IndexError as error:
        raise _bad("a whole photo", "one that was cut") from error
    raise _bad("a photo (JPEG or PNG)", "another file")


def _photo(media: str, bare: bytes, content: bytes) -> Photo:
    return Photo(media, bare, bare == content)


def _bare_jpeg(content: bytes) -> bytes:
    """Segments that belong to the picture; nothing behind its end."""
    kept, at = [content[:2]], 2
    while True:
        if content[at] != 0xFF:
            raise _bad("a whole photo", "one that is damaged")
        marker = content[at + 1]
        if marker == 0xFF:  # fill before a marker
            at += 1
            continue
        if marker == _EOI:
            kept.append(content[at : at + 2])
            return b"".join(kept)
        if marker in _ALONE:
            kept.append(content[at : at + 2])
            at += 2
            continue
        end = at + 2 + int.from_bytes((content[at + 2], content[at + 3]))
        if marker == _SOS:
            end = _end_of_scan(content, end)
        is_app = 0xE0 <= marker <= 0xEF or marker == 0xFE
        if not is_app or marker in _BARE_MARKERS:
            kept.append(content[at:end])
        at = end


def _end_of_scan(content: bytes, at: int) -> int:
    """Where the coded picture ends: at the first marker that is neither stuffed nor a restart."""
    while True:
        at = content.find(b"\xff", at)
        if at < 0:
            raise _bad("a whole photo", "one that was cut")
        if content[at + 1] == 0x00 or 0xD0 <= content[at + 1] <= 0xD7:
            at += 2
        else:
            return at


def _bare_png(content: bytes) -> bytes:
    kept, at = [_PNG_SIGN], len(_PNG_SIGN)
    while True:
        size = int.from_bytes(content[at : at + 4])
        kind, end = content[at + 4 : at + 8], at + 12 + size
        if len(kind) < 4 or end > len(content):
            raise _bad("a whole photo", "one that was cut")
        if kind in _PNG_BARE:
            kept.append(content[at:end])
        if kind == b"IEND":
            return b"".join(kept)
        at = end


def _bad(need: str, given: str) -> BadInput:
    return BadInput(Fault("photo", need, given, "Take it again, or save it as JPEG first."))
