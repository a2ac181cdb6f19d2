"""`balewright read PATH`: what is in task data or a bale CSV, kept, refused and doubtful."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from dataclasses import asdict
from pathlib import Path
from typing import Final

from balewright.cli.answer import print_json, print_table
from balewright.cli.entry import BAD_INPUT, GOOD
from balewright.flows.read_file import ReadFile, read_file
from balewright.flows.task_data_seen import ReadDevice, ReadTask

_SHOWN: Final = 40


def fill_parser(parser: argparse.ArgumentParser) -> None:
    """Give the command its arguments."""
    parser.add_argument(
        "path", type=Path, help="a task-data folder or zip, its TASKDATA.XML, or a bale CSV"
    )
    parser.add_argument("--json", action="store_true", help="one JSON object with a version in it")
    parser.add_argument(
        "--devices", action="store_true", help="all that each device can log, however long"
    )
    parser.add_argument(
        "--strict", action="store_true", help="end with 2 when anything was refused"
    )
    parser.set_defaults(answer=answer_read)


def answer_read(options: argparse.Namespace) -> int:
    """Read and print; 0, or 2 with --strict when anything was refused."""
    found = read_file(options.path)
    if options.json:
        print_json("read", asdict(found))
    else:
        _show(found, everything=options.devices)
    return BAD_INPUT if options.strict and found.refused_total else GOOD


def _show(found: ReadFile, *, everything: bool) -> None:
    version = f", version {found.task_data_version}" if found.task_data_version else ""
    print(f"{found.name}: {found.form}{version}\n")
    if found.devices:
        rows = [
            [
                *(each.id, _cell(each.name), _cell(each.serial), _cell(each.device_class)),
                *(str(each.elements), str(len(each.can_log))),
            ]
            for each in found.devices
        ]
        print_table(["device", "name", "serial", "class", "parts", "can log"], rows)
        print()
        _show_loggables(found.devices, everything)
    if found.tasks:
        headings = ["task", "customer", "farm", "field", "logs", "rows", "bales", "mass, kg"]
        print_table([*headings, "first record"], [_task_cells(task) for task in found.tasks])
        print()
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
    if found.links:
        named = sum(1 for each in found.links if each.names)
        print(f"Link list: {len(found.links)} lasting identifiers, {named} of objects in this set")
    if found.listed:
        words = ", ".join(f"{n} {name}" for name, n in found.listed.items())
        print(f"Seen and not used: {words}")
    if found.ignored:
        lines = [f"{each.name}: {each.why}" for each in found.ignored]
        _show_odd("Not read", lines, len(lines))


def _show_loggables(devices: Sequence[ReadDevice], everything: bool) -> None:
    """What each device can log, by part; the first lines only where it is long."""
    rows = [
        [
            *(device.id, each.part, str(each.identifier), each.what),
            *(_cell(each.unit or None), ", ".join(each.logs_when) or "-"),
        ]
        for device in devices
        for each in device.can_log
    ]
    shown = rows if everything else rows[:_SHOWN]
    if shown:
        print_table(["device", "part", "identifier", "what", "unit", "logged"], shown)
        if len(rows) > len(shown):
            print(f"and {len(rows) - len(shown)} more (--devices lists all)")
        print()


def _task_cells(task: ReadTask) -> list[str]:
    cells = (
        *(task.name or task.id, task.customer, task.farm, task.field),
        *(task.logs, task.rows, task.bales, task.mass_kg, task.first),
    )
    return [_cell(cell) for cell in cells]


def _show_odd(what: str, lines: Sequence[str], total: int) -> None:
    print(f"{what}: {total}")
    for line in lines[:_SHOWN]:
        print(f"  {line}")
    if total > _SHOWN:
        listed = "all" if total == len(lines) else f"the first {len(lines)}"
        print(f"  and {total - _SHOWN} more (--json lists {listed})")


def _cell(value: object) -> str:
    if value is None:
        return "-"
    return f"{value:.0f}" if isinstance(value, float) else str(value)
