"""The bale book as a page and as CSV."""

from __future__ import annotations

import csv
import io
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from balewright.store.entries import JobEntry, MachineEntry

if TYPE_CHECKING:
    from tests.desk.conftest import Desk

pytestmark = pytest.mark.own

RECORDS = """machine,bale_no,job,closed_at,status,mass_kg
B-1,501,=north,2031-06-01T21:30:00Z,ok,600
B-1,502,=north,2031-06-01T22:30:00Z,ok,
B-1,503,=north,2031-06-01T22:32:00Z,burst,
B-1,504,south,2031-06-02T09:00:00Z,test,
B-1,505,south,2031-06-02T09:02:00Z,ok,640
"""


@pytest.fixture
def booked(desk: Desk, tmp_path: Path) -> Desk:
    """Five bales of two jobs of two customers on a machine two hours ahead of UTC."""
    from balewright.desk.workplace import the_workplace
    from balewright.flows.take_in_file import take_in_file

    workplace = the_workplace()
    make = next(iter(workplace.profiles))
    workplace.register.save_machine(MachineEntry("B-1", "Bee", make, "Etc/GMT-2"))
    workplace.register.save_job(JobEntry("=north", customer="Ash Yard"))
    workplace.register.save_job(JobEntry("south", customer="Birch Yard"))
    records = tmp_path / "records.csv"
    records.write_text(RECORDS)
    assert take_in_file(workplace, records).kept == 5
    return desk


def lines(desk: Desk, query: str = "") -> list[dict[str, str]]:
    """The lines of the CSV."""
    answer = desk.reader.get(f"/book.csv{query}")
    assert answer.headers["Content-Type"].startswith("text/csv")
    return list(csv.DictReader(io.StringIO(answer.content.decode())))


def test_every_role_may_read_it(booked: Desk) -> None:
    """A person without a role may not."""
    for client in (booked.manager, booked.technician, booked.reader):
        assert client.get("/book").status_code == 200
    assert booked.without_role.get("/book").status_code == 403
    assert booked.without_role.get("/book.csv").status_code == 403


@pytest.mark.derived
def test_a_day_is_the_machines_own(booked: Desk) -> None:
    """By hand: 21:30 UTC is 23:30 there, still 1 June; 22:30 UTC is half past midnight, 2 June."""
    told = [(line["job"], line["day"], line["bales"], line["burst"]) for line in lines(booked)]
    assert told == [
        ("'=north", "2031-06-01", "1", "0"),
        ("'=north", "2031-06-02", "2", "1"),
        ("south", "2031-06-02", "2", "0"),
    ]


@pytest.mark.derived
def test_tests_and_burst_bales_are_not_billed(booked: Desk) -> None:
    """Of five bales made three are to bill: one burst, one was a test."""
    assert sum(int(line["ok"]) for line in lines(booked)) == 3
    page = booked.reader.get("/book").content.decode()
    assert "<strong>5 bales</strong>" in page


def test_unknown_mass_is_empty_and_never_zero(booked: Desk) -> None:
    """The day on which nothing was weighed has no mass."""
    assert [line["mass_kg"] for line in lines(booked)] == ["600.0", "", "640.0"]
    assert "1 of 2 weighed" in booked.reader.get("/book").content.decode()


def test_filters_keep_page_and_file_alike(booked: Desk) -> None:
    """Customer and days narrow both, and the file's link carries them."""
    assert {line["job"] for line in lines(booked, "?customer=Birch+Yard")} == {"south"}
    assert [line["day"] for line in lines(booked, "?until=2031-06-01")] == ["2031-06-01"]
    page = booked.reader.get("/book?customer=Birch+Yard").content.decode()
    assert "<strong>2 bales</strong>" in page
    assert 'href="/book.csv?customer=Birch+Yard"' in page


def test_a_span_that_ends_before_it_begins_is_refused(booked: Desk) -> None:
    """The field says so; no lines are shown as if all were well."""
    answer = booked.reader.get("/book?since=2031-06-02&until=2031-06-01")
    assert answer.status_code == 422
    page = answer.content.decode()
    assert "The last day lies before the first" in page
    assert "No bales for this" not in page


def test_a_formula_in_a_name_stays_text(booked: Desk) -> None:
    """A spreadsheet must not run what a record carries."""
    assert all(not line["job"].startswith("=") for line in lines(booked))


def test_lifetime_stands_beside_the_count(booked: Desk) -> None:
    """By the machine's own counter, not by what was taken in; at least so many, as nobody tells
    whether its control was swapped, on its own page too.
    """
    page = booked.reader.get("/book").content.decode()
    assert 'data-head="Lifetime bales">at least 505<' in page
    own = booked.reader.get("/machines/B-1").content.decode()
    assert "<dd>at least 505</dd>" in own
