"""Many seasons over several processes, kept on disk so that a stopped run goes on."""

from __future__ import annotations

import hashlib
import multiprocessing
import sys
import time
from collections.abc import Callable, Sequence
from pathlib import Path

from bench.findings.facts import Season, from_line, to_line
from bench.findings.seasons import Case

ROOT = Path(__file__).parents[2]
_TOLD_BY = ("src/balewright/findings", "src/balewright/rehearsal", "src/balewright/plan",
            "bench/findings")  # fmt: skip
"""What a result depends on. How results are counted and written is not among it."""
_COUNTED_BY = frozenset({"counting.py", "saying.py", "certainty.py", "fleets.py", "theory.py",
                         "__main__.py", "told_by.py", "judging.py", "running.py"})  # fmt: skip


def digest() -> str:
    """Short hash of the code that a reviewed season depends on."""
    summed = hashlib.sha256()
    for folder in _TOLD_BY:
        for path in sorted((ROOT / folder).rglob("*.py")):
            if folder != "bench/findings" or path.name not in _COUNTED_BY:
                summed.update(path.read_bytes())
    return summed.hexdigest()[:12]


def read_kept(path: Path) -> dict[str, Season]:
    """Seasons that were reviewed before, by key; a line cut off by a stopped run is left out."""
    kept: dict[str, Season] = {}
    if path.exists():
        for line in path.read_text(encoding="utf-8").splitlines():
            if line.endswith("}"):
                season = from_line(line)
                kept[season.key] = season
    return kept


def run_all(
    cases: Sequence[Case], play: Callable[[Case], Season], path: Path, processes: int
) -> list[Season]:
    """Review every case that is not yet in the file; all that were asked for, in their order."""
    kept = read_kept(path)
    left = [case for case in cases if case.key not in kept]
    path.parent.mkdir(parents=True, exist_ok=True)
    begun = time.monotonic()
    with path.open("a", encoding="utf-8") as out, multiprocessing.Pool(processes) as pool:
        out.write("\n" if kept else "")
        for done, season in enumerate(pool.imap_unordered(play, left), start=1):
            kept[season.key] = season
            out.write(to_line(season) + "\n")
            out.flush()
            _tell(done, len(left), time.monotonic() - begun)
    sys.stderr.write("\n" if left else "")
    return [kept[case.key] for case in cases]


def _tell(done: int, total: int, seconds: float) -> None:
    left_min = seconds / done * (total - done) / 60.0
    if done % 10 and done < total:
        return
    sys.stderr.write(f"\r{done} of {total} seasons, {left_min:.0f} min left ")
    sys.stderr.flush()
