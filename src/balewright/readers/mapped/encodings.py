"""Encodings of text files: what a byte order mark says, what the bytes allow, lines as UTF-8."""

from __future__ import annotations

import codecs
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Final

from balewright.readers.csv_form import UTF8_BOM
from balewright.readers.csv_split import CONTROLS
from balewright.readers.lines import Block, Tell, read_blocks

ENCODINGS: Final = ("utf-8", "cp1252", "latin-1", "utf-16-le", "utf-16-be")
_MARKS: Final = (
    (UTF8_BOM, "utf-8"),
    (codecs.BOM_UTF16_LE, "utf-16-le"),
    (codecs.BOM_UTF16_BE, "utf-16-be"),
)
SUBSTITUTE: Final = "\x1a"
"""Stands for bytes that are no letter of the encoding; the line is refused as damaged."""


@dataclass(frozen=True)
class EncodingGuess:
    """encoding: one of ENCODINGS; is_sure: the bytes leave no other; why: `mark` (a byte order
    mark says so), `ascii` (no letter beyond ASCII), `utf-8` (all letters are valid UTF-8),
    `zeros` (every second byte is zero) or `not utf-8` (Western European is only the likeliest).
    """

    encoding: str
    is_sure: bool
    why: str


def guess_encoding(head: bytes) -> EncodingGuess:
    """What the first bytes of a file say of its encoding."""
    for mark, encoding in _MARKS:
        if head.startswith(mark):
            return EncodingGuess(encoding, True, "mark")
    if b"\0" in head[:4096]:
        zeros = [head[start:4096:2].count(0) for start in (0, 1)]
        if max(zeros) > 4 * min(zeros) + 4:
            return EncodingGuess("utf-16-be" if zeros[0] > zeros[1] else "utf-16-le", True, "zeros")
    if head.isascii():
        return EncodingGuess("utf-8", True, "ascii")
    try:
        codecs.getincrementaldecoder("utf-8")().decode(head)  # its last letter may be cut
    except UnicodeDecodeError:
        return EncodingGuess("cp1252", False, "not utf-8")
    return EncodingGuess("utf-8", True, "utf-8")


def marked_encoding(head: bytes) -> str | None:
    """What the byte order mark says, None without one."""
    return next((encoding for mark, encoding in _MARKS if head.startswith(mark)), None)


def decode(head: bytes, encoding: str) -> str:
    """First bytes as text; what cannot be decoded is SUBSTITUTE, the mark is left out."""
    wide = encoding.startswith("utf-16")
    decoder = codecs.getincrementaldecoder(encoding)("replace")
    return decoder.decode(head, final=not wide).replace("�", SUBSTITUTE).lstrip("\ufeff")


@dataclass(frozen=True)
class TextLines:
    """Whole lines as UTF-8. places: line of each, from 1; refused: line -> (text, reason).

    is_plain: whether they hold neither quotes nor control signs.
    """

    places: list[int]
    lines: list[bytes]
    refused: dict[int, tuple[str, str]]
    ended: bool
    is_plain: bool = False


def read_lines(path: Path, encoding: str, tell: Tell | None = None) -> Iterator[TextLines]:
    """The lines of a file, plain or gzip, recoded to UTF-8, in bounded memory."""
    recode = partial(_recode_wide, encoding) if encoding.startswith("utf-16") else None
    for block in read_blocks(path, tell, recode):
        yield _as_utf8(block, "utf-8" if recode else encoding)


def _recode_wide(encoding: str, chunks: Iterable[bytes]) -> Iterator[bytes]:
    """UTF-16 as UTF-8; a pair that is cut by a chunk is kept together."""
    decoder = codecs.getincrementaldecoder(encoding)("replace")
    for chunk in chunks:
        yield decoder.decode(chunk).replace("�", SUBSTITUTE).encode()
    yield decoder.decode(b"", final=True).replace("�", SUBSTITUTE).encode()


def _as_utf8(block: Block, encoding: str) -> TextLines:
    lines = block.lines
    if any(line.endswith(b"\r") for line in lines):
        lines = [line.removesuffix(b"\r") for line in lines]
    places = list(range(block.first_line, block.first_line + len(lines)))
    if block.first_line == 1 and lines:
        lines = [lines[0].removeprefix(UTF8_BOM), *lines[1:]]
    whole = b"\n".join(lines)
    is_plain = len(whole.translate(None, CONTROLS + b'\r"')) == len(whole)
    if whole.isascii() or (encoding == "utf-8" and _is_utf8(whole)):
        return TextLines(places, lines, {}, block.ended, is_plain)
    if encoding != "utf-8" and not _is_utf8(whole):
        text = whole.decode(encoding, "replace").replace("�", SUBSTITUTE)
        is_plain = is_plain and SUBSTITUTE not in text
        return TextLines(places, text.encode().split(b"\n"), {}, block.ended, is_plain)
    refused = {}
    for place, line in zip(places, lines, strict=True):
        if not line.isascii() and _is_utf8(line) != (encoding == "utf-8"):
            refused[place] = (line[:200].decode(errors="backslashreplace"), _why(encoding, line))
    kept = [
        (place, line) for place, line in zip(places, lines, strict=True) if place not in refused
    ]
    return TextLines([at for at, _ in kept], [line for _, line in kept], refused, block.ended)


def _is_utf8(data: bytes) -> bool:
    try:
        data.decode()
    except UnicodeDecodeError:
        return False
    return True


def _why(encoding: str, line: bytes) -> str:
    if encoding != "utf-8":
        return (
            f"needs {encoding} text as the column map says, these letters are UTF-8. "
            "Make a version of the map with that encoding."
        )
    wrong = next(at for at in range(len(line)) if line[at] > 127 and not _is_utf8(line[: at + 4]))
    return (
        f"needs UTF-8 text as the column map says, has byte 0x{line[wrong]:02X}. "
        "Make a version of the map with the right encoding."
    )
