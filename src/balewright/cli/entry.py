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
from dataclasses import asdict
from typing import Final

from balewright import __version__
from balewright.cli.answer import print_json
from balewright.cli.line import CommandLine, mark_needed, read_line
from balewright.quantities.errors import BadInput, BalewrightError

GOOD: Final = 0
FOUND: Final = 1
BAD_INPUT: Final = 2
OUR_FAULT: Final = 3

COMMANDS: Final = {
    "layers": "how many layers of film a bale really gets, and where it is thinnest",
    "rolls": "film for a bale, on which bale each roll ends, and how many to load",
    "stretch": "the stretch that really happened, from metres, two marks or strips",
    "pace": "bales an hour, what holds them back, and what a second is worth",
    "power": "what the machine takes at the PTO, and whether the tractor does",
    "cost": "what a bale costs, part by part, and what each setting changes",
    "keeping": "what a wrapped bale loses in store, and how many layers cost least",
    "optimum": "the layers, density and speed that cost least for what is wanted",
    "sheet": "the setup sheet for a machine, a crop, the ground and the rolls",
    "heating": "how hot stored hay may be, and when to measure it again",
    "additive": "hay acid by moisture or silage additive by its label, and the tank",
    "dry-matter": "dry matter by microwave, from several samples, or by a calibrated probe",
    "read": "what is in a task-data folder, zip or bale CSV: tasks, bales, what was refused",
    "columns": "say what the columns of another program's table mean, once, and keep it",
    "take-in": "take a file into the journal, for good",
    "watch-folder": "take in what is put into a folder, as long as it runs",
    "senders": "let devices send a machine's records by themselves",
    "findings": "what is wrong with which machine, and what became of it",
    "review": "look at every machine again, and say how many alarms are told and why",
    "causes": "what is likely behind a machine's trouble, and what to check or do next",
    "case": "a trouble from the call to the proof that it is cured",
    "due": "what work falls due on which machine",
    "counts": "what became of every bale number of a machine, and swaps of its control",
    "misplaced": "bales that lie in another job's field, and putting them right",
    "batch": "which batches of film and net break more; which bales have one, over all machines",
    "book": "bales by customer, job and day",
    "settings": "keep a machine's settings, and tell which to enter again after an update",
    "prices": "what things cost here, so that findings are told in money",
    "personal": "where personal data lies, what is held of somebody, and erasing it",
    "originals": "how long files are kept as they came, and letting go what is older",
    "doctor": "what is wrong with what is kept, and how to mend it",
    "bale": "one bale with where each value comes from, or a machine's bales",
    "correct": "put a value of bales right, or take that back; the record stays",
    "compact": "merge the journal's small files, so that questions stay quick",
    "backup": "everything that is kept, in one file, as it stood at one moment",
    "restore": "a backup back into an empty home",
    "demo": "fill a workplace with an invented fleet and serve the desk on it",
    "serve": "serve the desk",
}


_EXIT_CODES: Final = (
    "A command ends with 0 when all went well (refused rows are listed, and still 0), 1 when "
    "there are findings it was asked to fail on, 2 when the input is bad, 3 for a fault of ours."
)


def _parser(asked: str | None) -> tuple[CommandLine, CommandLine | None]:
    """The parser of every command, and that of the one asked for."""
    parser = CommandLine(
        prog="balewright",
        description="The workbench of a service manager for round baler-wrappers.",
        epilog=_EXIT_CODES,
    )
    parser.add_argument("--version", action="version", version=f"balewright {__version__}")
    commands = parser.add_subparsers(dest="command", metavar="COMMAND", required=True)
    used = None
    for name, what in COMMANDS.items():
        command = commands.add_parser(name, help=what, description=what[0].upper() + what[1:] + ".")
        command.add_argument("--trace", action="store_true", help=argparse.SUPPRESS)
        if name == asked:
            module = importlib.import_module(f"balewright.cli.{name.replace('-', '_')}")
            module.fill_parser(command)
            mark_needed(command)
            used = command
    return parser, used


def _answer(words: list[str], asked: str | None) -> int:
    parser, used = _parser(asked)
    if not words:
        parser.print_help(sys.stderr)
        return BAD_INPUT
    options = read_line(parser, used, words)
    return int(options.answer(options))


def run(arguments: Sequence[str]) -> int:
    """Answer one command line; the exit code.

    With --json bad input is told twice: in words on the error output, and as one JSON object.
    """
    asked = next((word for word in arguments if not word.startswith("-")), None)
    try:
        return _answer(list(arguments), asked)
    except SystemExit as leaving:  # argparse: help and version
        return leaving.code if isinstance(leaving.code, int) else BAD_INPUT
    except BalewrightError as error:
        return _tell(error, asked, "--json" in arguments)
    except KeyboardInterrupt:
        print("balewright: stopped; what was committed is kept", file=sys.stderr)
        return 130
    except BrokenPipeError:
        return GOOD
    except Exception as error:  # the last door: a person never meets a trace unasked
        if "--trace" in arguments:
            traceback.print_exc()
        said = f"a fault of ours: {type(error).__name__}: {error}. Add --trace and report it."
        return _own_up(said, asked, "--json" in arguments)


def _tell(error: BalewrightError, asked: str | None, as_json: bool) -> int:
    if not isinstance(error, BadInput):
        return _own_up(error, asked, as_json)
    if as_json:
        print_json(asked or "", {"faults": [asdict(fault) for fault in error.faults]})
    for fault in error.faults:
        print(f"balewright: {fault}", file=sys.stderr)
    return BAD_INPUT


def _own_up(said: object, asked: str | None, as_json: bool) -> int:
    if as_json:
        print_json(asked or "", {"fault_of_ours": str(said)})
    print(f"balewright: {said}", file=sys.stderr)
    return OUR_FAULT
