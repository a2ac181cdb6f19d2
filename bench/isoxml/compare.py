"""Task data of setup sheets, read back by three readers that share no code.

    cd bench/isoxml && npm install && python compare.py

Writes the task data of every shipped make under three conditions, with and without a job, and reads
it with our own reader, with isoxml for Python and with the npm package isoxml (`read.js`). Prints a
row a setting and ends with 1 where any number, unit, step, presentation or name differs.
"""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
import tempfile
from collections import Counter
from pathlib import Path
from typing import Any
from zipfile import ZipFile

sys.path.insert(0, str(Path(__file__).parents[2] / "tests"))

from isoxml.models.ddi_entities import DDEntity
from isoxml.util.isoxml_io import isoxml_from_path

from balewright.cards.task_data import FILE_IN_ZIP, TaskNames, task_data_zip
from balewright.readers.profile import shipped_profiles
from balewright.readers.task_data import open_task_data
from balewright.readers.task_data.dictionary import identifiers
from cards.examples import ASKED, sheet_for
from cards.test_task_data import JOB, dosed

HERE = Path(__file__).parent


def by_node(file: Path) -> Any:
    """What the npm package finds."""
    command = [shutil.which("node") or "node", str(HERE / "read.js"), str(file)]
    done = subprocess.run(command, capture_output=True, check=True, cwd=HERE, text=True)  # noqa: S603
    return json.loads(done.stdout)


def three_readings(file: Path, folder: Path) -> dict[str, list[Any]]:
    """(number, raw, unit, step, scale, shown in) of each value, then names and comments."""
    ours = open_task_data(file)
    task = ours.tasks[0].task
    shown = ours.presentations
    table = identifiers()
    rows: dict[str, list[Any]] = {"ours": [], "isoxml (Python)": [], "isoxml (npm)": []}
    for value in task.planned:
        known, how = table[value.number], shown[value.shown_as]
        rows["ours"].append(
            (value.number, value.raw, known.unit, known.step_factor, how.scale, how.unit)
        )
    rows["ours"] += [ours.tasks[0].customer or None, ours.tasks[0].field or None, *task.comments]
    with ZipFile(file) as archive:
        archive.extractall(folder)
    data, _ = isoxml_from_path(folder / FILE_IN_ZIP)
    theirs, presented = data.tasks[0], {each.id: each for each in data.value_presentations}
    for one in theirs.treatment_zones[0].process_data_variables:
        entry, how = (
            DDEntity.from_bytes(one.process_data_ddi),
            presented[one.value_presentation_id_ref],
        )
        rows["isoxml (Python)"].append(
            (entry.ddi, one.process_data_value, entry.unit, float(entry.bit_resolution),
             float(how.scale), how.unit_designator)
        )  # fmt: skip
    rows["isoxml (Python)"] += [
        data.customers[0].last_name if data.customers else None,
        data.partfields[0].designator if data.partfields else None,
        *(each.free_comment_text for each in theirs.comment_allocations),
    ]
    found = by_node(file)
    if found["warnings"]:
        raise SystemExit(f"{file.name}: {found['warnings']}")
    third = found["tasks"][0]
    for one in third["zones"][0]["values"]:
        rows["isoxml (npm)"].append(
            (one["number"], one["raw"], one["unit"], float(one["step"]), float(one["scale"]),
             one["shown_in"])
        )  # fmt: skip
    rows["isoxml (npm)"] += [third["customer"], third["field"], *third["comments"]]
    return rows


def main() -> int:
    """Compare all; 1 where anything differs."""
    agreed: Counter[int] = Counter()
    texts = 0
    with tempfile.TemporaryDirectory() as scratch:
        for make in sorted(shipped_profiles()):
            for asked, conditions in ASKED.items():
                for job in (None, JOB):
                    folder = Path(scratch) / f"{make}-{asked}-{job is not None}"
                    folder.mkdir()
                    file = folder / "sheet.zip"
                    sheet = dosed(sheet_for(make, conditions))
                    file.write_bytes(task_data_zip(sheet, job or TaskNames(), with_pressure=True))
                    rows = three_readings(file, folder)
                    if len({json.dumps(found) for found in rows.values()}) != 1:
                        print(f"{make}, {asked}: readers differ")
                        for name, found in rows.items():
                            print(f"  {name}: {found}")
                        return 1
                    values = [row for row in rows["ours"] if isinstance(row, tuple)]
                    agreed.update(number for number, *_ in values)
                    texts += len(rows["ours"]) - len(values)
    table = identifiers()
    print("| identifier | unit | files in which three readers agree |\n|---|---|---|")
    for number, times in sorted(agreed.items()):
        print(f"| {number} | {table[number].unit} | {times} |")
    print(f"\n{texts} names and comments agree.")
    return 0


if __name__ == "__main__":
    sys.exit(main())
