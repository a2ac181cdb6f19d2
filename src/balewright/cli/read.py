"""`balewright read PATH`: what is in task data or a bale CSV, kept, refused and doubtful."""

from __future__ import annotations

import argparse
from collections import Counter
from pathlib import Path
from typing import Any

from balewright.cli.answer import print_json, print_table
from balewright.readers.open_records import BALE_CSV, TASK_DATA, Records, open_records
from balewright.readers.task_data import TaskData, open_task_data
from balewright.readers.task_data.dictionary import words_for
from balewright.readers.task_data.log_doubts import clock_text
from balewright.readers.task_data.result import TaskRecord
from balewright.records.intake import Doubt, Refusal

_GOOD = 0
_REFUSED = 2
_SHOWN = 40


def fill_parser(parser: argparse.ArgumentParser) -> None:
    """Give the command its arguments."""
    parser.add_argument(
        "path", type=Path, help="a task-data folder or zip, its TASKDATA.XML, or a bale CSV"
    )
    parser.add_argument("--json", action="store_true", help="one JSON object with a version in it")
    parser.add_argument(
        "--strict", action="store_true", help="end with 2 when anything was refused"
    )
    parser.set_defaults(answer=answer_read)


def answer_read(options: argparse.Namespace) -> int:
    """Read and print; 0, or 2 with --strict when anything was refused."""
    form = _form(options.path)
    if form is None:
        data = open_task_data(options.path)
        answer, refused = _task_data_json(data), _all_refusals(data)
        show = _show_task_data
    else:
        answer, refused = _csv_json(form)
        show = _show_csv
    if options.json:
        print_json("read", answer)
    else:
        show(answer)
    return _REFUSED if options.strict and refused else _GOOD


def _form(path: Path) -> Records | None:
    """The records of a CSV; None where `path` is to be read as task data."""
    if path.is_dir() or path.suffix.lower() in {".zip", ".xml"}:
        return None
    records = open_records(path)
    return None if records.form == TASK_DATA else records


def _all_refusals(data: TaskData) -> list[Refusal]:
    return [*data.refusals, *(each for record in data.tasks for each in record.refused)]


def _task_data_json(data: TaskData) -> dict[str, Any]:
    return {
        "form": TASK_DATA,
        "name": data.name,
        "task_data_version": data.version,
        "devices": [
            {
                "id": device.key,
                "name": device.name or None,
                "serial": device.serial or None,
                "software": device.software or None,
                "device_class": device.device_class,
                "elements": len(device.elements),
            }
            for device in data.devices
        ],
        "customers": [{"id": each.key, "name": each.name} for each in data.customers],
        "farms": [
            {"id": each.key, "name": each.name, "customer": each.customer or None}
            for each in data.farms
        ],
        "fields": [
            {
                "id": each.key,
                "name": each.name,
                "area_m2": each.area_m2,
                "customer": each.customer or None,
                "farm": each.farm or None,
            }
            for each in data.fields
        ],
        "tasks": [_task_json(record) for record in data.tasks],
        "logs_without_task": [log.name for log in data.loose_logs],
        "refused": [_refusal_json(each) for each in data.refusals],
        "doubtful": [_doubt_json(each) for each in data.doubts],
        "ignored": [{"file": each.name, "why": each.why} for each in data.ignored],
    }


def _task_json(record: TaskRecord) -> dict[str, Any]:
    task = record.task
    spans = [
        {
            "name": log.name,
            "rows": log.rows,
            "first": clock_text(int(log.at_us.min())) if log.rows else None,
            "last": clock_text(int(log.at_us.max())) if log.rows else None,
        }
        for log in record.logs
    ]
    return {
        "id": task.key,
        "name": task.name or None,
        "customer": record.customer,
        "farm": record.farm,
        "field": record.field,
        "logs": len(record.logs),
        "rows": record.rows,
        "bales": record.bales,
        "mass_kg": record.mass_kg,
        "first": min((each["first"] for each in spans if each["first"]), default=None),
        "last": max((each["last"] for each in spans if each["last"]), default=None),
        "spans": spans,
        "totals": _totals_json(record),
        "refused": [_refusal_json(each) for each in record.refused],
        "doubtful": [_doubt_json(each) for each in record.doubtful],
    }


def _totals_json(record: TaskRecord) -> list[dict[str, Any]]:
    """The task's own totals: they are cumulative, so the last of each stands."""
    last = {
        (total.number, total.element): total.raw
        for period in record.task.periods
        for total in period.totals
    }
    return [
        {"identifier": number, "what": words_for(number), "element": element, "raw": raw}
        for (number, element), raw in last.items()
    ]


def _refusal_json(refusal: Refusal) -> dict[str, Any]:
    return {
        "file": refusal.file,
        "place": refusal.place,
        "text": refusal.text,
        "reason": refusal.reason,
    }


def _doubt_json(doubt: Doubt) -> dict[str, Any]:
    return {"file": doubt.file, "place": doubt.place, "kind": doubt.kind, "text": doubt.text}


def _csv_json(records: Records) -> tuple[dict[str, Any], list[Refusal]]:
    """Sum a CSV up batch by batch; only its refusals and doubts are held."""
    kept = events = 0
    machines: Counter[str] = Counter()
    refused: list[Refusal] = []
    doubtful: list[Doubt] = []
    for batch in records.batches:
        kept += batch.bales.rows
        events += len(batch.events)
        names = batch.bales.column("machine")[batch.bales.mask("machine")]
        machines.update(str(name) for name in names)
        refused.extend(batch.refusals)
        doubtful.extend(batch.doubts)
    answer = {
        "form": records.form,
        "tasks": [],
        "bales": kept if records.form == BALE_CSV else None,
        "events": events,
        "machines": dict(machines),
        "refused": [_refusal_json(each) for each in refused],
        "doubtful": [_doubt_json(each) for each in doubtful],
    }
    return answer, refused


def _show_task_data(answer: dict[str, Any]) -> None:
    print(f"{answer['name']}: task data, version {answer['task_data_version']}")
    print()
    if answer["devices"]:
        rows = [
            [each["id"], _cell(each["name"]), _cell(each["serial"]), _cell(each["device_class"])]
            for each in answer["devices"]
        ]
        print_table(["device", "name", "serial", "class"], rows)
        print()
    columns = ["name", "customer", "farm", "field", "logs", "rows", "bales", "mass_kg", "first"]
    if answer["tasks"]:
        rows = [[_cell(task[name]) for name in columns] for task in answer["tasks"]]
        print_table(["task", *columns[1:-2], "mass, kg", "first record"], rows)
        print()
    refused = [*answer["refused"], *(each for task in answer["tasks"] for each in task["refused"])]
    doubtful = [
        *answer["doubtful"],
        *(each for task in answer["tasks"] for each in task["doubtful"]),
    ]
    _show_odd(refused, doubtful)
    if answer["ignored"]:
        print(f"Not read: {len(answer['ignored'])} files")
        for each in answer["ignored"][:_SHOWN]:
            print(f"  {each['file']}: {each['why']}")


def _show_csv(answer: dict[str, Any]) -> None:
    print(f"{answer['form']}: {_cell(answer['bales'])} bales kept, {answer['events']} events")
    print()
    print_table(["machine", "bales"], [[name, str(n)] for name, n in answer["machines"].items()])
    print()
    _show_odd(answer["refused"], answer["doubtful"])


def _show_odd(refused: list[dict[str, Any]], doubtful: list[dict[str, Any]]) -> None:
    print(f"Refused: {len(refused)}")
    for each in refused[:_SHOWN]:
        print(f"  {each['file']}, {each['place']}: {each['reason']}")
    _show_rest(refused)
    print(f"Doubtful, kept with a mark: {len(doubtful)}")
    for each in doubtful[:_SHOWN]:
        print(f"  {each['file']}, {each['place']}: {each['kind']}: {each['text']}")
    _show_rest(doubtful)


def _show_rest(listed: list[dict[str, Any]]) -> None:
    if len(listed) > _SHOWN:
        print(f"  and {len(listed) - _SHOWN} more (--json lists all)")


def _cell(value: object) -> str:
    if value is None:
        return "-"
    return f"{value:.0f}" if isinstance(value, float) else str(value)
