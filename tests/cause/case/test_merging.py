"""Entries from several places are one case, however and how often they came."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balewright.cause.case.entry import Entry, EntryKind, Said, content_of, order_of
from balewright.cause.case.evidence import evidence_of
from balewright.cause.case.merge import conflicts_in, merge
from balewright.cause.case.payload import DEEPEST, Fields, fields_of, freeze, spelled, thaw
from balewright.cause.case.read_case import check_entry, read_case
from balewright.quantities.errors import BadInput

from .entries_by_hand import CASE, entry, opened, walk

_SCALARS = (
    st.none()
    | st.booleans()
    | st.integers(-5, 5)
    | st.text(max_size=3)
    | st.floats(-4, 4, width=16)
)
_VALUES = st.recursive(
    _SCALARS,
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=3), inner, max_size=3)
    ),
    max_leaves=6,
)
_PAYLOADS = st.one_of(
    st.builds(
        lambda key, seen, value: fields_of(check=key, seen=seen, value=value),
        st.sampled_from(["a", "b"]),
        st.sampled_from([*Said, None, "perhaps"]),
        st.none() | st.integers(1, 9),
    ),
    st.builds(lambda id_: fields_of(entry=id_), st.sampled_from(["1", "2", "3", "4"])),
    st.dictionaries(st.sampled_from(["words", "machine", "parts", "sha256"]), _VALUES).map(freeze),
)
_ENTRIES = st.builds(
    Entry,
    id=st.sampled_from(["1", "2", "3", "4", "5"]),
    case=st.just(CASE),
    device=st.sampled_from(["phone", "desk"]),
    sequence=st.integers(1, 3),
    clock=st.integers(1, 4),
    kind=st.sampled_from([*EntryKind, "weighed by a newer one"]),
    payload=_PAYLOADS,
    schema_version=st.sampled_from([1, 1, 1, 2]),
    made_us=st.none() | st.integers(0, 3),
    by=st.sampled_from(["", "Tove"]),
)


@pytest.mark.law
@settings(max_examples=150, deadline=None)
@given(st.data(), st.lists(_ENTRIES, min_size=1, max_size=9))
def test_any_interleaving_gives_the_same_case(data: st.DataObject, entries: list[Entry]) -> None:
    """Order, copies and the way entries were grouped change nothing of the case, and no entry is
    ever lost; nothing an entry may hold makes reading it fail.
    """
    whole = read_case(entries)
    shuffled = data.draw(st.permutations(entries + data.draw(st.lists(st.sampled_from(entries)))))
    cut = data.draw(st.integers(0, len(shuffled)))
    left, right = shuffled[:cut], shuffled[cut:]
    assert merge(merge(left), merge(right), left) == whole.entries
    again = read_case(merge(right, merge(left)))
    assert again == whole
    assert evidence_of(again) == evidence_of(whole)
    assert {content_of(one) for one in whole.entries} == {content_of(one) for one in entries}
    assert [order_of(one) for one in whole.entries] == sorted(map(order_of, whole.entries))


@pytest.mark.law
@settings(max_examples=100, deadline=None)
@given(_VALUES)
def test_a_payload_comes_back_as_it_went_in(value: object) -> None:
    """Frozen and thawed it is the same JSON, spelled the same; one content is never two."""
    frozen = freeze(value)
    assert thaw(frozen) == value
    assert spelled(freeze(thaw(frozen))) == spelled(frozen)
    hash(frozen)


@pytest.mark.law
def test_what_looks_alike_is_not_one_content() -> None:
    """Yes and 1, a number and its digits, a text and a list of it are different contents; 5 and
    5.0 are one, as a phone cannot tell them apart.
    """
    others = [True, 1, "1", ["1"], {"1": 1}, None, "", [], {}, 1.5]
    assert len({spelled(freeze(one)) for one in others}) == len(others)
    assert spelled(freeze(5.0)) == spelled(freeze(5))


@pytest.mark.own
def test_what_json_does_not_have_is_refused() -> None:
    """No number without end, no shape of another language, nothing deeper than anybody enters."""
    deep: object = 1
    for _ in range(DEEPEST + 1):
        deep = [deep]
    for bad in (float("nan"), float("inf"), {1: 2}, {1, 2}, deep):
        with pytest.raises(BadInput):
            freeze(bad)


@pytest.mark.law
def test_one_id_with_two_contents_is_a_conflict_that_is_shown() -> None:
    """Both stay, neither counts as evidence against the other, and everybody sees the same."""
    yes = entry(2, EntryKind.CHECK_READ, check="net_brake_pull", seen="yes")
    no = replace(yes, payload=fields_of(check="net_brake_pull", seen="no"))
    case = read_case((opened(), yes, no))
    assert case.conflicts == conflicts_in((no, yes, opened()))
    assert {one.payload for one in case.conflicts[0].entries} == {yes.payload, no.payload}
    assert {one.said for one in case.readings} == {Said.YES, Said.NO}
    assert evidence_of(case)["net_brake_pull"].answer == "unknown"


@pytest.mark.own
def test_entries_of_two_cases_are_not_one() -> None:
    """They are refused, and so is nothing at all."""
    for wrong in ((), (opened(), replace(opened(), case="C-other"))):
        with pytest.raises(BadInput, match="one case"):
            read_case(wrong)


@pytest.mark.own
@pytest.mark.parametrize(
    ("kind", "payload"),
    [
        (EntryKind.OPENED, {}),
        (EntryKind.CHECK_READ, {"seen": "yes"}),
        (EntryKind.CHECK_READ, {"check": "a", "seen": "perhaps"}),
        (EntryKind.REPORTED, {"on": "a"}),
        (EntryKind.WENT_BACK, {}),
        (EntryKind.PHOTO, {}),
        (EntryKind.CAUSE_FOUND, {}),
        (EntryKind.PROVED, {"outcome": "surely"}),
    ],
)
def test_an_entry_without_what_its_kind_needs_is_refused_at_the_door_and_kept_behind_it(
    kind: EntryKind, payload: dict[str, str]
) -> None:
    """At the door it is refused with its place; already inside it is kept, counted, not read."""
    lame = entry(2, kind, **payload)
    with pytest.raises(BadInput):
        check_entry(lame)
    assert read_case((opened(), lame)).not_understood == (lame,)


@pytest.mark.own
def test_a_newer_versions_entries_are_kept_and_not_read() -> None:
    """An unknown kind, and a known kind of a newer shape, pass the door and change nothing else."""
    newer = (
        entry(11, "torque logged", value=3),
        replace(entry(12, EntryKind.CLOSED), schema_version=2),
    )
    for one in newer:
        check_entry(one)
    before, after = read_case(walk()), read_case((*walk(), *newer))
    assert after.not_understood == newer
    assert replace(after, entries=before.entries, not_understood=()) == before
    assert Fields((("value", 3),)) == newer[0].payload
