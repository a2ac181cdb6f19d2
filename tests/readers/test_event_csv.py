"""Events as CSV: the same rules as the bale table."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from balewright.quantities.errors import BadInput
from balewright.readers.event_csv import read_event_csv, write_event_csv
from balewright.records.events import Event, EventKind

_TEXT = st.text(st.characters(exclude_categories=("Cs", "Cc")), max_size=12)
EVENTS = st.builds(
    Event,
    machine=_TEXT.filter(bool),
    kind=st.sampled_from(EventKind),
    bale_no=st.none() | st.integers(0, 10_000_000),
    at_us=st.none() | st.integers(0, 4_102_444_799_999_999),
    item=_TEXT,
    value=st.none() | st.floats(-1e9, 1e9),
    note=_TEXT,
    batch=_TEXT,
)


def write_file(folder: Path, text: str) -> Path:
    """A file with this content."""
    path = folder / "events.csv"
    path.write_text(text, encoding="utf-8")
    return path


@pytest.mark.derived
def test_events_are_read_with_their_kinds(tmp_path: Path) -> None:
    """A row becomes an event; what it does not say is unknown."""
    path = write_file(
        tmp_path,
        "machine,bale,at,kind,item,value,note\n"
        'MW-07,812,1970-01-02T00:00:00Z,film roll changed,film1,1500,"white, new batch"\n'
        "MW-07,,,software set,,,4.2b\n",
    )
    (batch,) = read_event_csv(path)
    assert batch.bales.rows == 0
    assert batch.refusals == ()
    changed = EventKind.FILM_ROLL_CHANGED
    day_us = 86_400_000_000
    assert batch.events == (
        Event("MW-07", changed, 812, day_us, "film1", 1500.0, "white, new batch"),
        Event("MW-07", EventKind.SOFTWARE_SET, note="4.2b"),
    )


@pytest.mark.derived
def test_a_roll_carries_its_batch_from_version_2_on(tmp_path: Path) -> None:
    """Version 2 names the batch of the roll; a file of version 1 is read as before."""
    row = "MW-07,812,film roll changed,film1"
    for head, names, cells, batch in (
        ("# balewright events 2", "machine,bale,kind,item,batch", f"{row},LOT 31/7", "LOT 31/7"),
        ("# balewright events 1", "machine,bale,kind,item", row, ""),
    ):
        (read,) = read_event_csv(write_file(tmp_path, f"{head}\n{names}\n{cells}\n"))
        roll = EventKind.FILM_ROLL_CHANGED
        assert read.events == (Event("MW-07", roll, 812, item="film1", batch=batch),)


@pytest.mark.derived
@pytest.mark.parametrize(
    ("row", "place", "reason"),
    [
        (",812,software set", "line 3, column machine", "needs a value: no row can do without."),
        ("MW-07,812,", "line 3, column kind", "needs a value: no row can do without. Fill it in."),
        ("MW-07,812,netroll changed", "line 3, column kind", "Did you mean net roll changed?"),
        ("MW-07,-1,software set", "line 3, column bale", "needs a whole number from 0 to 10000000"),
    ],
)
def test_a_bad_row_is_refused_and_the_rest_kept(
    row: str, place: str, reason: str, tmp_path: Path
) -> None:
    """An event without machine or kind, or with a wrong cell, is one refusal."""
    path = write_file(tmp_path, f"machine,bale,kind\nMW-07,1,software set\n{row}\n")
    (batch,) = read_event_csv(path)
    assert [event.bale_no for event in batch.events] == [1]
    assert [refusal.place for refusal in batch.refusals] == [place]
    assert reason in batch.refusals[0].reason


@pytest.mark.derived
def test_columns_that_every_row_needs_are_asked_for(tmp_path: Path) -> None:
    """A file of events without kinds is refused as a whole."""
    with pytest.raises(BadInput, match="needs the column `kind`, was given none"):
        read_event_csv(write_file(tmp_path, "machine,bale,note\nMW-07,1,x\n"))


@pytest.mark.law
@given(events=st.lists(EVENTS, min_size=1, max_size=4))
def test_what_is_written_reads_back_the_same(
    events: list[Event], tmp_path_factory: pytest.TempPathFactory
) -> None:
    """Any events that the form can hold come back equal."""
    stream = io.StringIO()
    write_event_csv(events, stream)
    path = tmp_path_factory.mktemp("round") / "events.csv"
    path.write_bytes(stream.getvalue().encode())
    batches = list(read_event_csv(path))
    assert [event for batch in batches for event in batch.events] == events
    assert [refusal for batch in batches for refusal in batch.refusals] == []
