"""Bales and mass by task: one test a trap of real files. Values are worked out by hand."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.readers.task_data.making import (
    DEVICE,
    MadeSet,
    Record,
    counting,
    header,
    task,
)

from balewright.readers.task_data import TaskData, open_task_data, task_bales
from balewright.records.bales import BaleTable, concatenate

pytestmark = pytest.mark.derived


def _one(tmp_path: Path, records: list[Record], columns: list[str] | None = None) -> TaskData:
    made = MadeSet(tmp_path, [task(["TLG00001"])])
    made.log("TLG00001", records, columns)
    return open_task_data(made.write())


def _kinds(data: TaskData, place: int = 0) -> list[str]:
    return [str(doubt.kind) for doubt in data.tasks[place].doubtful]


def _rows(data: TaskData) -> BaleTable:
    return concatenate([batch.bales for batch in task_bales(data)])


def test_first_value_is_where_the_counter_starts_and_no_gain(tmp_path: Path) -> None:
    """From 56 bales and 43,420 kg to 58 and 45,080: two bales, 1,660 kg."""
    steps = [(60, 57, 44_250), (120, 58, 45_080)]
    data = _one(tmp_path, counting(steps, start=(56, 43_420)))
    assert (data.tasks[0].bales, data.tasks[0].mass_kg) == (2, 1660.0)
    assert [_rows(data).cell(n, "bale_no") for n in range(2)] == [57, 58]


def test_log_that_starts_at_another_tasks_value_gains_nothing_for_it(tmp_path: Path) -> None:
    """Task two starts at 2 bales and 1,600 kg where task one ended: 1 bale of its own, said."""
    made = MadeSet(tmp_path, [task(["TLG00001"]), task(["TLG00002"], "TSK2", "South meadow")])
    made.log("TLG00001", counting([(60, 1, 800), (120, 2, 1600)]))
    made.log("TLG00002", counting([(60, 3, 2410)], start=(2, 1600), begin_s=40_000))
    data = open_task_data(made.write())
    assert [(each.bales, each.mass_kg) for each in data.tasks] == [(2, 1600.0), (1, 810.0)]
    assert _kinds(data, 1) == ["counter carried over"]
    assert "2 bales and 1600 kg, where task 'North meadow' ended" in data.tasks[1].doubtful[0].text


def test_counter_that_moves_between_logs_counts_by_differences(tmp_path: Path) -> None:
    """Log one ends at 2, log two starts at 5: three bales are in no log, said, not counted."""
    made = MadeSet(tmp_path, [task(["TLG00001", "TLG00002"])])
    made.log("TLG00001", counting([(60, 1, 800), (120, 2, 1600)]))
    made.log("TLG00002", counting([(60, 6, 4800)], start=(5, 4000), begin_s=40_000))
    data = open_task_data(made.write())
    assert (data.tasks[0].bales, data.tasks[0].mass_kg) == (3, 2400.0)
    assert _kinds(data) == ["counter leapt"]
    assert "3 bales are in no log" in data.tasks[0].doubtful[0].text


def test_counter_that_starts_again_between_logs_loses_nothing(tmp_path: Path) -> None:
    """2 bales, then a log from 0 to 1: three bales of one task, the new start is said."""
    made = MadeSet(tmp_path, [task(["TLG00001", "TLG00002"])])
    made.log("TLG00001", counting([(60, 1, 800), (120, 2, 1600)]))
    made.log("TLG00002", counting([(60, 1, 790)], begin_s=40_000))
    data = open_task_data(made.write())
    assert (data.tasks[0].bales, data.tasks[0].mass_kg) == (3, 2390.0)
    assert _kinds(data) == ["counter stepped back"]


def test_counter_reset_inside_a_log_is_a_new_start(tmp_path: Path) -> None:
    """1, 2, reset to 0, 1: three bales; mass 1600, reset, 800: 2,400 kg; both resets are said."""
    steps = [(60, 1, 800), (120, 2, 1600), (180, 0, 0), (240, 1, 800)]
    data = _one(tmp_path, counting(steps))
    assert (data.tasks[0].bales, data.tasks[0].mass_kg) == (3, 2400.0)
    assert _kinds(data) == ["counter stepped back", "counter stepped back"]


def test_task_totals_are_cumulative_over_periods(tmp_path: Path) -> None:
    """Totals of 2 then 3 in two periods mean 3 in all, not 5: they agree with the logs' 3."""
    total = '<TIM A="2031-06-16T10:0{0}:00" B="2031-06-16T10:0{1}:00" D="4">{2}</TIM>'
    count = '<DLV A="005B" B="{}" C="DET1"/>'
    periods = total.format(0, 3, count.format(2)) + total.format(3, 9, count.format(3))
    made = MadeSet(tmp_path, [task(["TLG00001"], periods=periods)])
    made.log("TLG00001", counting([(60, 1, 800), (120, 2, 1600), (200, 3, 2400)]))
    data = open_task_data(made.write())
    assert data.tasks[0].bales == 3
    assert _kinds(data) == []


def test_total_that_differs_from_the_logs_is_said(tmp_path: Path) -> None:
    """A task total of 9 beside logs that gained 1 is a doubt; the logs count."""
    period = (
        '<TIM A="2031-06-16T10:00:00" B="2031-06-16T11:00:00" D="4">'
        '<DLV A="005B" B="9" C="DET1"/></TIM>'
    )
    made = MadeSet(tmp_path, [task(["TLG00001"], periods=period)])
    made.log("TLG00001", counting([(60, 1, 800)]))
    data = open_task_data(made.write())
    assert data.tasks[0].bales == 1
    assert _kinds(data) == ["total differs"]


def test_lifetime_number_in_a_total_may_hold_an_increase(tmp_path: Path) -> None:
    """A lifetime identifier (214) of 1 in a total is no lifetime: the number comes from the log."""
    period = (
        '<TIM A="2031-06-16T10:00:00" B="2031-06-16T11:00:00" D="4">'
        '<DLV A="00D6" B="1" C="DET1"/></TIM>'
    )
    made = MadeSet(tmp_path, [task(["TLG00001"], periods=period)])
    records = [Record(36_000, {0: 0, 1: 5039}), Record(36_060, {0: 1, 1: 5040}), Record(36_061)]
    made.log("TLG00001", records, ["005B", "00D6"])
    data = open_task_data(made.write())
    assert _rows(data).cell(0, "bale_no") == 5040
    assert _rows(data).cell(0, "counter_epoch") == 0
    assert _kinds(data) == []


def test_lifetime_counter_that_disagrees_names_no_bale(tmp_path: Path) -> None:
    """Count +2 and lifetime +1: two bales, no lifetime numbers, and the difference is said."""
    records = [
        Record(36_000, {0: 0, 1: 5039}),
        Record(36_060, {0: 1, 1: 5040}),
        Record(36_120, {0: 2}),
    ]
    data = _one(tmp_path, records, ["005B", "00D6"])
    assert data.tasks[0].bales == 2
    assert _rows(data).cell(1, "bale_no") == 2
    assert _rows(data).cell(1, "counter_epoch") is None
    assert _kinds(data) == ["total differs"]


def test_log_in_local_time_is_set_to_the_periods_utc(tmp_path: Path) -> None:
    """The period begins 08:00 UTC, the log 10:00: two hours of local time are taken off, said."""
    period = '<TIM A="2031-06-16T08:00:00Z" B="2031-06-16T09:00:00Z" D="4"/>'
    made = MadeSet(tmp_path, [task(["TLG00001"], periods=period)])
    made.log("TLG00001", counting([(60, 1, 800)]))
    data = open_task_data(made.write())
    assert _rows(data).cell(0, "tipped_at") == 1_939_363_260_000_000  # 2031-06-16T08:01:00Z
    assert _kinds(data) == ["clock jumped"]
    assert "2 h ahead" in data.tasks[0].doubtful[0].text


def test_log_outside_every_period_is_kept_with_a_mark(tmp_path: Path) -> None:
    """A log nine days off its task's periods is read as it stands, and said."""
    period = '<TIM A="2031-06-07T08:00:00Z" B="2031-06-07T09:00:00Z" D="4"/>'
    made = MadeSet(tmp_path, [task(["TLG00001"], periods=period)])
    made.log("TLG00001", counting([(60, 1, 800)]))
    data = open_task_data(made.write())
    assert data.tasks[0].bales == 1
    assert _kinds(data) == ["clock jumped"]


@pytest.mark.parametrize(
    ("scale", "raw", "doubted"),
    [("0.1", 152, True), ("0.0001", 152_000, False), ("0.1", 152_000, True)],
    ids=["tenths by the device", "ppm by both", "ppm though the device says tenths"],
)
def test_moisture_is_read_by_the_unit_that_can_be_believed(
    tmp_path: Path, scale: str, raw: int, doubted: bool
) -> None:
    """Dictionary: ppm. A device that shows tenths of a per cent contradicts it: the reading
    that lies between 2 and 95 % counts, and the contradiction is said."""
    dpd = f'<DPD A="10" B="0063" F="20"/><DVP A="20" B="0" C="{scale}" D="1" E="%"/>'
    made = MadeSet(tmp_path, [task(["TLG00001"])], DEVICE.format(dpd=dpd))
    records = [Record(36_000, {0: 0, 1: raw}), Record(36_060, {0: 1}), Record(36_061)]
    made.log("TLG00001", records, ["005B", "0063"])
    data = open_task_data(made.write())
    assert _rows(data).cell(0, "moisture_frac") == pytest.approx(0.152, abs=1e-9)
    assert ("unit contradicted" in _kinds(data)) is doubted


def test_mass_that_arrives_after_the_count_goes_to_its_bale(tmp_path: Path) -> None:
    """Counts at 60 and 120 s, masses at 75 and 131 s: each bale has its own, nothing is odd."""
    steps = [(60, 1, 0), (75, 1, 800), (120, 2, 800), (131, 2, 1610)]
    data = _one(tmp_path, counting(steps))
    assert [_rows(data).cell(n, "mass_kg") for n in range(2)] == [800.0, 810.0]
    assert _kinds(data) == []


def test_bale_without_mass_is_unknown_and_said(tmp_path: Path) -> None:
    """Three bales, two masses near the outer ones: the middle one's mass is unknown, not zero."""
    steps = [(60, 1, 800), (300, 2, 800), (600, 3, 1600)]
    data = _one(tmp_path, counting(steps))
    assert [_rows(data).cell(n, "mass_kg") for n in range(3)] == [800.0, None, 800.0]
    assert _kinds(data) == ["bale without mass"]


def test_mass_that_no_bale_carries_is_in_the_sum_and_said(tmp_path: Path) -> None:
    """350 kg come in a log that counts nothing: the task gained 1,150 kg, one bale carries 800."""
    made = MadeSet(tmp_path, [task(["TLG00001", "TLG00002"])])
    made.log("TLG00001", counting([(60, 1, 800)]))
    made.log("TLG00002", counting([(60, 0, 350)], begin_s=40_000))
    data = open_task_data(made.write())
    assert (data.tasks[0].bales, data.tasks[0].mass_kg) == (1, 1150.0)
    said = [doubt for doubt in data.tasks[0].doubtful if doubt.kind == "mass without bale"]
    assert [doubt.file for doubt in said] == ["TLG00002.BIN"]
    assert "350 kg" in said[0].text


def test_two_steps_a_second_apart_are_kept_and_said(tmp_path: Path) -> None:
    """The count steps at 60 and at 61 s: two bales as the machine counted, with a mark."""
    data = _one(tmp_path, counting([(60, 1, 800), (61, 2, 800)]))
    assert data.tasks[0].bales == 2
    assert "counted twice" in _kinds(data)


def test_two_steps_a_second_apart_that_the_lifetime_counter_confirms(tmp_path: Path) -> None:
    """Where the lifetime counter gained two as well, only the display was late: no mark."""
    records = [
        Record(36_000, {0: 0, 1: 100}),
        Record(36_030, {1: 101}),
        Record(36_060, {0: 1, 1: 102}),
        Record(36_061, {0: 2}),
    ]
    data = _one(tmp_path, records, ["005B", "00D6"])
    assert data.tasks[0].bales == 2
    assert _kinds(data) == []


def test_step_by_two_gives_two_bales_at_one_time(tmp_path: Path) -> None:
    """The count goes from 0 to 2 in one record: two rows, 1 and 2, with that time, and said."""
    data = _one(tmp_path, counting([(60, 2, 800)]))
    table = _rows(data)
    assert [table.cell(n, "bale_no") for n in range(2)] == [1, 2]
    assert table.cell(0, "tipped_at") == table.cell(1, "tipped_at")
    assert "counter leapt" in _kinds(data)


def test_leap_beyond_belief_is_no_work(tmp_path: Path) -> None:
    """The count shows 1, then 1,000,000, then 2: two bales made at most; the leap is said."""
    data = _one(tmp_path, counting([(60, 1, 800), (90, 1_000_000, 800), (120, 2, 1600)]))
    assert data.tasks[0].bales == 1
    assert _kinds(data).count("counter leapt") == 1
    assert "counter stepped back" in _kinds(data)


def test_mass_that_is_none_of_a_bale_is_left_unknown(tmp_path: Path) -> None:
    """A gain of 9,000 kg at one bale stays in the task's sum and off the bale, and is said."""
    data = _one(tmp_path, counting([(60, 1, 9000)]))
    assert data.tasks[0].mass_kg == 9000.0
    assert _rows(data).cell(0, "mass_kg") is None
    assert "mass unbelievable" in _kinds(data)


def test_task_without_a_counter_has_unknown_bales(tmp_path: Path) -> None:
    """Logs that count nothing leave bales and mass unknown, never zero."""
    data = _one(tmp_path, [Record(1), Record(2)], ["0063"])
    assert data.tasks[0].bales is None
    assert data.tasks[0].mass_kg is None
    assert data.tasks[0].rows == 2


def test_log_without_values_is_read_for_its_times(tmp_path: Path) -> None:
    """A header with no DLV makes records of time and place only."""
    data = _one(tmp_path, [Record(1), Record(2)], [])
    assert data.tasks[0].rows == 2
    assert data.tasks[0].bales is None


@pytest.mark.parametrize("lost", ["XML", "BIN"])
def test_log_without_one_of_its_files_is_refused(tmp_path: Path, lost: str) -> None:
    """A missing header or binary part is named, with the log, under its task."""
    made = MadeSet(tmp_path, [task(["TLG00001"])])
    made.log("TLG00001", counting([(60, 1, 800)]))
    (tmp_path / f"TLG00001.{lost}").unlink()
    record = open_task_data(made.write()).tasks[0]
    assert record.bales is None
    assert [each.file for each in record.refused] == ["TLG00001"]
    assert f".{lost}" in record.refused[0].reason


def test_bales_of_a_log_that_no_task_names_are_kept_without_a_job(tmp_path: Path) -> None:
    """A log on its own is read, named and counted; its bales belong to no job and no task."""
    made = MadeSet(tmp_path, [task([])])
    made.log("TLG00007", counting([(60, 1, 800)]))
    data = open_task_data(made.write())
    assert [log.name for log in data.loose_logs] == ["TLG00007"]
    assert data.tasks[0].bales is None
    assert "no task names this log" in data.doubts[-1].text
    rows = _rows(data)
    assert (rows.rows, rows.column("machine")[0], rows.mask("job")[0]) == (1, "RB-7", False)


def test_log_named_twice_is_counted_once(tmp_path: Path) -> None:
    """Twice by its own task, once by another: one bale, under the task whose period fits."""
    period = '<TIM A="2031-06-16T{0}:00:00" B="2031-06-16T{0}:59:00" D="4"/>'
    early = task(["TLG00001"], "TSK1", "Early", period.format("06"))
    late = task(["TLG00001", "TLG00001"], "TSK2", "Late", period.format("10"))
    made = MadeSet(tmp_path, [early, late])
    made.log("TLG00001", counting([(60, 1, 800)]))
    data = open_task_data(made.write())
    assert [each.bales for each in data.tasks] == [None, 1]
    assert _kinds(data, 0) == ["log repeated"]
    assert _kinds(data, 1) == ["log repeated"]


def test_same_log_under_two_names_is_counted_once(tmp_path: Path) -> None:
    """A log copied byte for byte under another name is left out of the count, and said."""
    made = MadeSet(tmp_path, [task(["TLG00001", "TLG00002"])])
    for name in ("TLG00001", "TLG00002"):
        made.log(name, counting([(60, 1, 800)]))
    data = open_task_data(made.write())
    assert data.tasks[0].bales == 1
    assert _kinds(data) == ["log repeated"]


def test_counts_by_binding_are_added_up(tmp_path: Path) -> None:
    """A machine that counts film and net bales apart (681, 682) made one of each: two."""
    records = [Record(36_000, {0: 4, 1: 9}), Record(36_060, {0: 5}), Record(36_120, {1: 10})]
    data = _one(tmp_path, records, ["02A9", "02AA"])
    assert data.tasks[0].bales == 2


def test_what_a_baler_says_of_its_last_bale_goes_to_that_bale(tmp_path: Path) -> None:
    """Film layers, stretch, width, knives and binding that come 5 s after the count are its own;
    mass of the last bale (223, grams) is finer than the counter and is taken."""
    columns = ["005B", "005A", "00DF", "028E", "028C", "028A", "0285", "0284"]
    said = {2: 812_400, 3: 6, 4: 70_000, 5: 750, 6: 25, 7: 1}
    later = {2: 790_100, 3: 4, 4: 55_000, 5: 750, 6: 13, 7: 3}
    records = [
        Record(36_000, {0: 0, 1: 0, 2: 100, 3: 8}),
        Record(36_060, {0: 1}),
        Record(36_065, {1: 810, **said}),
        Record(36_120, {0: 2}),
        Record(36_125, {1: 1600, **later}),
    ]
    table = _rows(_one(tmp_path, records, columns))
    names = [
        *("mass_kg", "said_layers", "said_stretch_frac", "film_width_m", "knives_in", "binding"),
    ]
    first, second = ([table.cell(row, name) for name in names] for row in (0, 1))
    assert first == [812.4, 6.0, 0.7, 0.75, 25, "net"]
    assert second == [790.1, 4.0, 0.55, 0.75, 13, "film"]


def test_machine_without_serial_is_filed_under_its_network_name(tmp_path: Path) -> None:
    """Identity is taken from the file: the NAME where there is no serial, nothing invented."""
    device = DEVICE.format(dpd="").replace(' E="RB-7"', "")
    made = MadeSet(tmp_path, [task(["TLG00001"])], device)
    made.log("TLG00001", counting([(60, 1, 800)]))
    assert _rows(open_task_data(made.write())).cell(0, "machine") == "A012000000000001"


def test_bales_of_nobody_have_no_machine_and_are_said(tmp_path: Path) -> None:
    """Without any device the machine is unknown: a mask, with a doubt, not a made-up name."""
    made = MadeSet(tmp_path, [task(["TLG00001"])], device="")
    made.log("TLG00001", counting([(60, 1, 800)]))
    batches = list(task_bales(open_task_data(made.write())))
    assert batches[0].bales.cell(0, "machine") is None
    assert "identity unknown" in [doubt.kind for doubt in batches[0].doubts]


def test_bale_row_carries_task_time_and_place(tmp_path: Path) -> None:
    """One bale: job, counter, time of its step and where the machine stood then."""
    table = _rows(_one(tmp_path, counting([(60, 1, 800)])))
    found = {name: table.cell(0, name) for name in ("job", "tipped_at", "lat", "lon", "mass_how")}
    assert found == {
        "job": "North meadow",
        "tipped_at": 1_939_370_460_000_000,  # 2031-06-16T10:01:00Z
        "lat": 50.0,
        "lon": 7.0,
        "mass_how": "sensed",
    }


def test_first_batch_carries_refusals_and_doubts_once(tmp_path: Path) -> None:
    """What was refused and doubted goes along with the first batch, and only with it."""
    made = MadeSet(tmp_path, [task(["TLG00001", "TLG00009"])])
    made.log("TLG00001", counting([(60, 2, 800)]))
    batches = list(task_bales(open_task_data(made.write())))
    assert len(batches) == 1
    assert [refusal.file for refusal in batches[0].refusals] == ["TLG00009"]
    assert "counter leapt" in [doubt.kind for doubt in batches[0].doubts]


def test_header_with_an_entity_bomb_loses_only_its_log(tmp_path: Path) -> None:
    """A hostile header refuses its own log; the other log of the task is counted."""
    made = MadeSet(tmp_path, [task(["TLG00001", "TLG00002"])])
    made.log("TLG00001", counting([(60, 1, 800)]))
    made.log("TLG00002", counting([(60, 1, 800)], begin_s=40_000))
    bomb = '<!DOCTYPE x [<!ENTITY a "b">]>' + header(["005B"]).partition("?>")[2]
    (tmp_path / "TLG00002.XML").write_text(bomb)
    record = open_task_data(made.write()).tasks[0]
    assert record.bales == 1
    assert "document type" in record.refused[0].reason
