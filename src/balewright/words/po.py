"""Gettext's text form of a catalogue (.po), and its compiled form (.mo) in memory.

Only what a catalogue of this project uses: comments, `msgctxt`, `msgid`, `msgstr` and texts over
several lines. Plural forms stand inside a message (see `words/fill`), not in `msgid_plural`.
"""

from __future__ import annotations

import json
import struct
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

_CONTEXT_END: Final = "\x04"
_MAGIC: Final = 0x950412DE
_FIELDS: Final = ("msgctxt", "msgid", "msgstr")


@dataclass(frozen=True)
class PoEntry:
    """One message. key: `msgctxt`, the message's key; source: `msgid`, its English; text: `msgstr`,
    empty where it is not translated yet; fuzzy: marked as to be looked at again.
    """

    key: str
    source: str
    text: str
    fuzzy: bool = False


class BrokenCatalogue(ValueError):
    """A catalogue that is not of this form: a fault of ours, with the line where it is."""


def read_po(text: str) -> tuple[PoEntry, ...]:
    """Every entry in its order; the header is the one without key and source.

    Raises BrokenCatalogue for anything else, and for a key that stands there twice.
    """
    entries = tuple(_entries(text))
    seen: set[str] = set()
    for entry in entries:
        if entry.key in seen:
            raise BrokenCatalogue(f"{entry.key!r} stands there twice")
        seen.add(entry.key)
    return entries


def header_of(entries: tuple[PoEntry, ...]) -> dict[str, str]:
    """The fields of the header by their names."""
    text = next((entry.text for entry in entries if not entry.key and not entry.source), "")
    fields = (line.partition(":") for line in text.splitlines() if line)
    return {name.strip(): value.strip() for name, _, value in fields}


def compile_po(entries: tuple[PoEntry, ...]) -> bytes:
    """The entries as a .mo file that gettext reads; what is fuzzy or empty is left out."""
    pairs = sorted(
        (
            (f"{entry.key}{_CONTEXT_END}{entry.source}" if entry.key else entry.source).encode(),
            entry.text.encode(),
        )
        for entry in entries
        if entry.text and not entry.fuzzy
    )
    start = 7 * 4 + 16 * len(pairs)
    tables: list[list[int]] = [[], []]
    blob = b""
    for column in (0, 1):
        for pair in pairs:
            tables[column] += [len(pair[column]), start + len(blob)]
            blob += pair[column] + b"\0"
    head = struct.pack("<7I", _MAGIC, 0, len(pairs), 28, 28 + 8 * len(pairs), 0, 0)
    numbers = tables[0] + tables[1]
    return head + struct.pack(f"<{len(numbers)}I", *numbers) + blob


def _entries(text: str) -> Iterator[PoEntry]:
    found: dict[str, str] = {}
    fuzzy, last = False, ""
    for number, raw in enumerate([*text.splitlines(), ""], start=1):
        line = raw.strip()
        if not line:
            if found:
                yield _entry(found, fuzzy, number)
            found, fuzzy, last = {}, False, ""
        elif line.startswith("#"):
            fuzzy = fuzzy or (line.startswith("#,") and "fuzzy" in line)
        else:
            name, _, quoted = line.partition(" ")
            if line.startswith('"'):
                name, quoted = last, line
            elif name not in _FIELDS or name in found:
                raise BrokenCatalogue(f"line {number}: {line[:60]!r}")
            found[name] = found.get(name, "") + _unquoted(quoted, number)
            last = name


def _entry(found: dict[str, str], fuzzy: bool, number: int) -> PoEntry:
    if "msgid" not in found or "msgstr" not in found:
        raise BrokenCatalogue(f"line {number}: an entry needs msgid and msgstr")
    return PoEntry(found.get("msgctxt", ""), found["msgid"], found["msgstr"], fuzzy)


def _unquoted(quoted: str, number: int) -> str:
    try:
        text = json.loads(quoted)  # its escapes are those of these files
    except ValueError:
        text = None
    if not isinstance(text, str):
        raise BrokenCatalogue(f"line {number}: {quoted[:60]!r} is no text in quotes")
    return text
