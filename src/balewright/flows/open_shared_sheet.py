"""Open a sheet by its link: that sheet and nothing else, without who and where by itself."""

from __future__ import annotations

from dataclasses import dataclass, replace

from balewright.cards.sheet_json import sheet_from_json
from balewright.flows.share_sheet import hash_token
from balewright.flows.workplace import Workplace
from balewright.plan.machine import Machine
from balewright.plan.sheet.sheet import Sheet
from balewright.store.entries import LinkEntry


@dataclass(frozen=True)
class SharedSheet:
    """What a link shows.

    sheet: without a serial unless the link names the machine; machine: its profile, None where
    it is no longer here; name: the machine's name in the register, None unless the link names it.
    """

    entry: LinkEntry
    sheet: Sheet
    machine: Machine | None
    name: str | None


def find_link(workplace: Workplace, token: str) -> LinkEntry | None:
    """The link, None alike for a token that is unknown, over or withdrawn."""
    entry = workplace.register.load_link(hash_token(token))
    return entry if entry is not None and entry.is_good(workplace.clock()) else None


def open_shared_sheet(workplace: Workplace, token: str, counted: bool = True) -> SharedSheet | None:
    """The sheet of a link, None alike for a token that is unknown, over or withdrawn.

    counted: False where the same reader fetches it once more, to keep it for when there is no
    signal.
    """
    entry = find_link(workplace, token)
    kept = workplace.register.load_sheet(entry.sheet_id) if entry is not None else None
    if entry is None or kept is None:
        return None
    sheet, name = sheet_from_json(kept.json), None
    if not entry.names_machine:
        sheet = replace(sheet, machine_serial=None)
    elif sheet.machine_serial is not None:
        known = workplace.register.load_machine(sheet.machine_serial)
        name = known.name if known is not None else None
    if counted:
        workplace.register.count_opening(entry.id)
    return SharedSheet(entry, sheet, workplace.profiles.get(sheet.profile_key), name)
