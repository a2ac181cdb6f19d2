"""Bales as JSON lines: the same rules as the CSV form, line by line."""

from __future__ import annotations

import gzip
import json
from io import StringIO
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from balewright.readers.bale_csv import read_bale_csv, write_bale_csv
from balewright.readers.bale_lines import BALE_LINES, read_bale_lines
from balewright.readers.open_records import open_records
from balewright.records.bales import bale_table

GOOD = (
    '{"machine": "Z-1", "bale_no": 7, "closed_at": "2031-06-01T10:00:00Z", "mass_kg": 612.5}\n'
    '{"machine": "Z-1", "bale_no": 8, "status": "ok", "mass_kg": null}\n'
)


def write(folder: Path, text: str) -> Path:
    """A file of that text."""
    path = folder / "bales.jsonl"
    path.write_text(text)
    return path


@pytest.mark.derived
def test_objects_become_bales_and_null_is_unknown(tmp_path: Path) -> None:
    """Two objects with other keys: two rows, each unknown where its object says nothing."""
    records = open_records(write(tmp_path, GOOD))
    (batch,) = records.batches
    assert records.form == BALE_LINES
    assert batch.bales.cell(0, "mass_kg") == 612.5
    assert batch.bales.cell(1, "mass_kg") is None
    assert batch.bales.cell(1, "closed_at") is None
    assert batch.bales.cell(0, "closed_at") == 1938074400000000  # date -d 2031-06-01T10:00Z +%s
    assert batch.places is not None
    assert batch.places.at.tolist() == [1, 2]


@pytest.mark.own
@pytest.mark.parametrize(
    ("line", "said"),
    [
        ('{"machine": "Z-1", "bale_no": "seven"}', "column bale_no"),
        ('{"machine": "Z-1", "mass": 612}', "Did you mean `mass_kg`?"),
        ('{"machine": "Z-1", "mass_kg": NaN}', "null where the value is unknown"),
        ('{"machine": "Z-1", "mass_kg": 1e999}', "column mass_kg"),
        ('{"machine": "Z-1", "bale_no": 1, "bale_no": 2}', "each column once"),
        ('{"machine": "Z-1", "bale_no": true}', "a number, a text or null"),
        ('{"machine": "Z-1", "bale_no": [1]}', "a number, a text or null"),
        ('{"machine": "Z-1\\u0000"}', "control signs"),
        ('{"machine": "Z-1"', "one JSON object"),
        ('["Z-1", 7]', "JSON object"),
        ("", "empty"),
        ("[" * 9000, "one JSON object"),
        ('{"machine": "' + "x" * 70_000 + '"}', "at most"),
        ('{"machine": "\udcff"}', "UTF-8"),
    ],
)
def test_a_bad_line_costs_itself_alone(tmp_path: Path, line: str, said: str) -> None:
    """It is refused with its number, reason and cure; the lines beside it are kept."""
    path = tmp_path / "bales.jsonl"
    text = GOOD.splitlines()[0] + "\n" + line + "\n" + GOOD.splitlines()[1] + "\n"
    path.write_bytes(text.encode("utf-8", "surrogateescape"))
    (batch,) = read_bale_lines(path)
    assert batch.bales.rows == 2
    (refusal,) = batch.refusals
    assert refusal.place.startswith("line 2")
    assert said in f"{refusal.place} {refusal.reason}"


@pytest.mark.own
def test_packed_and_cut_files(tmp_path: Path) -> None:
    """gzip is unpacked; a last line without its end is kept with a mark."""
    path = tmp_path / "bales.jsonl.gz"
    path.write_bytes(gzip.compress(GOOD.rstrip("\n").encode()))
    (first, last) = open_records(path).batches
    assert first.bales.rows + last.bales.rows == 2
    assert [doubt.kind for doubt in last.doubts] == ["file cut"]


@pytest.mark.law
@given(
    rows=st.lists(
        st.fixed_dictionaries(
            {
                "machine": st.sampled_from(["Z-1", "Z-2", None]),
                "bale_no": st.one_of(st.none(), st.integers(0, 10_000_000)),
                "mass_kg": st.one_of(st.none(), st.floats(20, 3000)),
                "status": st.sampled_from([None, "ok", "burst"]),
            }
        ),
        min_size=1,
        max_size=8,
    )
)
def test_the_same_bales_as_csv(tmp_path_factory: pytest.TempPathFactory, rows: list[dict]) -> None:  # type: ignore[type-arg]
    """A table as CSV and as JSON lines reads back as the same values and the same doubts."""
    folder = tmp_path_factory.mktemp("lines")
    table = bale_table(len(rows), {name: [row[name] for row in rows] for name in rows[0]})
    text = StringIO()
    write_bale_csv(table, text)
    (folder / "bales.csv").write_text(text.getvalue(), newline="")
    path = write(folder, "".join(json.dumps(row) + "\n" for row in rows))
    (ours,), (theirs,) = read_bale_lines(path), read_bale_csv(folder / "bales.csv")
    for name in rows[0]:
        for row in range(len(rows)):
            assert ours.bales.cell(row, name) == theirs.bales.cell(row, name)
    assert [doubt.kind for doubt in ours.doubts] == [doubt.kind for doubt in theirs.doubts]
