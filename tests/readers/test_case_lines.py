"""Entries of cases and photos as files: what is whole comes in, everything else is told."""

from __future__ import annotations

import hashlib
import json
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balewright.quantities.errors import BadInput
from balewright.readers.case_lines import entry_fields, read_case_lines, write_case_lines
from balewright.readers.photo import read_photo
from cause.case.entries_by_hand import walk

ENTRIES = tuple(replace(one, id=f"{one.id}-entry") for one in walk())
PHOTO = b"\xff\xd8\xff\xda\x00\x02\x12\x34\xff\xd9"
_LISTS = st.lists(st.integers(), max_size=2)
SHA256 = hashlib.sha256(PHOTO).hexdigest()
WHOLE = write_case_lines(ENTRIES, {SHA256: PHOTO})


@pytest.mark.law
def test_what_was_written_is_read() -> None:
    """Entries in their order, photos by their hash, nothing refused."""
    lines = read_case_lines(WHOLE)
    assert (lines.entries, dict(lines.photos), lines.refused) == (ENTRIES, {SHA256: PHOTO}, ())


@pytest.mark.own
@pytest.mark.parametrize(
    "odd",
    [
        {"payload": None, "more": 1},
        {"payload": [5], "more": 1},
        {"payload": "words", "more": 1},
        {"kind": "check read", "payload": {"check": "net_brake_pull", "value": 10**400}},
    ],
)
def test_what_is_no_payload_or_no_number_is_refused_and_the_rest_kept(odd: dict[str, Any]) -> None:
    """Whoever has a link sends any JSON: one odd entry may not keep the others out."""
    first, *rest = (entry_fields(one) for one in ENTRIES)
    said = [{"entry": first}, {"entry": {**rest[0], **odd}}, {"entry": rest[1]}]
    head = WHOLE.split(b"\n")[0]
    lines = read_case_lines(b"\n".join([head, *(json.dumps(one).encode() for one in said)]))
    assert [one.id for one in lines.entries] == [first["id"], rest[1]["id"]]
    assert [one.text for one in lines.refused] == [rest[0]["id"]]


@pytest.mark.law
@settings(max_examples=150, deadline=None)
@given(st.data())
def test_a_damaged_file_gives_entries_refusals_or_one_error(data: st.DataObject) -> None:
    """Cut, with bytes changed, or with a line of any JSON in it: every line but the damaged ones
    comes in as it was, and nothing but BadInput is ever raised.
    """
    lines = WHOLE.split(b"\n")
    at = data.draw(st.integers(1, len(lines) - 2))
    if data.draw(st.booleans()):
        lines[at] = data.draw(st.binary(max_size=40)).replace(b"\n", b" ")
    else:
        kept = json.loads(lines[at])
        inner = kept.get("entry", kept)
        name = data.draw(st.sampled_from(sorted(inner)))
        inner[name] = data.draw(
            st.none()
            | st.integers(-9, 9)
            | st.text(max_size=4)
            | st.lists(st.integers(), max_size=2)
        )
        lines[at] = json.dumps(kept).encode()
    read = read_case_lines(b"\n".join(lines))
    others = [one for n, one in enumerate(ENTRIES, 1) if n != at]
    assert [one for one in read.entries if one in others] == others
    assert len(read.entries) + len(read.photos) + len(read.refused) <= len(ENTRIES) + 1
    try:
        read_case_lines(WHOLE[: data.draw(st.integers(0, len(WHOLE)))])
        read_photo(data.draw(st.binary(max_size=30)))
    except BadInput:
        pass


@pytest.mark.own
@pytest.mark.parametrize(
    "line",
    [
        '{"entry": {"id": "x"}}',
        '{"entry": 5}',
        '{"photo": {"sha256": "00", "base64": "AAAA"}}',
        '{"photo": {"sha256": "00", "base64": "not base64"}}',
        '{"entry": {"a": NaN}}',
        '"' + "[" * 3 + '"',
        "[" * 50_000,
        json.dumps({"entry": {**entry_fields(ENTRIES[1]), "by": "a\0b"}}),
        json.dumps({"entry": {**entry_fields(ENTRIES[1]), "by": "\ud800"}}),
        json.dumps({"entry": {**entry_fields(ENTRIES[1]), "payload": {"words": "x" * 20_000}}}),
    ],
)
def test_a_line_that_cannot_be_kept_is_refused_with_its_place(line: str) -> None:
    """What no register could keep, what is too long, and what is no entry: by its line."""
    read = read_case_lines(WHOLE + line.encode("utf-8", "surrogatepass") + b"\n")
    (refused,) = read.refused
    assert refused.place == f"line {len(ENTRIES) + 3}"
    assert read.entries == ENTRIES


@pytest.mark.own
def test_what_a_newer_phone_says_beside_is_kept() -> None:
    """A name of an entry that this version does not know is kept inside its payload."""
    said: dict[str, Any] = {**entry_fields(ENTRIES[1]), "battery_frac": 0.4}
    head = WHOLE.split(b"\n")[0]
    (kept,) = read_case_lines(head + b"\n" + json.dumps({"entry": said}).encode()).entries
    assert kept.payload.get("beside").get("battery_frac") == 0.4
