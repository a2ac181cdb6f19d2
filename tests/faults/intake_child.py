"""What a traced or killed process does: take files in, and say so once each is in.

Called as `intake_child.py HOME SAID FILE...`; runs until all are in.
"""

from __future__ import annotations

import os
import sys
from pathlib import Path


def main(home: Path, said: Path, files: list[Path]) -> None:
    """Take the files in, in order; write each one's name to `said` after it was taken."""
    from balewright.flows.take_in_file import take_in_file
    from balewright.settings import load_settings, open_workplace

    kept = {name: value for name, value in os.environ.items() if name == "BALEWRIGHT_DATABASE"}
    workplace = open_workplace(load_settings({**kept, "BALEWRIGHT_HOME": str(home)}))
    for file in files:
        report = take_in_file(workplace, file)
        assert report.state != "refused", report.refusals
        handle = os.open(said, os.O_WRONLY | os.O_APPEND | os.O_CREAT)
        os.write(handle, f"{file.name}\n".encode())
        os.close(handle)


if __name__ == "__main__":
    main(Path(sys.argv[1]), Path(sys.argv[2]), [Path(name) for name in sys.argv[3:]])
