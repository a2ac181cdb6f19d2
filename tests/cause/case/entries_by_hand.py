"""Cases written by hand, for every test of them."""

from __future__ import annotations

from typing import Any

from balewright.cause.case.entry import Entry, EntryKind
from balewright.cause.case.payload import fields_of

CASE = "C-hollow"
OPENED_US = 1_900_000_000_000_000


def entry(number: int, kind: EntryKind | str, device: str = "phone", **payload: Any) -> Entry:
    """Entry of that number: its clock and its sequence are its number, its id says both."""
    return Entry(
        f"{device}-{number}", CASE, device, number, number, str(kind), fields_of(**payload),
        made_us=OPENED_US + number, by="Tove",
    )  # fmt: skip


def opened(**payload: Any) -> Entry:
    """The first entry."""
    said = {"machine": "HAZE-1", "complaint": "Net lies loose", **payload}
    return entry(1, EntryKind.OPENED, **said)


def walk() -> tuple[Entry, ...]:
    """A whole case: asked, taken back, read twice, repaired, closed."""
    return (
        opened(reports=["binding_loose"], findings=["HAZE-1:binding:1"], network="rbw 1"),
        entry(2, EntryKind.CHECK_READ, check="net_brake_pull", seen="yes"),
        entry(3, EntryKind.CHECK_READ, check="net_knife_gap", value=3.5, unit="mm"),
        entry(4, EntryKind.WENT_BACK, entry="phone-2"),
        entry(5, EntryKind.CHECK_READ, check="net_brake_pull", seen="no"),
        entry(6, EntryKind.CHECK_READ, check="net_roll_shaft", seen="skipped"),
        entry(7, EntryKind.REPORTED, on="since_new_roll", seen="cannot tell"),
        entry(8, EntryKind.CAUSE_FOUND, cause="net_brake_weak", words=""),
        entry(9, EntryKind.REPAIRED, words="New linings", minutes=40, at_bale=812,
              parts=[{"part": "net_brake_linings", "count": 2}]),
        entry(10, EntryKind.CLOSED, words="Runs well"),
    )  # fmt: skip
