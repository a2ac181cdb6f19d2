"""What was said of a sheet, in words: who set what otherwise, and the newest answers."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final
from zoneinfo import ZoneInfo

from balewright.desk.wording import words
from balewright.desk.workplace import the_workplace
from balewright.flows.hear_feedback import Heard, hear_machine, hear_sheet
from balewright.flows.make_sheet import load_sheet
from balewright.plan.sheet.sheet import Sheet
from balewright.quantities.reason import Reason
from balewright.quantities.si import MICROSECONDS_PER_S
from balewright.store.entries import Change, FeedbackEntry
from balewright.words.say import catalogue, say
from balewright.words.sheet_words import value_of
from balewright.words.times import say_day, say_time, zone_named

MOST_CHANGES: Final = 6
MOST_SHEETS: Final = 3


@dataclass(frozen=True)
class Told:
    """One answer. outcome: key of its word and tag; by: who, or that it came by a link."""

    outcome: str
    changes: tuple[str, ...]
    text: str
    when: str
    by: str


@dataclass(frozen=True)
class HeardShown:
    """Counts as they are, the rest in words. days: of its bales, empty where unknown."""

    heard: Heard
    crop: str
    changes: tuple[str, ...]
    newest: tuple[Told, ...]
    days: str


def told_of_sheet(sheet_id: str, sheet: Sheet) -> HeardShown:
    """What was said of one kept sheet."""
    workplace, serial = the_workplace(), sheet.machine_serial
    entry = workplace.register.load_machine(serial) if serial is not None else None
    zone = zone_named(entry.zone if entry is not None else "UTC")
    return show_heard(hear_sheet(workplace, sheet_id), sheet, zone)


def told_of_machine(serial: str, zone: ZoneInfo) -> list[HeardShown]:
    """What was said of each sheet of a machine, the newest answer first."""
    workplace = the_workplace()
    heard = hear_machine(workplace, serial)[:MOST_SHEETS]
    return [show_heard(one, load_sheet(workplace, one.sheet_id), zone) for one in heard]


def show_heard(heard: Heard, sheet: Sheet, zone: ZoneInfo) -> HeardShown:
    """Say it beside what the sheet had."""
    changes = tuple(
        words("feedback.times", what=_change(one.line, one.value, sheet), times=one.times)
        for one in heard.changes[:MOST_CHANGES]
    )
    return HeardShown(
        heard=heard,
        crop=str(sheet.conditions.crop),
        changes=changes,
        newest=tuple(_told(entry, sheet, zone) for entry in heard.newest),
        days=_days(heard, zone),
    )


def _told(entry: FeedbackEntry, sheet: Sheet, zone: ZoneInfo) -> Told:
    at_us = round(entry.at.timestamp() * MICROSECONDS_PER_S)
    return Told(
        outcome=entry.outcome.name.lower(),
        changes=tuple(_said(change, sheet) for change in entry.changes),
        text=entry.text,
        when=say_time(at_us, zone),
        by=entry.given_by or words("feedback.by_link"),
    )


def _said(change: Change, sheet: Sheet) -> str:
    return _change(change.line, change.value, sheet)


def _change(key: str, value: str, sheet: Sheet) -> str:
    name = say(Reason(f"line.{key}")) if f"line.{key}" in catalogue() else key
    line = sheet.line(key)
    if line is None:
        return words("feedback.set_to", name=name, value=value)
    return words("feedback.instead", name=name, value=value, planned=value_of(line))


def _days(heard: Heard, zone: ZoneInfo) -> str:
    made = heard.bales
    if made is None or made.first_us is None or made.last_us is None:
        return ""
    first, last = say_day(made.first_us, zone), say_day(made.last_us, zone)
    return first if first == last else words("feedback.days", first=first, last=last)
