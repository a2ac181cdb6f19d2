"""What a stop left is cleared away and that is said: in the log, by the doctor, at the desk."""

from __future__ import annotations

import logging
import os
import signal
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from balewright.cli.entry import run
from balewright.flows.after_stop import Healed, look_after_stop, note_healed
from balewright.flows.back_up_house import back_up_house
from balewright.flows.take_in_file import take_in_file
from balewright.quantities.errors import BadInput
from balewright.store.backup import unfinished_names
from balewright.store.health.lines import HealthState
from faults.intake_truth import open_home, write_season


@pytest.mark.own
def test_a_start_says_what_it_cleared_away(
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Two column files and a copy of dead intakes: one line of the log, and the doctor tells it
    from then on; a start that found nothing says nothing."""
    home = tmp_path / "home"
    open_home(home).register.close()
    assert capsys.readouterr().err == ""
    lying = home / "journal" / "bales" / "season=2031" / "bucket=001"
    lying.mkdir(parents=True)
    for name in ("dead.0.parquet", "dead.1.parquet.tmp"):
        (lying / name).write_bytes(b"half")
    (home / "originals" / "incoming-dead").mkdir(parents=True)
    said: list[str] = []
    hearing = logging.Handler(logging.WARNING)
    hearing.emit = lambda record: said.append(record.getMessage())  # type: ignore[method-assign]
    log = logging.getLogger("balewright.settings")
    monkeypatch.setattr(log, "handlers", [hearing])
    open_home(home).register.close()
    (healed,) = said
    assert "2 unfinished column files and 1 copies were cleared away" in healed
    open_home(home).register.close()
    assert said == [healed]
    monkeypatch.setenv("BALEWRIGHT_HOME", str(home))
    assert run(["doctor"]) == 0
    told = capsys.readouterr().out
    assert "unfinished column files: 2, copies: 1; work begun again: 0" in told


@pytest.mark.own
def test_what_desk_and_worker_heal_at_one_start_is_one_note(tmp_path: Path) -> None:
    """Within a minute it adds up; a later start's note stands alone; nothing is no note."""
    register, at = open_home(tmp_path / "home").register, datetime(2031, 6, 14, tzinfo=UTC)
    note_healed(register, at, Healed(files=2))
    note_healed(register, at + timedelta(seconds=9), Healed(work=1))
    note_healed(register, at + timedelta(seconds=9), Healed())
    told = {line.key: dict(line.said.values) for line in look_after_stop(register)}
    assert told["healed"] == {"at": "2031-06-14 00:00", "files": 2, "originals": 0, "work": 1}
    note_healed(register, at + timedelta(days=1), Healed(originals=4))
    told = {line.key: dict(line.said.values) for line in look_after_stop(register)}
    assert told["healed"] == {"at": "2031-06-15 00:00", "files": 0, "originals": 4, "work": 0}
    register.close()


@pytest.mark.law
def test_a_killed_backup_is_told_and_the_next_one_writes_over_it(tmp_path: Path) -> None:
    """Killed in the middle its parts lie beside the target; the health says where; the same name
    may be written again, and then nothing is left of it and nothing to be told."""
    season, target = write_season(tmp_path / "files", 2, 60, 20), tmp_path / "kept.tar"
    place = open_home(tmp_path / "home")
    for file in season.files:
        take_in_file(place, file)
    place.register.close()
    child = os.fork()
    if child == 0:

        def die(stage: str, done: int, total: int | None) -> None:
            os.kill(os.getpid(), signal.SIGKILL)

        back_up_house(replace(place, progress=die), target)
        os._exit(9)
    assert os.WTERMSIG(os.waitpid(child, 0)[1]) == signal.SIGKILL
    assert not target.exists()
    assert all(path.exists() for path in unfinished_names(target))
    told = {line.key: line for line in look_after_stop(place.register)}
    assert told["unended_backup"].state is HealthState.LOOK
    values = dict(told["unended_backup"].said.values)
    assert values["path"] == str(unfinished_names(target)[0])
    back_up_house(place, target)
    assert sorted(path.name for path in tmp_path.iterdir()) == ["files", "home", "kept.tar"]
    assert {line.key for line in look_after_stop(place.register)} == {"healed"}
    place.register.close()


@pytest.mark.own
def test_of_two_backups_to_one_name_the_second_is_refused(tmp_path: Path) -> None:
    """While one is being written another to the same name is told so and harms nothing."""
    season, target = write_season(tmp_path / "files", 1, 60, 20), tmp_path / "kept.tar"
    place = open_home(tmp_path / "home")
    take_in_file(place, season.files[0])
    told: list[str] = []

    def try_too(stage: str, done: int, total: int | None) -> None:
        with pytest.raises(BadInput) as refused:
            back_up_house(replace(place, progress=lambda *_: None), target)
        told.append(refused.value.faults[0].given)

    back_up_house(replace(place, progress=try_too), target)
    assert set(told) == {"another backup that is being written there"}
    assert sorted(path.name for path in tmp_path.iterdir()) == ["files", "home", "kept.tar"]
    place.register.close()
