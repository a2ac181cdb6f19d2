"""Write register, journal and originals into one file, and note that it was done."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path
from typing import Final

from balewright.flows.after_stop import note_backup
from balewright.flows.workplace import Workplace
from balewright.quantities.errors import BadInput
from balewright.store.backup import Backup, back_up, unfinished_names

LAST_BACKUP: Final = "backup.last"
"""Key of the house rule that holds the last backup's size and members."""


def back_up_house(workplace: Workplace, target: Path, by: str | None = None) -> Backup:
    """Back the whole workplace up; the desk may go on working.

    target: a new file, best on another disk; by: who asked, None for the command line. Tells
    `progress`. Raises BadInput where it cannot be written; then nothing is left at `target`.
    """
    begun_at = workplace.clock()
    note_backup(workplace, unfinished_names(target.absolute())[0])
    try:
        made = back_up(
            workplace.home,
            workplace.register.file,
            target.absolute(),
            lambda done, total: workplace.progress("backing up", done, total),
        )
    finally:
        note_backup(workplace, None)
    body = {"members": made.members, "size_bytes": made.size_bytes, "name": target.name}
    with suppress(BadInput):  # it is written, though the disk of the home may be full
        workplace.register.save_rule(LAST_BACKUP, body, begun_at, by)
    return made
