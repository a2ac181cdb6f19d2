"""The command `balewright`."""

from __future__ import annotations

import sys

from balewright.cli.entry import run


def main() -> int:
    """Run the command line and give its exit code."""
    return run(sys.argv[1:])


if __name__ == "__main__":
    sys.exit(main())
