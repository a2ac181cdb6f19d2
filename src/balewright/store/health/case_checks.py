"""Cases: entries that contradict each other by their id, and photos whose file is gone."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from balewright.store.health.lines import HealthLine, HealthState, good, wrong

if TYPE_CHECKING:
    from balewright.store.register import Register


def look_at_cases(folder: Path, register: Register) -> HealthLine:
    """folder: of photos. A lost photo weighs more than an id under which two things stand."""
    kept = [one for one in register.load_all_photos() if one.gone_at is None]
    lost = sum(not (folder / one.sha256).is_file() for one in kept)
    if lost:
        return wrong("cases", HealthState.BROKEN, "lost", lost=lost, photos=len(kept))
    conflicts = register.count_entry_conflicts()
    if conflicts:
        return wrong("cases", HealthState.LOOK, "conflicts", conflicts=conflicts)
    return good("cases", cases=len(register.load_cases()), photos=len(kept))
