"""`balewright read PATH`: what is in a file of records, kept, refused and doubtful."""

from __future__ import annotations

import argparse
import os
from collections.abc import Sequence
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, Final

from balewright.cli.answer import print_json, print_table
from balewright.cli.entry import BAD_INPUT, GOOD
from balewright.cli.read_task_data import show_beside, show_devices, show_tasks
from balewright.cli.read_trace import ending_lines, show_trace
from balewright.flows.find_profile import find_profile
from balewright.flows.read_file import ReadFile, read_file
from balewright.flows.read_trace import is_trace, read_trace

if TYPE_CHECKING:
    from balewright.flows.reading_of import Reading

_SHOWN: Final = 40


def fill_parser(parser: argparse.ArgumentParser) -> None:
    """Give the command its arguments."""
    parser.add_argument(
        "path",
        type=Path,
        help="a task-data folder or zip, its TASKDATA.XML, a bale CSV, or a trace of a CAN bus",
    )
    parser.add_argument(
        "--map", metavar="KEY", help="column map to read a table by: kept one, or its file"
    )
    parser.add_argument("--json", action="store_true", help="one JSON object with a version in it")
    parser.add_argument(
        "--devices", action="store_true", help="all that each device can log, however long"
    )
    parser.add_argument(
        "--strict", action="store_true", help="end with 2 when anything was refused"
    )
    trace = parser.add_argument_group("a trace of a CAN bus")
    trace.add_argument("--profile", help="key or file of the machine's profile, for its signals")
    trace.add_argument(
        "--signals", type=Path, metavar="FILE", help="TOML of the machine's signals, for its own"
    )
    trace.add_argument("--begins", metavar="TIME", help="when it began, where it does not say")
    parser.set_defaults(answer=answer_read)


def answer_read(options: argparse.Namespace) -> int:
    """Read and print; 0, or 2 with --strict when anything was refused."""
    if is_trace(options.path):
        return _answer_trace(options)
    found = read_file(options.path, None if options.map is None else _by_map(options.map))
    if options.json:
        print_json("read", asdict(found))
    else:
        _show(found, everything=options.devices)
    return BAD_INPUT if options.strict and found.refused_total else GOOD


def _by_map(wanted: str) -> Reading:
    from balewright.flows.reading_of import reading_by_file, reading_of

    if Path(wanted).is_file():
        return reading_by_file(Path(wanted))
    from balewright.settings import load_settings, open_workplace

    return reading_of(open_workplace(load_settings(os.environ)), map_key=wanted)


def _answer_trace(options: argparse.Namespace) -> int:
    profile = None if options.profile is None else find_profile(options.profile)
    found = read_trace(options.path, profile, options.begins, options.signals)
    if options.json:
        print_json("read", asdict(found))
    else:
        show_trace(found)
        refused = [f"{e.place}: {e.reason}" for e in found.refused]
        _show_odd("Refused", refused, found.refused_total)
        doubts = [f"{e.place}: {e.kind}: {e.text}" for e in found.doubtful]
        _show_odd("Doubtful, kept with a mark", doubts, found.doubtful_total)
        print("\n".join(ending_lines(found)))
    return BAD_INPUT if options.strict and found.refused_total else GOOD


def _show(found: ReadFile, *, everything: bool) -> None:
    version = f", version {found.task_data_version}" if found.task_data_version else ""
    print(f"{found.name}: {found.form}{version}\n")
    show_devices(found.devices, everything)
    if found.tasks:
        show_tasks(found.tasks)
    elif found.machines or found.events:
        print_table(["machine", "bales"], [[name, str(n)] for name, n in found.machines.items()])
        if found.machines_more:
            print(f"and {found.machines_more} bales of further machines")
        print(f"{found.events} events\n")
    _show_odd(
        "Refused", [f"{e.file}, {e.place}: {e.reason}" for e in found.refusals], found.refused_total
    )
    _show_odd(
        "Doubtful, kept with a mark",
        [f"{e.file}, {e.place}: {e.kind}: {e.text}" for e in found.doubts],
        found.doubtful_total,
    )
    show_beside(found)
    if found.ignored:
        lines = [f"{each.name}: {each.why}" for each in found.ignored]
        _show_odd("Not read", lines, len(lines))


def _show_odd(what: str, lines: Sequence[str], total: int) -> None:
    print(f"{what}: {total}")
    for line in lines[:_SHOWN]:
        print(f"  {line}")
    if total > _SHOWN:
        listed = "all" if total == len(lines) else f"the first {len(lines)}"
        print(f"  and {total - _SHOWN} more (--json lists {listed})")
