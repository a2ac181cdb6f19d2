"""Entries and photos of cases from JSON lines: what a phone sends, and the file it exports.

The first line says `{"form": "balewright case", "version": 1}`. Each further line is one entry
(`{"entry": {...}}`) or one photo (`{"photo": {"sha256": ..., "base64": ...}}`).
"""

from __future__ import annotations

import base64
import binascii
import hashlib
import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from balewright.cause.case.entry import Entry
from balewright.cause.case.payload import freeze, thaw
from balewright.cause.case.read_case import check_entry
from balewright.quantities.errors import BadInput, Fault
from balewright.records.intake import Refusal

FORM: Final = "balewright case"
VERSION: Final = 1
LARGEST_BYTES: Final = 64 << 20
LARGEST_PAYLOAD_BYTES: Final = 16 << 10
MOST_LINES: Final = 20_000
_ID: Final = re.compile(r"[A-Za-z0-9_-]{8,64}")
_CASE: Final = re.compile(r"[A-Za-z0-9_-]{3,64}")
_MOST: Final = 2**53
_HIGHEST_CLOCK: Final = 2**31
"""Far above what a case can have; a clock near the end of numbers would leave none above it."""
_NAMES: Final = frozenset(
    (
        *("id", "case", "device", "sequence", "clock", "kind", "payload", "schema_version"),
        *("made_us", "by"),
    )
)


@dataclass(frozen=True)
class CaseLines:
    """What a file holds. photos: content by its hash; refused: lines that cannot be taken, with
    the id of the entry as their text where it has one."""

    entries: tuple[Entry, ...]
    photos: Mapping[str, bytes]
    refused: tuple[Refusal, ...]


def read_case_lines(content: bytes, name: str = "lines") -> CaseLines:
    """Read entries and photos. A line that cannot be taken is refused and the others are kept.

    Raises BadInput where it is no such file, of a newer form, or too large.
    """
    if len(content) > LARGEST_BYTES:
        cure = "Export the case in two parts."
        raise BadInput(Fault(name, f"at most {LARGEST_BYTES >> 20} MB", "more", cure))
    lines = content.split(b"\n")
    if len(lines) > MOST_LINES:
        cure = "Export the case in two parts."
        raise BadInput(Fault(name, f"at most {MOST_LINES} lines", str(len(lines)), cure))
    _require_form(lines[0], name)
    entries, photos, refused = [], {}, []
    for number, line in enumerate(lines[1:], 2):
        if not line.strip():
            continue
        mark = ""
        try:
            said = _object(line)
            if "photo" in said:
                sha256, photo = _photo(said["photo"])
                photos[sha256] = photo
                continue
            mark = _mark(said)
            entries.append(entry_from(said.get("entry")))
        except BadInput as error:
            refused.append(Refusal(name, f"line {number}", mark, str(error)))
    return CaseLines(tuple(entries), photos, tuple(refused))


def write_case_lines(entries: tuple[Entry, ...], photos: Mapping[str, bytes]) -> bytes:
    """The same file from entries; `read_case_lines` gives them back."""
    lines: list[dict[str, Any]] = [{"form": FORM, "version": VERSION}]
    lines += [{"entry": entry_fields(one)} for one in entries]
    lines += [
        {"photo": {"sha256": key, "base64": base64.b64encode(photos[key]).decode()}}
        for key in sorted(photos)
    ]
    return "".join(json.dumps(line, ensure_ascii=False) + "\n" for line in lines).encode()


def entry_fields(entry: Entry) -> dict[str, Any]:
    """An entry as JSON."""
    return {
        "id": entry.id,
        "case": entry.case,
        "device": entry.device,
        "sequence": entry.sequence,
        "clock": entry.clock,
        "kind": entry.kind,
        "payload": thaw(entry.payload),
        "schema_version": entry.schema_version,
        "made_us": entry.made_us,
        "by": entry.by,
    }


def entry_from(said: Any) -> Entry:
    """An entry from JSON. Raises BadInput for one that cannot be kept or lacks what it needs.

    Names that this version does not know are kept inside the payload, under `beside`.
    """
    if not isinstance(said, dict):
        raise _bad("entry", "an entry as named values", repr(said)[:40])
    beside = {name: said[name] for name in said.keys() - _NAMES}
    given = said.get("payload", {})
    if not isinstance(given, dict):
        raise _bad("payload", "named values", repr(given)[:40])
    payload = freeze({**given, "beside": beside} if beside else given)
    if len(json.dumps(thaw(payload))) > LARGEST_PAYLOAD_BYTES:
        raise _bad("payload", f"at most {LARGEST_PAYLOAD_BYTES >> 10} KB", "more")
    entry = Entry(
        id=_word(said, "id", _ID),
        case=_word(said, "case", _CASE),
        device=_text(said, "device", 64),
        sequence=_whole(said, "sequence"),
        clock=_whole(said, "clock", high=_HIGHEST_CLOCK),
        kind=_text(said, "kind", 40),
        payload=payload,
        schema_version=_whole(said, "schema_version", 1, 1_000),
        made_us=None if said.get("made_us") is None else _whole(said, "made_us"),
        by=_text(said, "by", 150, may_lack=True),
    )
    check_entry(entry)
    return entry


def _require_form(line: bytes, name: str) -> None:
    cure = "Give the file that the case page exported, whole."
    try:
        said = _object(line)
    except BadInput:
        said = {}
    if said.get("form") != FORM:
        raise BadInput(Fault(name, "entries of a case (JSON lines)", "another file", cure))
    if said.get("version") != VERSION:
        given, cure = f"version {said.get('version')!r}", "Take it in with the newer Balewright."
        raise BadInput(Fault(name, f"version {VERSION} of the form", given, cure))


def _object(line: bytes) -> dict[str, Any]:
    try:
        said = json.loads(line, parse_constant=_no_constant)
        json.dumps(said, ensure_ascii=False).encode()
    except (ValueError, RecursionError) as error:
        raise _bad("line", "one JSON object", f"{error}"[:80]) from error
    if not isinstance(said, dict):
        raise _bad("line", "one JSON object", type(said).__name__)
    if "\\u0000" in json.dumps(said):
        raise _bad("line", "text without the sign U+0000", "text with it")
    return said


def _no_constant(name: str) -> Any:
    raise ValueError(f"{name} is no number")


def _mark(said: Mapping[str, Any]) -> str:
    entry = said.get("entry")
    mark = entry.get("id") if isinstance(entry, dict) else None
    return mark[:64] if isinstance(mark, str) else ""


def _photo(said: Any) -> tuple[str, bytes]:
    need, cure = "a photo with its hash and its content", "Export the case again."
    if not isinstance(said, dict) or not isinstance(said.get("base64"), str):
        raise BadInput(Fault("photo", need, "another", cure))
    try:
        content = base64.b64decode(said["base64"], validate=True)
    except (binascii.Error, ValueError) as error:
        raise BadInput(Fault("photo", need, str(error), cure)) from error
    sha256 = hashlib.sha256(content).hexdigest()
    if said.get("sha256") != sha256:
        raise BadInput(Fault("photo", "the content of that hash", "another", cure))
    return sha256, content


def _word(said: Mapping[str, Any], name: str, form: re.Pattern[str]) -> str:
    found = said.get(name)
    if not isinstance(found, str) or not form.fullmatch(found):
        raise _bad(name, f"letters, digits, - and _ ({form.pattern})", repr(found)[:80])
    return found


def _text(said: Mapping[str, Any], name: str, most: int, may_lack: bool = False) -> str:
    found = said.get(name, "" if may_lack else None)
    if not isinstance(found, str) or not (may_lack or found) or len(found) > most:
        raise _bad(name, f"text of at most {most} signs", repr(found)[:80])
    return found


def _whole(said: Mapping[str, Any], name: str, low: int = 0, high: int = _MOST) -> int:
    found = said.get(name)
    if isinstance(found, bool) or not isinstance(found, int) or not low <= found <= high:
        raise _bad(name, f"a whole number from {low} to {high}", repr(found)[:40])
    return found


def _bad(place: str, need: str, given: str) -> BadInput:
    return BadInput(Fault(place, need, given, "Send it again from the phone that wrote it."))
