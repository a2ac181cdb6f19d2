"""Kills at random moments of merging, erasing, backing up and restoring."""

from __future__ import annotations

import os
import random
import shutil
import signal
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any, Final

from balewright.flows.back_up_house import back_up_house
from balewright.flows.compact_journal import compact_journal
from balewright.flows.erase_personal import Erasing, ErasureKind, erase_personal, see_held
from balewright.flows.restore_house import restore_house
from balewright.flows.take_in_file import take_in_file
from balewright.flows.workplace import Workplace
from balewright.store.compaction import list_due
from balewright.store.entries import Dataset
from faults.intake_truth import MACHINES, open_home

FILES, ROWS, SEED = 6, 2_000, 20_311_127
OPERATOR: Final = "Wren"
HEAD: Final = "machine,bale_no,counter_epoch,tipped_at,job,mass_kg,operator"


def kill_work(what: str, folder: Path, kills: int) -> int:
    """Kill a process that does `what` on a home with files in it, until it once gets to its end;
    then again on another copy of that home. Gives how many kills met one at work."""
    chance, made = random.Random(SEED), folder / "made"
    _fill(made, folder)
    met = round_no = 0
    usual_s = 0.5
    while met < kills:
        home = folder / f"home-{round_no}"
        shutil.copytree(made, home)
        ended = False
        while met < kills and not ended:
            begun_s = time.monotonic()
            child = os.fork()
            if child == 0:
                _do(what, home, folder)
            time.sleep(chance.uniform(0, usual_s))
            os.kill(child, signal.SIGKILL)
            _, status = os.waitpid(child, 0)
            ended = os.WIFEXITED(status)
            assert not ended or os.WEXITSTATUS(status) == 0, f"{what} failed"
            met += not ended
            usual_s = max(0.2, 1.2 * (time.monotonic() - begun_s)) if ended else usual_s * 1.1
            _check_home(home)
        _end(what, home, folder)
        shutil.rmtree(home)
        round_no += 1
        sys.stdout.write(f"\r{met} of {kills} kills, {round_no} times to the end   ")
        sys.stdout.flush()
    return met


def _fill(home: Path, folder: Path) -> None:
    place = open_home(home)
    for number in range(FILES):
        lines = (
            f"{MACHINES[bale % 3]},{bale},0,{_time(bale)},J,{500 + bale % 300},"
            f"{OPERATOR if bale % 2 else 'Finch'}"
            for bale in range(number * ROWS, (number + 1) * ROWS)
        )
        path = folder / f"{number}.csv"
        path.write_text("\n".join([HEAD, *lines, ""]))
        assert take_in_file(place, path).kept == ROWS
    place.register.close()
    back_up_house(place, folder / "made.tar")
    place.register.close()


def _time(bale: int) -> str:
    day, minute = divmod(bale, 1_000)
    return f"2031-05-{1 + day:02d}T{minute // 60:02d}:{minute % 60:02d}:00Z"


def _do(what: str, home: Path, folder: Path) -> None:
    """In a child: never comes back."""
    try:
        place = open_home(home)
        WORK[what](place, folder)
        os._exit(0)
    except BaseException:
        import traceback

        traceback.print_exc()
        os._exit(9)


def _compact(place: Workplace, _: Path) -> None:
    compact_journal(place)


def _erase(place: Workplace, _: Path) -> None:
    erase_personal(place, Erasing(ErasureKind.OPERATOR, OPERATOR))


def _back_up(place: Workplace, folder: Path) -> None:
    (folder / "kept.tar").unlink(missing_ok=True)
    back_up_house(place, folder / "kept.tar")


def _restore(_: Workplace, folder: Path) -> None:
    shutil.rmtree(folder / "again", ignore_errors=True)
    restore_house(folder / "made.tar", folder / "again")


WORK: Final[dict[str, Callable[[Workplace, Path], Any]]] = {
    "compact": _compact,
    "erase": _erase,
    "backup": _back_up,
    "restore": _restore,
}


def _check_home(home: Path, operator: bool | None = None) -> None:
    """Opened as the next start does: each bale once, with its mass, no file nobody lists.

    operator: whether the erased name must be there; None where either may be.
    """
    place = open_home(home)
    assert sum(part.rows for part in place.register.load_parts(Dataset.BALES)) == FILES * ROWS
    root = place.journal.root
    lying = {str(path.relative_to(root)) for path in root.rglob("*.parquet*")}
    assert lying == place.register.load_part_paths(), "not as listed"
    assert place.journal.running() == frozenset()
    for at, machine in enumerate(MACHINES):
        bales = place.journal.read_bales(machine, ["bale_no", "mass_kg", "operator"])
        numbers = bales.column("bale_no").tolist()
        assert sorted(numbers) == list(range(at, FILES * ROWS, 3)), "a bale is lost or twice"
        assert bales.column("mass_kg").tolist() == [500 + number % 300 for number in numbers]
        if operator is not None:
            named = set(bales.column("operator")[bales.mask("operator")].tolist())
            assert (OPERATOR in named) == operator
    place.register.close()


def _end(what: str, home: Path, folder: Path) -> None:
    """Let the work come to its end, and look at what it should have made."""
    place = open_home(home)
    WORK[what](place, folder)
    if what == "compact":
        assert list_due(place.journal, every=True) == ()
    elif what == "erase":
        assert see_held(place, Erasing(ErasureKind.OPERATOR, OPERATOR)).is_nothing
        assert not any((home / "originals").iterdir()), "an original still says the name"
    elif what == "backup":
        shutil.rmtree(folder / "again", ignore_errors=True)
        restore_house(folder / "kept.tar", folder / "again")
    place.register.close()
    _check_home(home, what != "erase")
    if what in ("backup", "restore"):
        _check_home(folder / "again", True)
    assert not list(folder.glob(".kept.tar*")), "a part of a backup lies about"
    for left in folder.glob(".again.restoring-*"):  # told by the health, deleted by a person
        shutil.rmtree(left)
