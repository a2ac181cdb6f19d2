"""A stop while tables are made: the next start makes the rest, and no home is shut for good."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from django.db.migrations.recorder import MigrationRecorder

from balewright.store.entries import MachineEntry
from balewright.store.register import open_register

STEPS = 5


@pytest.mark.law
@pytest.mark.parametrize("when", ["before", "after"])
def test_a_stop_at_any_step_of_the_tables_heals(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, when: str
) -> None:
    """It dies before, or after, each note that a step was made; then the register opens, whole.

    Tables without their note were what a home could not be opened with again.
    """
    noting = MigrationRecorder.record_applied
    for dies_at in range(STEPS):
        noted = [0]

        def dies(
            self: Any, app: str, name: str, at: int = dies_at, count: list[int] = noted
        ) -> None:
            if when == "after":
                noting(self, app, name)
            count[0] += 1
            if count[0] > at:
                raise KeyboardInterrupt
            if when == "before":
                noting(self, app, name)

        place = tmp_path / f"{dies_at}.sqlite3"
        with monkeypatch.context() as broken:
            broken.setattr(MigrationRecorder, "record_applied", dies)
            with pytest.raises(KeyboardInterrupt):
                open_register(place)
        with open_register(place) as register:
            register.save_machine(MachineEntry("HAZE-1", "Hazel one", "mossgrinder-m2", "UTC"))
            assert len(register.load_machines()) == 1
