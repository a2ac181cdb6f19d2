"""Task data on the screen, for `balewright read`: devices, tasks, who and what was on them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from balewright.cli.answer import print_table
from balewright.flows.read_file import ReadFile
from balewright.flows.task_data_seen import Allocated, ReadDevice, ReadTask

_SHOWN: Final = 40


def show_devices(devices: Sequence[ReadDevice], everything: bool) -> None:
    """Print the devices, and what each can log: those that make bales first, the first lines only
    unless `everything` is asked for."""
    if not devices:
        return
    rows = [
        [
            *(each.id, _cell(each.name), _cell(each.serial), _cell(each.device_class)),
            *(str(each.elements), str(len(each.can_log))),
        ]
        for each in devices
    ]
    print_table(["device", "name", "serial", "class", "parts", "can log"], rows)
    print()
    lines = [
        [
            *(device.id, each.part, str(each.identifier), each.what),
            *(_cell(each.unit or None), ", ".join(each.logs_when) or "-"),
        ]
        for device in sorted(devices, key=lambda each: not each.counts_bales)
        for each in device.can_log
    ]
    shown = lines if everything else lines[:_SHOWN]
    if shown:
        print_table(["device", "part", "identifier", "what", "unit", "logged"], shown)
        if len(lines) > len(shown):
            print(f"and {len(lines) - len(shown)} more (--devices lists all)")
        print()


def show_tasks(tasks: Sequence[ReadTask]) -> None:
    """Print the tasks with what their logs gained, and who and what was on them."""
    headings = ["task", "customer", "farm", "field", "logs", "rows", "bales", "mass, kg"]
    print_table([*headings, "first record"], [_task_cells(task) for task in tasks])
    print()
    lines = [line for task in tasks for line in _allocated_lines(task)]
    for line in lines[:_SHOWN]:
        print(line)
    if len(lines) > _SHOWN:
        print(f"and {len(lines) - _SHOWN} more (--json lists all)")
    if lines:
        print()


def show_beside(found: ReadFile) -> None:
    """Print the link list in a line, and what was seen and not used."""
    if found.links:
        named = sum(1 for each in found.links if each.names)
        print(f"Link list: {len(found.links)} lasting identifiers, {named} of objects in this set")
    if found.listed:
        words = ", ".join(f"{n} {name}" for name, n in found.listed.items())
        print(f"Seen and not used: {words}")


def _allocated_lines(task: ReadTask) -> Iterator[str]:
    """What was on a task: only what the file names, or says when."""
    for each in task.allocated:
        if each.name or each.begins:
            yield f"{task.name or task.id}: {each.kind} {each.name or '-'}{_when(each)}"


def _when(each: Allocated) -> str:
    if not each.begins:
        return ""
    planned = ", planned" if each.planned else ""
    until = f" to {each.ends}" if each.ends else ""
    return f", {each.begins}{until}{planned}"


def _task_cells(task: ReadTask) -> list[str]:
    cells = (
        *(task.name or task.id, task.customer, task.farm, task.field),
        *(task.logs, task.rows, task.bales, task.mass_kg, task.first),
    )
    return [_cell(cell) for cell in cells]


def _cell(value: object) -> str:
    if value is None:
        return "-"
    return f"{value:.0f}" if isinstance(value, float) else str(value)
