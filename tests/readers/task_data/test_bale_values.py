"""What a log says of each bale: of the last bale, over its filling, by difference."""

from __future__ import annotations

import math
import re
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.readers.task_data.making import DEVICE, MadeSet, Record, header, task

from balewright.readers.task_data import TaskData, open_task_data, task_bales
from balewright.readers.task_data import bale_values as bale_values_module
from balewright.readers.task_data.attributes import Ledger
from balewright.readers.task_data.bale_values import bale_values
from balewright.readers.task_data.log_doubts import Note
from balewright.readers.task_data.log_header import read_header
from balewright.readers.task_data.machine_log import split_by_machine
from balewright.readers.task_data.time_log import decode_log

pytestmark = pytest.mark.derived

COUNT, STATE = 0x5B, 0x8D


def _read(
    folder: Path, columns: list[int], records: list[dict[int, int]], dpd: str = ""
) -> tuple[list[dict[str, Any]], TaskData]:
    """Rows of the bale table, unknown left out. records: raw values by identifier, ten
    seconds apart, of one log of one machine."""
    made = MadeSet(folder, [task(["TLG00001"])], DEVICE.format(dpd=dpd))
    rows = [
        Record(36_000 + 10 * s, {columns.index(number): raw for number, raw in values.items()})
        for s, values in enumerate(records)
    ]
    made.log("TLG00001", rows, [f"{number:04X}" for number in columns])
    data = open_task_data(made.write())
    (batch,) = task_bales(data)
    bales = batch.bales
    found = [
        {name: bales.column(name)[row] for name in bales.values if bales.mask(name)[row]}
        for row in range(bales.rows)
    ]
    return found, data


@pytest.mark.published
def test_every_identifier_of_the_last_bale_fills_its_column(tmp_path: Path) -> None:
    """ISO 11783-11: binding 644 (1 mesh), mesh 647 in mm, its layers 676, knives 645, film 650 and
    651 in mm, stretch 652 and overlap 653 in thousandths of a per cent, layers 654, preservative
    221 in ml, size 360 in mm, moisture 212 in ppm; all may come after the count."""
    last = {
        644: 1,
        647: 12_400,
        676: 3,
        645: 17,
        650: 750,
        651: 68_250,
        652: 68_000,
        653: 52_000,
        654: 6,
        221: 1_850,
        360: 1_240,
        212: 412_000,
    }
    columns = [COUNT, *last]
    (bale,), _ = _read(tmp_path, columns, [{COUNT: 0}, {COUNT: 1}, last, {}])
    assert bale["binding"] == "net"
    expected = {
        "binding_m": 12.4,
        "binding_turns": 3.0,
        "knives_in": 17,
        "film_width_m": 0.75,
        "film_m": 68.25,
        "said_stretch_frac": 0.68,
        "said_overlap_frac": 0.52,
        "said_layers": 6.0,
        "additive_l": 1.85,
        "diameter_m": 1.24,
        "moisture_frac": 0.412,
    }
    assert {name: bale[name] for name in expected} == pytest.approx(expected)
    assert (bale["diameter_how"], bale["moisture_how"]) == ("sensed", "sensed")


def test_means_are_taken_over_the_filling_and_only_in_work(tmp_path: Path) -> None:
    """Speed 397 in mm/s, PTO 541 in 0.0001 1/min, torque 551, oil 258 in mK, pitch 146 and roll 145
    in 0.001 degrees, moisture 99: the mean between two counts while the machine works (141 is 1),
    whatever it read at the headland."""
    columns = [COUNT, STATE, 397, 541, 551, 258, 146, 145, 99]
    work = {
        397: 2_000,
        541: 5_400_000,
        551: 3_000_000,
        258: 333_150,
        146: 5_000,
        145: 0,
        99: 400_000,
    }
    records = [
        {COUNT: 0, STATE: 1, **work},
        {STATE: 0, 397: 9_000, 541: 0, 99: 900_000},
        {STATE: 1, 397: 3_000, 541: 5_200_000, 99: 500_000},
        {COUNT: 1},
        {397: 4_000, 541: 5_000_000, 99: 300_000},
        {COUNT: 2},
    ]
    (first, second), data = _read(tmp_path, columns, records)
    assert first["speed_m_s"] == pytest.approx((2 + 3 + 3) / 3)
    assert first["pto_rpm"] == pytest.approx((540 + 520 + 520) / 3)
    assert first["pto_torque_nm"] == pytest.approx(300)
    assert first["oil_c"] == pytest.approx(60.0)
    assert first["pitch_frac"] == pytest.approx(math.tan(math.radians(5)), abs=1e-6)
    assert first["roll_frac"] == 0.0
    assert first["moisture_frac"] == pytest.approx((0.4 + 0.5 + 0.5) / 3, abs=1e-6)
    assert first["moisture_max_frac"] == pytest.approx(0.5)
    assert second["speed_m_s"] == pytest.approx(4.0)
    assert second["moisture_max_frac"] == pytest.approx(0.3)
    assert not data.tasks[0].doubtful


def test_speed_is_unknown_where_nobody_says_when_the_machine_works(tmp_path: Path) -> None:
    """Without a work state a mean over driving about is no speed of the filling."""
    (bale,), _ = _read(
        tmp_path, [COUNT, 397, 99], [{COUNT: 0, 397: 5_000, 99: 200_000}, {COUNT: 1}]
    )
    assert "speed_m_s" not in bale
    assert bale["moisture_frac"] == pytest.approx(0.2)


@pytest.mark.published
def test_condensed_work_state_counts_where_any_section_is_on(tmp_path: Path) -> None:
    """Identifier 161: two bits a section, 1 is on; section 3 alone is 0b010000."""
    records = [{COUNT: 0, 161: 0, 397: 9_000}, {161: 0b010000, 397: 2_000}, {COUNT: 1}]
    (bale,), _ = _read(tmp_path, [COUNT, 161, 397], records)
    assert bale["speed_m_s"] == pytest.approx(2.0)


def test_binding_is_told_by_the_counter_that_steps(tmp_path: Path) -> None:
    """No binding method, but bales bound with mesh (523) and twine (522) are counted apart: the
    first bale got net, the second twine, and each its own length."""
    columns = [COUNT, 523, 522, 647, 646]
    records = [
        {COUNT: 0, 523: 10, 522: 4, 647: 0, 646: 0},
        {COUNT: 1, 523: 11, 647: 11_000},
        {COUNT: 2},
        {522: 5, 646: 150_000},
    ]
    (first, second), _ = _read(tmp_path, columns, records)
    assert (first["binding"], first["binding_m"]) == ("net", 11.0)
    assert (second["binding"], second["binding_m"]) == ("twine", 150.0)


def test_running_totals_give_what_lies_between_two_counts(tmp_path: Path) -> None:
    """Preservative in all (536) and mesh in all (695): the second bale got what they gained; of
    the first the start is not in the log, the third shares its count with the fourth."""
    columns = [COUNT, 644, 536, 695]
    records = [
        {COUNT: 0, 644: 1, 536: 5_000, 695: 100_000},
        {COUNT: 1, 536: 6_500, 695: 112_000},
        {COUNT: 2, 536: 8_250, 695: 124_500},
        {COUNT: 4, 536: 12_000, 695: 150_000},
    ]
    bales, _ = _read(tmp_path, columns, records)
    assert [bale.get("additive_l") for bale in bales] == [None, 1.75, None, None]
    assert [bale.get("binding_m") for bale in bales] == [None, 12.5, None, None]


def test_size_of_a_square_bale_is_no_diameter(tmp_path: Path) -> None:
    """A machine that describes a bale height (107) makes square bales: its size is a length."""
    dpd = '<DPD A="10" B="006B" C="1" D="9" E="Height"/>'
    (bale,), _ = _read(tmp_path, [COUNT, 360], [{COUNT: 0, 360: 1_200}, {COUNT: 1}], dpd)
    assert "diameter_m" not in bale


def test_largest_size_while_filling_is_the_diameter_where_no_last_one_is_said(
    tmp_path: Path,
) -> None:
    """Identifier 112 grows with the bale and falls back when it has left."""
    records = [{COUNT: 0, 112: 600}, {112: 1_300}, {112: 900}, {COUNT: 1}, {112: 0}]
    (bale,), _ = _read(tmp_path, [COUNT, 112], records)
    assert bale["diameter_m"] == pytest.approx(1.3)


def test_device_that_shows_kelvins_as_degrees_contradicts_nobody(tmp_path: Path) -> None:
    """Oil in mK, shown as (raw - 273150) x 0.001 degrees Celsius: the same value."""
    dpd = (
        '<DPD A="10" B="0102" C="1" D="9" E="Oil" F="11"/>'
        '<DVP A="11" B="-273150" C="0.001" D="1" E="°C"/>'
    )
    (bale,), data = _read(tmp_path, [COUNT, 258], [{COUNT: 0, 258: 345_150}, {COUNT: 1}], dpd)
    assert bale["oil_c"] == pytest.approx(72.0)
    assert not data.tasks[0].doubtful


def test_width_that_the_device_counts_in_centimetres_is_believed_and_said(tmp_path: Path) -> None:
    """Raw 75 shown as 1 cm a step: by the dictionary it would be 75 mm of film."""
    dpd = '<DPD A="10" B="028A" C="1" D="9" E="Film" F="11"/><DVP A="11" B="0" C="1" D="0" E="cm"/>'
    (bale,), data = _read(tmp_path, [COUNT, 650], [{COUNT: 0, 650: 75}, {COUNT: 1}], dpd)
    assert bale["film_width_m"] == pytest.approx(0.75)
    assert [str(each.kind) for each in data.tasks[0].doubtful] == ["unit contradicted"]


def test_values_that_no_bale_has_are_unknown_and_said(tmp_path: Path) -> None:
    """The mark for not available (the largest raw value) is 2,147 km of film: unknown, said."""
    records = [{COUNT: 0, 651: 2**31 - 1}, {COUNT: 1}, {COUNT: 2}, {651: 60_000}]
    (first, second), data = _read(tmp_path, [COUNT, 651], records)
    assert ("film_m" in first, second["film_m"]) == (False, 60.0)
    (doubt,) = (each for each in data.tasks[0].doubtful if each.kind == "value unbelievable")
    assert "1 values of film_m are none of a bale" in doubt.text


def test_moisture_that_stands_at_its_highest_value_is_said(tmp_path: Path) -> None:
    """A sensor at the end of its scale says its highest value most of the time: kept, marked."""
    records = [{COUNT: 0, 99: 300_000}, {99: 601_000}, *[{} for _ in range(200)], {COUNT: 1}]
    (bale,), data = _read(tmp_path, [COUNT, 99], records)
    assert bale["moisture_max_frac"] == pytest.approx(0.601)
    (doubt,) = data.tasks[0].doubtful
    assert "stands at its highest value, 60.1 %, in 100 % of the records" in doubt.text


def test_column_repeated_in_the_header_is_one_series(tmp_path: Path) -> None:
    """The same identifier of the same element twice: what either says, in order."""
    text = header(["005B", "005B"])
    found = read_header(text.encode(), "T.XML", Ledger())
    assert found is not None
    records = [Record(s, {s % 2: s}) for s in range(6)]
    log = decode_log("T", b"".join(r.packed() for r in records), found, "T.BIN")
    (part,) = split_by_machine(log, (), "RB-7")
    assert part.written(COUNT)[1].tolist() == [0, 1, 2, 3, 4, 5]


VALUES = st.fixed_dictionaries(
    {},
    optional={
        STATE: st.integers(0, 1),
        99: st.integers(1, 900_000),
        536: st.integers(0, 90_000),
        651: st.integers(0, 90_000),
    },
)


@pytest.mark.law
@settings(max_examples=80, deadline=None)
@given(
    records=st.lists(VALUES, min_size=2, max_size=40),
    steps=st.lists(st.integers(1, 39), min_size=1, max_size=8),
)
def test_columns_are_those_of_a_plain_walk(records: list[dict[int, int]], steps: list[int]) -> None:
    """Mean and most over the filling, the last value before the next count and the gain of a total
    are what a walk from record to record finds, whatever is written when."""
    columns = [STATE, 99, 536, 651]
    found = read_header(header([f"{n:04X}" for n in columns]).encode(), "T.XML", Ledger())
    assert found is not None
    packed = [
        Record(s, {columns.index(n): raw for n, raw in values.items()}).packed()
        for s, values in enumerate(records)
    ]
    log = decode_log("T", b"".join(packed), found, "T.BIN")
    rows = np.array(sorted(min(step, len(records) - 1) for step in steps), dtype=np.int64)
    (part,) = split_by_machine(log, (), "RB-7")
    values = bale_values(part, rows, Note(log))
    force: dict[int, float] = {}
    walk: list[dict[int, float]] = []
    for record in records:
        force.update(record)
        walk.append(dict(force))
    states = any(STATE in record for record in records)
    marks = sorted(set(rows.tolist()))
    for place, row in enumerate(rows.tolist()):
        at = marks.index(row)
        begin = marks[at - 1] + 1 if at else 0
        end = marks[at + 1] - 1 if at + 1 < len(marks) else len(records) - 1
        wet = [
            each[99] / 1e6
            for each in walk[begin : row + 1]
            if 99 in each and (not states or each.get(STATE) == 1)
        ]
        _same(values["moisture_frac"][place], np.mean(wet) if wet else None)
        _same(values["film_m"][place], walk[end].get(651, np.nan) / 1000)
        before = walk[marks[at] - 1].get(536) if at else None
        after = walk[end].get(536)
        alone = rows.tolist().count(row) == 1
        gain = None if before is None or after is None or not alone else (after - before) / 1000
        _same(values["additive_l"][place], gain if gain is not None and gain >= 0 else None)


def _same(mine: float, expected: float | None) -> None:
    if expected is None or math.isnan(expected):
        assert math.isnan(mine)
    else:
        assert mine == pytest.approx(expected, abs=2e-6)


@pytest.mark.own
def test_the_page_names_every_column_and_its_identifiers() -> None:
    """docs/task-data.md has a row for each column that the code fills, with its identifiers."""
    page = (Path(__file__).parents[3] / "docs" / "task-data.md").read_text("utf-8")
    rows = [line.split("|") for line in page.splitlines() if line.startswith("| `")]
    shown: dict[str, set[int]] = {}
    for row in rows:
        numbers = {int(number) for number in re.findall(r"\b\d{2,3}\b", row[2])}
        shown |= dict.fromkeys(re.findall(r"`(\w+)`", row[1]), numbers)
    filled = {**bale_values_module._OF_LAST_BALE, **bale_values_module._OVER_FILLING}
    for name, (number, _) in filled.items():
        assert int(number) in shown[name], name
    assert {"binding", "binding_m", "binding_turns", "diameter_m", "moisture_max_frac"} <= set(
        shown
    )
    used = {int(number) for number in bale_values_module._USED}
    assert used <= set().union(*shown.values())
