"""Taking files in: whole or not at all, once, with a plain account."""

from __future__ import annotations

import os
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from balewright.flows.read_book import BookQuery, read_book
from balewright.flows.take_in_file import MAX_MACHINES, take_in_file
from balewright.flows.workplace import Workplace
from balewright.quantities.errors import BadInput, Fault
from balewright.readers.open_records import Records
from balewright.readers.reading import Reading
from balewright.readers.task_data import open_task_data
from balewright.records.bales import bale_table
from balewright.records.intake import Batch, JobSeen
from balewright.settings import load_settings, open_workplace
from balewright.store.entries import Dataset, JobEntry, MachineEntry

HEAD = "machine,bale_no,counter_epoch,tipped_at,job,mass_kg\n"
ROWS = [f"HAZE-1,{n},0,2031-06-14T09:{n:02d}:00Z,Low field,{600 + n}\n" for n in range(1, 11)]


@pytest.fixture
def workplace(tmp_path: Path) -> Iterator[Workplace]:
    """An empty workplace."""
    made = open_workplace(load_settings({"BALEWRIGHT_HOME": str(tmp_path / "home")}))
    yield made
    made.register.close()


def _csv(folder: Path, name: str, *rows: str) -> Path:
    path = folder / name
    path.write_text(HEAD + "".join(rows))
    return path


def _kept(workplace: Workplace) -> int:
    return sum(part.rows for part in workplace.register.load_parts(Dataset.BALES))


@pytest.mark.derived
def test_a_file_is_kept_with_its_refusals_and_its_original(
    workplace: Workplace, tmp_path: Path
) -> None:
    """Ten good rows and a bad one: ten kept, one refused by line, the file itself kept whole."""
    path = _csv(tmp_path, "june.csv", *ROWS, "HAZE-1,11,0,never,Low field,600\n")
    report = take_in_file(workplace, path)
    assert (report.state, report.kept, report.refused) == ("taken", 10, 1)
    assert report.refusals[0].place == "line 12, column tipped_at"
    assert report.machines == report.unknown_machines == ("HAZE-1",)
    original = workplace.home / "originals" / report.sha256 / "june.csv"
    assert original.read_bytes() == path.read_bytes()
    assert workplace.register.load_intake(report.sha256) is not None
    assert workplace.journal.read_bales("HAZE-1").rows == 10


@pytest.mark.reference
def test_the_hash_is_that_of_the_content(workplace: Workplace, tmp_path: Path) -> None:
    """`printf 'a\\n' | sha256sum` (GNU coreutils) gives the hash a file is noted under."""
    (tmp_path / "a.csv").write_text("a\n")
    report = take_in_file(workplace, tmp_path / "a.csv")
    assert report.sha256 == "87428fc522803d31065e7bce3cf03fe475096631e5e07bbd7a0fde60c4cf25c7"
    assert report.state == "refused"


@pytest.mark.law
def test_taken_in_twice_changes_nothing(workplace: Workplace, tmp_path: Path) -> None:
    """The same content under another name: told so, and book, ledger and originals stay."""
    first = take_in_file(workplace, _csv(tmp_path, "june.csv", *ROWS))
    before = read_book(workplace)
    second = take_in_file(workplace, _csv(tmp_path, "copy.csv", *ROWS))
    assert second.state == "already taken"
    assert (second.kept, second.name) == (first.kept, "june.csv")
    assert read_book(workplace) == before
    assert len(workplace.register.load_intakes()) == 1
    assert [p.name for p in (workplace.home / "originals").iterdir()] == [first.sha256]


@pytest.mark.law
def test_files_that_overlap_give_each_bale_once(workplace: Workplace, tmp_path: Path) -> None:
    """Rows 1 to 7 and 4 to 10 are ten bales, and the book says ten."""
    take_in_file(workplace, _csv(tmp_path, "a.csv", *ROWS[:7]))
    take_in_file(workplace, _csv(tmp_path, "b.csv", *ROWS[3:]))
    assert _kept(workplace) == 14
    assert read_book(workplace).bales == 10
    assert workplace.journal.read_bales("HAZE-1").rows == 10


@pytest.mark.own
@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "empty"),
        (b"\x7fELF\x00\x01junk", ""),
        (b"colour,size\nred,3\n", "colour"),
        (HEAD.encode(), ""),
    ],
)
def test_what_is_no_record_file_is_refused_or_empty_and_leaves_no_trace(
    workplace: Workplace, tmp_path: Path, content: bytes, said: str
) -> None:
    """A report with a reason, a ledger line, no bales and no copy."""
    (tmp_path / "odd.csv").write_bytes(content)
    report = take_in_file(workplace, tmp_path / "odd.csv")
    assert report.kept == _kept(workplace) == 0
    if report.state == "refused":
        told = " ".join(f"{one.reason} {one.text}" for one in report.refusals).lower()
        assert said in told
        assert list((workplace.home / "originals").iterdir()) == []
        assert workplace.register.load_intakes()[0].state == "refused"
    else:
        assert content == HEAD.encode()


@pytest.mark.law
def test_a_file_that_breaks_in_the_middle_is_not_half_taken(
    workplace: Workplace, tmp_path: Path
) -> None:
    """The reader gives a batch and then refuses the rest: nothing counts, and it may come again."""

    def breaking(path: Path, reading: Reading) -> Records:
        def batches() -> Iterator[Batch]:
            yield Batch(bale_table(1, {"machine": ["HAZE-1"], "bale_no": [1]}))
            raise BadInput(Fault("byte 4711", "a whole file", "its first half", "Copy it again."))

        return Records("bale csv", batches())

    path = _csv(tmp_path, "june.csv", *ROWS)
    report = take_in_file(workplace, path, opener=breaking)
    assert (report.state, report.refusals[0].place) == ("refused", "byte 4711")
    assert _kept(workplace) == 0
    assert take_in_file(workplace, path).state == "taken"
    assert [entry.state for entry in workplace.register.load_intakes()] == ["taken"]


@pytest.mark.own
def test_a_fault_of_ours_takes_nothing(workplace: Workplace, tmp_path: Path) -> None:
    """An error nobody foresaw goes up; no bale, no copy and no mark of a running intake stays."""

    def failing(path: Path, reading: Reading) -> Records:
        raise ZeroDivisionError("ours")

    with pytest.raises(ZeroDivisionError, match="ours"):
        take_in_file(workplace, _csv(tmp_path, "june.csv", *ROWS), opener=failing)
    assert _kept(workplace) == 0
    assert list((workplace.home / "originals").iterdir()) == []
    assert workplace.journal.running() == frozenset()


@pytest.mark.own
def test_a_folder_is_one_content_and_links_are_told(workplace: Workplace, tmp_path: Path) -> None:
    """A folder's hash covers names and contents; a link out of it is refused, not followed."""

    def counting(path: Path, reading: Reading) -> Records:
        assert sorted(p.name for p in path.rglob("*") if p.is_file()) == ["a.xml", "b.bin"]
        return Records("task data", iter([Batch(bale_table(0, {}))]), (JobSeen("J1", "Mossy"),))

    folder = tmp_path / "TASKDATA"
    (folder / "deep").mkdir(parents=True)
    (folder / "a.xml").write_text("x")
    (folder / "deep" / "b.bin").write_text("y")
    first = take_in_file(workplace, folder, opener=counting)
    (folder / "out").symlink_to("/etc/hostname")
    os.utime(folder / "a.xml", (0, 0))
    second = take_in_file(workplace, folder, opener=counting)
    assert (first.state, first.refused) == ("taken", 0)
    assert second.state == "already taken"
    (folder / "a.xml").write_text("z")
    third = take_in_file(workplace, folder, opener=counting)
    assert (third.state, third.refused, third.refusals[0].file) == ("refused", 1, "out")
    job = workplace.register.load_job("J1", first.sha256)
    assert job is not None
    assert job.customer == "Mossy"


@pytest.mark.own
def test_a_file_of_too_many_machines_is_refused(workplace: Workplace, tmp_path: Path) -> None:
    """A wrong column under the name `machine` does not flood the register."""
    count = MAX_MACHINES + 1
    names = [f"M{number}" for number in range(count)]

    def many(path: Path, reading: Reading) -> Records:
        return Records("bale csv", iter([Batch(bale_table(count, {"machine": names}))]))

    report = take_in_file(workplace, _csv(tmp_path, "june.csv"), opener=many)
    assert report.state == "refused"
    assert "more than 5000 machines" in report.refusals[-1].reason
    assert _kept(workplace) == 0


@pytest.mark.own
def test_junk_times_make_no_flood_of_files(
    workplace: Workplace, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Bales of 130 years are kept every one, in few files, of which few are open at once."""
    monkeypatch.setattr("balewright.store.intake_files.OPEN_FILES", 3)
    monkeypatch.setattr("balewright.store.intake_files.HELD_ROWS", 100)
    year_us = 365 * 86_400_000_000
    tables = [
        bale_table(
            130,
            {
                "machine": [machine] * 130,
                "bale_no": list(range(130)),
                "tipped_at": [year * year_us for year in range(130)],
            },
        )
        for machine in ("HAZE-1", "HAZE-2")
    ]

    def spread(path: Path, reading: Reading) -> Records:
        return Records("bale csv", iter([Batch(table) for table in tables]))

    assert take_in_file(workplace, _csv(tmp_path, "june.csv"), opener=spread).kept == 260
    assert workplace.journal.read_bales("HAZE-1", ["bale_no"]).rows == 130
    assert read_book(workplace).bales == 260
    assert len(workplace.register.load_parts(Dataset.BALES)) < 40


@pytest.mark.own
def test_a_path_that_cannot_be_got_at_is_told(workplace: Workplace, tmp_path: Path) -> None:
    """No file, or a pipe: an error with a cure, and no ledger line."""
    with pytest.raises(BadInput, match="needs a file or folder that can be read"):
        take_in_file(workplace, tmp_path / "absent.csv")
    os.mkfifo(tmp_path / "pipe")
    with pytest.raises(BadInput, match="given a device or pipe"):
        take_in_file(workplace, tmp_path / "pipe")
    assert workplace.register.load_intakes() == ()


@pytest.mark.own
def test_progress_is_told(workplace: Workplace, tmp_path: Path) -> None:
    """Copying, reading, writing, in this order, and the copy's end is its size."""
    told: list[tuple[str, int, int | None]] = []
    hearing = replace(workplace, progress=lambda *said: told.append(said))
    path = _csv(tmp_path, "june.csv", *ROWS)
    take_in_file(hearing, path)
    assert list(dict.fromkeys(stage for stage, _, _ in told)) == ["copying", "reading", "writing"]
    size = path.stat().st_size
    assert ("copying", size, size) in told


@pytest.mark.derived
def test_lifetime_bales_survive_a_swapped_control(workplace: Workplace, tmp_path: Path) -> None:
    """5234 bales on the old control and 12 on the new one are 5246, whatever comes later."""
    row = "HAZE-1,{},{},2031-06-{}T09:00:00Z,Low field,600\n"
    take_in_file(workplace, _csv(tmp_path, "new.csv", row.format(12, 1, 20)))
    take_in_file(workplace, _csv(tmp_path, "old.csv", row.format(5234, 0, 10)))
    take_in_file(workplace, _csv(tmp_path, "early.csv", row.format(1, 1, 19)))
    (lifetime,) = read_book(workplace).lifetimes
    assert (lifetime.lifetime_bales, lifetime.counted) == (5246, 3)


@pytest.mark.derived
def test_the_book_by_customer_job_and_day(workplace: Workplace, tmp_path: Path) -> None:
    """Who the job is for comes from the register; the day is the machine's own."""
    workplace.register.save_machine(
        MachineEntry("HAZE-1", "Hazel one", "amble-f", "Pacific/Auckland")
    )
    workplace.register.save_job(JobEntry("Low field", "Mossy Hollow"))
    take_in_file(workplace, _csv(tmp_path, "june.csv", *ROWS))
    take_in_file(workplace, _csv(tmp_path, "more.csv", "HAZE-1,11,0,2031-06-14T12:30:00Z,,\n"))
    rows = read_book(workplace).rows
    # 14 June 09:xx UTC is 21:xx on the 14th in Auckland (UTC+12 in winter), 12:30 is the 15th.
    assert [(r.customer, r.job, str(r.day), r.bales, r.mass_kg) for r in rows] == [
        ("Mossy Hollow", "Low field", "2031-06-14", 10, 6055.0),
        (None, None, "2031-06-15", 1, None),
    ]
    assert read_book(workplace, BookQuery(customer="Mossy Hollow")).bales == 10
    assert read_book(workplace, BookQuery(since_day=rows[1].day)).bales == 1
    assert read_book(workplace, BookQuery(until_day=rows[0].day)).bales == 10
    only = read_book(workplace, BookQuery(job="Low field"))
    assert (only.bales, only.lifetimes[0].counted) == (10, 11)


@pytest.mark.own
def test_a_file_that_held_nothing_is_read_anew_once_more_of_it_is_understood(
    workplace: Workplace, tmp_path: Path
) -> None:
    """Twice nothing changes nothing; understood later, its bales are kept, and then once."""
    path = _csv(tmp_path, "trace.csv")
    assert take_in_file(workplace, path).state == "taken"
    assert take_in_file(workplace, path).state == "already taken"
    bales = bale_table(1, {"machine": ["HAZE-1"], "bale_no": [7]})

    def understood(_: Path, __: Reading) -> Records:
        return Records("can trace", (batch for batch in (Batch(bales),)))

    report = take_in_file(workplace, path, opener=understood)
    assert (report.state, report.kept) == ("taken", 1)
    assert take_in_file(workplace, path, opener=understood).state == "already taken"
    assert take_in_file(workplace, path).state == "already taken"
    assert workplace.journal.read_bales("HAZE-1").rows == _kept(workplace) == 1


@pytest.mark.own
def test_an_empty_workplace_has_an_empty_book(workplace: Workplace) -> None:
    """No bales, no lines, no error."""
    assert read_book(workplace).rows == ()


@pytest.mark.real_data
@pytest.mark.law
def test_the_real_season_goes_into_the_book_task_by_task(
    workplace: Workplace, data_dir: Path
) -> None:
    """Bales and mass by task are the same in the book as the reader counted from the logs."""
    (season,) = (data_dir / "isoxml").glob("10-*")
    report = take_in_file(workplace, season)
    tasks = open_task_data(season).tasks
    counted = {each.task.job: each.bales for each in tasks if each.bales}
    booked: dict[str | None, int] = {}
    for row in read_book(workplace).rows:
        booked[row.job] = booked.get(row.job, 0) + row.bales
    assert booked == counted
    assert report.kept == sum(counted.values()) > 0
    assert take_in_file(workplace, season).state == "already taken"
