"""Coverage-guided fuzzing of one reader: typed errors only, bounded memory and time.

    python tests/faults/fuzzing.py NAME --seconds 3600 --corpus FOLDER
    python tests/faults/fuzzing.py NAME --corpus FOLDER --branches     # what the corpus reaches
    python tests/faults/fuzzing.py --list

An input that breaks the rule is left as `crash-...` beside the corpus, and the exit code is not 0.
"""

from __future__ import annotations

import argparse
import shutil
import sys
import tempfile
from pathlib import Path
from typing import Final

from faults.fuzz_targets import Target, targets

MEMORY_MB: Final = 1_500
ONE_INPUT_S: Final = 20
LONGEST: Final = 65_536


def run_one(target: Target, data: bytes) -> bool:
    """Read one input; True where it was understood. Anything but an error of the house goes up."""
    from balewright.quantities.errors import BalewrightError

    folder = Path(tempfile.mkdtemp(dir=_shelf()))
    try:
        target.read(data, folder)
    except BalewrightError:
        return False
    else:
        return True
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def _shelf() -> str | None:
    memory = Path("/dev/shm")
    return str(memory) if memory.is_dir() else None


def fuzz(target: Target, corpus: Path, seconds: int) -> None:
    """Fuzz until the time is over; ends the process."""
    import atheris

    with atheris.instrument_imports(include=["balewright"]):
        run_one(target, target.seeds[0])  # imports what it needs, now instrumented
    corpus.mkdir(parents=True, exist_ok=True)
    for number, seed in enumerate(target.seeds):
        (corpus / f"seed-{number}").write_bytes(seed)
    words = [
        *("fuzzing", str(corpus), f"-max_total_time={seconds}", f"-rss_limit_mb={MEMORY_MB}"),
        *(f"-timeout={ONE_INPUT_S}", f"-max_len={LONGEST}", f"-artifact_prefix={corpus.parent}/"),
        *("-print_final_stats=1", "-verbosity=1"),
    ]
    atheris.Setup(words, lambda data: run_one(target, data) and None)
    atheris.Fuzz()


def count_branches(target: Target, corpus: Path) -> tuple[int, int, int]:
    """Read the whole corpus once: inputs, branches of the target's modules met, and all of them."""
    import coverage

    measured = coverage.Coverage(branch=True, source_pkgs=[*target.packages], data_file=None)
    inputs = sorted(path for path in corpus.iterdir() if path.is_file())
    with measured.collect():
        for path in inputs:
            run_one(target, path.read_bytes())
    met = every = 0
    for file in measured.get_data().measured_files():
        numbers = measured._analyze(file).numbers  # no public way gives counts of branches
        met += numbers.n_executed_branches
        every += numbers.n_branches
    return len(inputs), met, every


def main() -> None:
    """Run by hand, or by the tests."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0] if __doc__ else "")
    parser.add_argument("name", nargs="?")
    parser.add_argument("--seconds", type=int, default=60)
    parser.add_argument("--corpus", type=Path)
    parser.add_argument("--branches", action="store_true")
    parser.add_argument("--list", action="store_true")
    options = parser.parse_args()
    known = targets()
    if options.list or options.name not in known:
        sys.exit("\n".join(known))
    corpus = options.corpus or Path(tempfile.mkdtemp()) / "corpus"
    if options.branches:
        inputs, met, every = count_branches(known[options.name], corpus)
        print(f"{options.name}: {inputs} inputs meet {met} of {every} branches")
        return
    fuzz(known[options.name], corpus, options.seconds)


if __name__ == "__main__":
    main()
