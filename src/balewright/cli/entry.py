"""Which command answers to which word, and how its errors become exit codes.

0 good; 1 findings where asked to fail on them; 2 bad input; 3 a fault of ours.
A command is a module of this folder with `fill_parser(parser)`; its `answer` default
takes the parsed arguments and gives the exit code. Modules are imported only when their command
is called, so that `layers` starts without a web framework.
"""

from __future__ import annotations

import argparse
import importlib
import sys
import traceback
from collections.abc import Sequence
from typing import Final

from balewright import __version__
from balewright.quantities.errors import BadInput, BalewrightError

GOOD: Final = 0
FOUND: Final = 1
BAD_INPUT: Final = 2
OUR_FAULT: Final = 3

COMMANDS: Final = {
    "layers": "how many layers of film a bale really gets, and where it is thinnest",
    "sheet": "the setup sheet for a machine, a crop, the ground and the rolls",
    "read": "what is in a task-data folder, zip or bale CSV: tasks, bales, what was refused",
    "take-in": "take a file into the journal, for good",
    "findings": "where bales differ from their sheet",
    "due": "what work falls due on which machine",
    "book": "bales by customer, job and day",
    "demo": "fill a workplace with an invented fleet and serve the desk on it",
    "serve": "serve the desk",
}


def _parser(asked: str | None) -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="balewright",
        description="The workbench of a service manager for round baler-wrappers.",
    )
    parser.add_argument("--version", action="version", version=f"balewright {__version__}")
    commands = parser.add_subparsers(dest="command", metavar="COMMAND", required=True)
    for name, what in COMMANDS.items():
        command = commands.add_parser(name, help=what, description=what[0].upper() + what[1:] + ".")
        command.add_argument("--trace", action="store_true", help=argparse.SUPPRESS)
        if name == asked:
            module = importlib.import_module(f"balewright.cli.{name.replace('-', '_')}")
            module.fill_parser(command)
    return parser


def run(arguments: Sequence[str]) -> int:
    """Answer one command line; the exit code."""
    asked = next((word for word in arguments if not word.startswith("-")), None)
    try:
        options = _parser(asked).parse_args(arguments)
        return int(options.answer(options))
    except SystemExit as leaving:  # argparse: help is 0, a bad option is 2
        return leaving.code if isinstance(leaving.code, int) else BAD_INPUT
    except BalewrightError as error:
        print(f"balewright: {error}", file=sys.stderr)
        return BAD_INPUT if isinstance(error, BadInput) else OUR_FAULT
    except KeyboardInterrupt:
        print("balewright: stopped; what was committed is kept", file=sys.stderr)
        return 130
    except BrokenPipeError:
        return GOOD
    except Exception as error:  # the last door: a person never meets a trace unasked
        if "--trace" in arguments:
            traceback.print_exc()
        said = f"{type(error).__name__}: {error}"
        print(f"balewright: a fault of ours: {said}. Add --trace and report it.", file=sys.stderr)
        return OUR_FAULT
