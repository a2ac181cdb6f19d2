"""Erasing: nothing of it is left anywhere, and no total changes."""

from __future__ import annotations

import sqlite3
from collections import Counter
from dataclasses import replace
from pathlib import Path
from typing import Any

import pyarrow.parquet as pq
import pytest

from balewright.flows.compact_journal import compact_journal
from balewright.flows.erase_personal import (
    EVERY_MACHINE,
    Erasing,
    ErasureKind,
    erase_personal,
    see_held,
)
from balewright.flows.read_book import Book, BookQuery, read_book
from balewright.flows.take_in_file import take_in_file
from balewright.flows.workplace import Workplace
from balewright.quantities.errors import BadInput
from balewright.records.corrections import Correction
from balewright.settings import load_settings, open_workplace
from balewright.store.entries import JobEntry, MachineEntry
from balewright.store.intake_files import bucket_of

HEAD = "machine,bale_no,counter_epoch,job,operator,tipped_at,lat,lon,mass_kg\n"
OPERATOR, CUSTOMER = "Orla Thimbleby", "Mossy Hollow"
KINDS = [
    Erasing(ErasureKind.OPERATOR, OPERATOR),
    Erasing(ErasureKind.CUSTOMER, CUSTOMER),
    Erasing(ErasureKind.POSITIONS, EVERY_MACHINE),
    Erasing(ErasureKind.ACCOUNT, "mara"),
]


def row(number: int, job: str, operator: str, machine: str = "HAZE-1") -> str:
    """One bale."""
    at = f"2031-06-14T{9 + number // 60:02}:{number % 60:02}:00Z"
    place = f"{48 + number / 1000:.3f},{9 + number / 1000:.3f}"
    return f"{machine},{number},0,{job},{operator},{at},{place},{500 + number}\n"


@pytest.fixture
def place(tmp_path: Path) -> Workplace:
    """Two files that share bales, one refused row, an event that names somebody, a correction."""
    place = open_workplace(load_settings({"BALEWRIGHT_HOME": str(tmp_path / "home")}))
    register = place.register
    register.save_machine(MachineEntry("HAZE-1", "Hazel one", "mossgrinder-m2", "UTC", CUSTOMER))
    register.save_job(JobEntry("Hollow lea", CUSTOMER, "Hollow farm", "Upper lea"))
    register.save_job(JobEntry("Far end", "Bracken Rise"))
    june = "".join(row(n, "Hollow lea", OPERATOR) for n in range(1, 30))
    july = "".join(
        row(n, "Far end" if n > 24 else "Hollow lea", "Tam Birch") for n in range(20, 50)
    )
    other = "".join(row(n, "Far end", "Tam Birch", "HAZE-2") for n in range(1, 9))
    bad = f"HAZE-1,x,0,Hollow lea,{OPERATOR},2031-06-14T09:00:00Z,,,\n"
    for name, text in (
        ("orla thimbleby june.csv", HEAD + june + bad),
        ("july.csv", HEAD + july + other),
        ("events.csv", f"machine,kind,note\nHAZE-1,knives turned,by {OPERATOR.upper()}\n"
                       "HAZE-1,knives turned,nobody\n"),
    ):  # fmt: skip
        path = tmp_path / name
        path.write_text(text)
        assert take_in_file(place, path).state == "taken"
    key = place.journal.read_keyed_bales("HAZE-1").keys[40]
    for number, (column, value) in enumerate(
        (("operator", OPERATOR), ("job", "Hollow lea"), ("lat", 48.5))
    ):
        register.save_correction(
            Correction(f"c{number}", "HAZE-1", (key,), column, value, "seen", "mara", 10 + number)
        )
    return place


def _totals(book: Book) -> tuple[Counter[tuple[str | None, str]], int, list[int]]:
    """What must stay: bales by machine and day, mass, and the sizes of the jobs."""
    days: Counter[tuple[str | None, str]] = Counter()
    jobs: Counter[str | None] = Counter()
    for line in book.rows:
        days[line.machine, str(line.day)] += line.bales
        jobs[line.job] += line.bales
    return days, sum(line.mass_kg or 0 for line in book.rows), sorted(jobs.values())


def _everything(home: Path) -> str:
    """All text that is kept: the register's whole dump and every cell of every column file."""
    with sqlite3.connect(home / "register.sqlite3") as register:
        texts = [line for line in register.iterdump() if "CREATE" not in line]
    for path in (home / "journal").rglob("*.parquet*"):
        texts.append(str(pq.read_table(path).to_pydict()))
    texts += [path.read_text() for path in (home / "originals").rglob("*") if path.is_file()]
    return "\n".join(texts)


@pytest.mark.law
@pytest.mark.parametrize("erasing", KINDS, ids=lambda one: one.kind.value)
def test_totals_stay(place: Workplace, erasing: Erasing) -> None:
    """Bales by machine and day, mass, and how many bales each job has are what they were."""
    before = _totals(read_book(place, BookQuery()))
    lifetime = place.register.load_lifetime("HAZE-1")
    assert not erase_personal(place, erasing, "mara").is_nothing
    assert _totals(read_book(place, BookQuery())) == before
    assert place.register.load_lifetime("HAZE-1") == lifetime


@pytest.mark.law
@pytest.mark.parametrize("name", [OPERATOR, CUSTOMER, "Hollow lea", "Upper lea", "mara"])
def test_no_name_is_left_anywhere(place: Workplace, name: str) -> None:
    """Not in the register's dump, a cell, a note, a file name, a refused row, an original."""
    assert name.casefold() in _everything(place.home).casefold()
    for erasing in KINDS:
        erase_personal(place, erasing)
    assert name.casefold() not in _everything(place.home).casefold()


@pytest.mark.law
def test_positions_go_by_machine_and_time(place: Workplace) -> None:
    """Only those of one machine before a time; the other bales keep theirs."""
    noon_us = 1_939_198_200_000_000  # 2031-06-14 09:30 UTC
    erase_personal(place, Erasing(ErasureKind.POSITIONS, "HAZE-1", noon_us))
    bales = place.journal.read_bales("HAZE-1")
    early = bales.column("tipped_at") < noon_us
    assert early.any()
    assert not bales.mask("lat")[early].any()
    assert bales.mask("lon")[~early].all()
    assert place.journal.read_bales("HAZE-2").mask("lat").all()


@pytest.mark.law
@pytest.mark.parametrize("erasing", KINDS, ids=lambda one: one.kind.value)
def test_what_is_shown_is_what_goes_and_again_finds_nothing(
    place: Workplace, erasing: Erasing
) -> None:
    """The preview is what the erasure says it did; a second one has nothing to do."""
    shown = see_held(place, erasing)
    assert erase_personal(place, erasing) == shown
    assert see_held(place, erasing).is_nothing
    assert erase_personal(place, erasing).is_nothing
    assert len(place.register.load_erasures()) == 1
    assert place.register.load_accesses(1)[0].deed == "see held"


@pytest.mark.law
def test_other_people_stay(place: Workplace) -> None:
    """Another operator, another customer and their jobs are untouched."""
    for erasing in KINDS[:2]:
        erase_personal(place, erasing)
    told = place.journal.read_bales("HAZE-2")
    assert set(told.column("operator")) == {"Tam Birch"}
    assert {line.customer for line in read_book(place, BookQuery()).rows} >= {"Bracken Rise"}


@pytest.mark.law
def test_an_erasure_stopped_half_way_goes_on(
    place: Workplace, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It dies after the first bucket; the next call does the rest, and nothing is left."""
    import balewright.flows.erase_personal as erasing_flow

    real, calls = erasing_flow.compact_bucket, []

    def dies(*given: object) -> object:
        if calls:
            raise KeyboardInterrupt
        calls.append(given)
        return real(*given)  # type: ignore[arg-type]

    assert bucket_of("HAZE-1") != bucket_of("HAZE-2")
    everywhere = Erasing(ErasureKind.POSITIONS, EVERY_MACHINE)
    with monkeypatch.context() as broken:
        broken.setattr(erasing_flow, "compact_bucket", dies)
        with pytest.raises(KeyboardInterrupt):
            erase_personal(place, everywhere)
    assert not see_held(place, everywhere).is_nothing
    erase_personal(place, everywhere)
    assert see_held(place, everywhere).is_nothing


@pytest.mark.law
def test_a_request_without_a_name_is_refused(place: Workplace) -> None:
    """An empty name would mean everybody."""
    for kind in (ErasureKind.OPERATOR, ErasureKind.CUSTOMER, ErasureKind.ACCOUNT):
        with pytest.raises(BadInput, match="the name of the"):
            erase_personal(place, replace(KINDS[0], kind=kind, subject=" "))


@pytest.mark.law
@pytest.mark.parametrize("erasing", KINDS, ids=lambda one: one.kind.value)
def test_an_erasure_stopped_at_any_step_goes_on_to_its_end(
    place: Workplace, erasing: Erasing, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It dies before each step that changes something, again and again; the health says that it
    did not end, the last call ends it, nothing of the subject is left, and no total has changed."""
    import balewright.flows.erase_personal as erasing_flow
    from balewright.flows.after_stop import look_after_stop
    from balewright.store.originals import Originals

    compact_journal(place)
    before = _totals(read_book(place, BookQuery()))
    shelves, allowed, done = type(place.register), 0, [0]

    def mortal(real: Any) -> Any:
        def step(*given: Any, **named: Any) -> Any:
            if done[0] >= allowed:
                raise KeyboardInterrupt
            done[0] += 1
            return real(*given, **named)

        return step

    names = ("rename_account", "blank_corrections", "blank_intakes", "forget_customer",
             "note_original_gone", "note_erasure", "swap_parts")  # fmt: skip
    with monkeypatch.context() as broken:
        for name in names:
            broken.setattr(shelves, name, mortal(getattr(shelves, name)))
        broken.setattr(Originals, "let_go", mortal(Originals.let_go))
        while allowed < 40:
            done[0] = 0
            try:
                erasing_flow.erase_personal(place, erasing)
                break
            except KeyboardInterrupt:
                told = {line.key for line in look_after_stop(place.register)}
                assert "unended_erasure" in told
            allowed += 1
    assert allowed > 1
    assert {line.key for line in look_after_stop(place.register)} == {"healed"}
    assert see_held(place, erasing).is_nothing
    place.journal.sweep()
    if erasing.subject:
        assert erasing.subject.casefold() not in _everything(place.home).casefold()
    assert _totals(read_book(place, BookQuery())) == before
