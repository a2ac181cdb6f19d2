"""Kills at random moments: of an intake, of the desk's worker, of a database server.

    python tests/faults/kills.py intake   --kills 200
    python tests/faults/kills.py worker   --kills 50
    python tests/faults/kills.py database --kills 50   # needs PostgreSQL's initdb and psycopg
    python tests/faults/kills.py compact  --kills 50   # erase, backup and restore likewise

Each time the next start must find every file of which somebody was told that it is in, each bale
once, and nothing left lying. Run with PYTHONPATH=tests.
"""

from __future__ import annotations

import argparse
import os
import random
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from functools import partial
from pathlib import Path
from typing import Final

from faults.database_server import Server, find_server
from faults.intake_child import main as take_in_all
from faults.intake_truth import Season, check_home, write_season
from faults.kills_of_work import WORK, kill_work

ROWS, OVERLAP, FILES, SEED = 1_500, 300, 24, 20_311_126
LONGEST_S: Final = 6.0
WORKER: Final = Path(__file__).with_name("worker_feed.py")


def kill_intakes(folder: Path, kills: int) -> int:
    """Kill a process that takes files in; gives how many kills met one at work."""
    chance, season = random.Random(SEED), write_season(folder / "files", FILES, ROWS, OVERLAP)
    met = home_no = 0
    home, said = folder / "home-0", folder / "said-0"
    usual_s = LONGEST_S / 2
    while met < kills:
        begun_s = time.monotonic()
        child = os.fork()
        if child == 0:
            _take_in(home, said, season)
        time.sleep(chance.uniform(0, usual_s))
        os.kill(child, signal.SIGKILL)
        _, status = os.waitpid(child, 0)
        at_work = os.WIFSIGNALED(status)
        met += at_work
        taken = check_home(home, season, _said(said))
        if not at_work:
            usual_s = min(LONGEST_S, max(1.0, time.monotonic() - begun_s))
        if len(taken) == FILES:
            shutil.rmtree(home)
            home_no += 1
            home, said = folder / f"home-{home_no}", folder / f"said-{home_no}"
        _tell(met, kills, f"{len(taken)} of {FILES} files in")
    return met


def _take_in(home: Path, said: Path, season: Season) -> None:
    """In a child: never comes back."""
    try:
        take_in_all(home, said, list(season.files))
        os._exit(0)
    except BaseException:
        os._exit(9)


def _said(said: Path) -> set[str]:
    return set(said.read_text().split()) if said.exists() else set()


def kill_workers(folder: Path, kills: int) -> int:
    """Kill the desk's worker while it takes queued files in; it begins again each time."""
    chance, season = random.Random(SEED), write_season(folder / "files", FILES, ROWS, OVERLAP)
    home = folder / "home"
    env = dict(os.environ, BALEWRIGHT_HOME=str(home))
    feed = [sys.executable, str(WORKER)]
    subprocess.run([*feed, "queue", *map(str, season.files)], env=env, check=True)
    met = 0
    while met < kills:
        worker = subprocess.Popen([sys.executable, "-m", "balewright.desk.worker"], env=env)
        time.sleep(chance.uniform(2.0, 10.0))
        worker.kill()
        met += worker.wait() == -signal.SIGKILL
        done = subprocess.run([*feed, "done"], env=env, check=True, capture_output=True, text=True)
        acknowledged = set(done.stdout.split())
        check_home(home, season, acknowledged)
        if len(acknowledged) == FILES:
            shutil.rmtree(home)
            subprocess.run([*feed, "queue", *map(str, season.files)], env=env, check=True)
        _tell(met, kills, f"{len(acknowledged)} of {FILES} files in")
    return met


def kill_databases(folder: Path, kills: int) -> int:
    """Kill a database server, all its processes, under an intake; it heals, and so must we."""
    chance, season = random.Random(SEED), write_season(folder / "files", FILES, ROWS, OVERLAP)
    server = Server(folder / "server")
    met = 0
    while met < kills:
        home, said = folder / f"home-{met}", folder / f"said-{met}"
        server.start()
        address = server.fresh_database(f"kill{met}")
        env = dict(os.environ, BALEWRIGHT_DATABASE=address)
        command = [sys.executable, str(Path(__file__).with_name("intake_child.py"))]
        child = subprocess.Popen(
            [*command, str(home), str(said), *map(str, season.files)],
            env=env,
            stderr=subprocess.DEVNULL,
        )
        while not _said(said) and child.poll() is None:
            time.sleep(0.02)
        time.sleep(chance.uniform(0, 1.5))
        server.kill()
        child.wait()
        met += 1
        server.start()
        os.environ["BALEWRIGHT_DATABASE"] = address
        taken = check_home(home, season, _said(said))
        del os.environ["BALEWRIGHT_DATABASE"]
        server.stop()
        _tell(met, kills, f"{len(taken)} of {FILES} files in")
    return met


def _tell(met: int, kills: int, more: str) -> None:
    print(f"\r{met} of {kills} kills, {more}   ", end="", flush=True)


def main() -> None:
    """Run by hand."""
    parser = argparse.ArgumentParser()
    parser.add_argument("what", choices=("intake", "worker", "database", *WORK))
    parser.add_argument("--kills", type=int, default=200)
    options = parser.parse_args()
    if options.what == "database" and find_server() is None:
        sys.exit("PostgreSQL's initdb is not there")
    run = {"intake": kill_intakes, "worker": kill_workers, "database": kill_databases}
    run |= {what: partial(kill_work, what) for what in WORK}
    with tempfile.TemporaryDirectory() as folder:
        Path(folder).chmod(0o755)
        met = run[options.what](Path(folder), options.kills)
    print(f"\n{met} kills of {options.what}: nothing lost, nothing twice, nothing left lying")


if __name__ == "__main__":
    main()
