"""Keep a machine's settings as they stand, so that they can be entered again later."""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass
from typing import Final

from balewright.flows.make_sheet import load_sheet
from balewright.flows.workplace import Workplace
from balewright.quantities.errors import BadInput, Fault
from balewright.store.entries import SnapshotEntry

NOTE_LENGTH: Final = 120
AGAIN_S: Final = 600
"""The same settings under the same note, kept again that soon, were sent twice."""

Pairs = tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class KeepRequest:
    """settings: names and values as `readers/settings_list` gives them; origin: where they come
    from, in a word or two; note: why they are kept, such as "before the update".
    """

    serial: str
    settings: Pairs
    origin: str
    note: str = ""
    kept_by: str | None = None


def keep_settings(workplace: Workplace, request: KeepRequest) -> SnapshotEntry:
    """Keep them and give the entry; sent twice within AGAIN_S they are kept once.

    Raises BadInput for a serial that is not in the register, no settings and too long a note.
    """
    note = request.note.strip()
    if workplace.register.load_machine(request.serial) is None:
        cure = "Add the machine, or check the serial."
        given = repr(request.serial)
        raise BadInput(Fault("machine", "a serial of the register", given, cure))
    if not request.settings:
        cure = "Write `name,value`, a line a setting."
        raise BadInput(Fault("settings", "at least one setting", "none", cure))
    if len(note) > NOTE_LENGTH:
        need = f"at most {NOTE_LENGTH} characters"
        raise BadInput(Fault("note", need, str(len(note)), "Say it shorter."))
    now = workplace.clock()
    for last in workplace.register.load_snapshots(request.serial)[:1]:
        is_same = (last.settings, last.note) == (request.settings, note)
        if is_same and (now - last.kept_at).total_seconds() < AGAIN_S:
            return last
    told = json.dumps([request.serial, now.isoformat(), note, request.settings])
    entry = SnapshotEntry(
        id="N-" + hashlib.sha256(told.encode()).hexdigest()[:12],
        machine=request.serial,
        kept_at=now,
        settings=request.settings,
        origin=request.origin[:NOTE_LENGTH],
        note=note,
        kept_by=request.kept_by,
    )
    workplace.register.save_snapshot(entry)
    return entry


def settings_of_sheet(workplace: Workplace, sheet_id: str) -> Pairs:
    """What a kept sheet wants set: each line whose value is known, and the dial's position beside
    it where the machine has a dial. Raises BadInput for a sheet that is not kept.
    """
    found = []
    for line in load_sheet(workplace, sheet_id).lines:
        if line.value is not None:
            value = line.value if isinstance(line.value, str) else f"{line.value:.6g}"
            found.append((line.key, value))
        if line.position is not None:
            found.append((f"{line.key} position", line.position))
    return tuple(found)


def find_settings(workplace: Workplace, serial: str, snapshot_id: str) -> SnapshotEntry:
    """Kept settings of that machine by their id, `last` for the newest. BadInput for none such."""
    kept = workplace.register.load_snapshots(serial)
    found = next((one for one in kept if snapshot_id in (one.id, "last")), None)
    if found is None:
        need = f"the id of kept settings of {serial}"
        cure = "List them with `balewright settings list`, or on the machine's page."
        raise BadInput(Fault("settings", need, repr(snapshot_id), cure))
    return found
