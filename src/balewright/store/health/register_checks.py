"""The register: is its file whole, and is the clock behind what it knows."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from datetime import datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Final

from balewright.store.health.lines import HealthLine, HealthState, good, wrong

if TYPE_CHECKING:
    from balewright.store.register import Register

_SLACK: Final = timedelta(minutes=5)


def look_at_register(file: Path | None) -> HealthLine:
    """SQLite's own check of the file; a server looks after its own."""
    if file is None:
        return wrong("register", HealthState.UNKNOWN, "server")
    try:
        with closing(sqlite3.connect(f"file:{file}?mode=ro", uri=True, timeout=30)) as register:
            said = [row[0] for row in register.execute("pragma quick_check(5)")]
            broken = register.execute("pragma foreign_key_check").fetchall()
    except sqlite3.Error as error:
        return wrong("register", HealthState.BROKEN, "damaged", error=str(error))
    if said != ["ok"]:
        return wrong("register", HealthState.BROKEN, "damaged", error=str(said[0]))
    if broken:
        return wrong("register", HealthState.BROKEN, "loose", count=len(broken))
    return good("register")


def look_at_clock(register: Register, now: datetime) -> HealthLine:
    """Whether something was noted later than now: the clock was set back, or forward before."""
    entries = register.load_intakes(1)
    if entries and entries[0].at > now + _SLACK:
        shown = entries[0].at.strftime("%Y-%m-%d %H:%M")
        return wrong("clock", HealthState.LOOK, "behind", last=shown)
    return good("clock")


def look_at_machines(register: Register) -> HealthLine:
    """Machines of which bales were taken in and which nobody entered."""
    known = {machine.serial for machine in register.load_machines()}
    seen = {serial for entry in register.load_intakes() for serial in entry.machines}
    unknown = sorted(seen - known)
    if unknown:
        names = ", ".join(unknown[:5])
        return wrong("machines", HealthState.LOOK, "unknown", count=len(unknown), names=names)
    return good("machines", count=len(known))
