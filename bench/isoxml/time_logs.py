"""Time logs decoded by this project and by the npm package isoxml, in one run on the same files.

    cd bench/isoxml && npm install && python time_logs.py FOLDER [--times 20]

FOLDER holds sets of task data (each a folder or zip). First every record of every log that both
can read is held against the other reader's, field by field. Then the logs of each set are repeated
to a good size and both decode them, bytes in memory to records in memory, the best of three runs;
printed are records a second and their ratio. Ends with 1 where a record differs or is missing, or
the ratio of all sets together is below 5. `--digests` prints, instead, one digest a set of what the
other reader found: the tests hold ours against them where no node is at hand.
"""

from __future__ import annotations

import argparse
import json
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from zipfile import ZIP_STORED, ZipFile

import numpy as np

from balewright.quantities.errors import BadInput
from balewright.readers.archive import Archive, folder_of, open_archive
from balewright.readers.task_data.attributes import Ledger
from balewright.readers.task_data.layout import LogHeader
from balewright.readers.task_data.log_header import fitting_header, read_headers
from balewright.readers.task_data.time_log import decode_log

HERE = Path(__file__).parent
LEAST_RATIO = 5.0
RUNS = 3
_LETTERS = "ABCDEFGHI"


@dataclass(frozen=True)
class RawLog:
    """One log of a set: its name, its parts as bytes, and what our reader says of them."""

    name: str
    header_bytes: bytes
    header: LogHeader
    data: bytes


def raw_logs(archive: Archive) -> Iterator[RawLog]:
    """The logs that our reader can read, with what it refuses cut out of their bytes: the other
    reader stops at a damaged record."""
    for binary in sorted(archive.sizes):
        base = binary.rpartition("/")[2]
        if not base.lower().startswith("tlg") or not base.lower().endswith(".bin"):
            continue
        header_file = archive.find(folder_of(binary), f"{base[:-4]}.xml")
        if header_file is None:
            continue
        header_bytes = archive.read(header_file)
        headers = read_headers(header_bytes, header_file, Ledger())
        data = archive.read(binary)
        if not headers or not data:
            continue
        header = fitting_header(data, headers)
        log = decode_log(base[:-4], data, header, binary)
        keep = np.zeros(len(data), dtype=np.bool_)
        sizes = 7 + sum({"D": 1, "G": 1, "E": 2, "F": 2, "I": 2}.get(c, 4) for c in header.position)
        counts = np.bincount(log.value_row, minlength=log.rows)
        for offset, count in zip(log.offsets.tolist(), counts.tolist(), strict=True):
            keep[offset : offset + sizes + 5 * count] = True
        whole = bytes(np.frombuffer(data, np.uint8)[keep])
        yield RawLog(base[:-4].upper(), header_bytes, header, whole)


def packed(logs: list[RawLog], file: Path, times: int) -> Path:
    """A zip of task data with these logs, each repeated."""
    elements = {column.element for log in logs for column in log.header.columns}
    parts = "".join(
        f'<DET A="{key}" B="{n}" C="1" D="D" E="{n}" F="0"/>' for n, key in enumerate(elements, 1)
    )
    named = "".join(f'<TLG A="{log.name}" C="1"/>' for log in logs)
    text = (
        '<?xml version="1.0"?><ISO11783_TaskData VersionMajor="4" VersionMinor="2" '
        'DataTransferOrigin="2" ManagementSoftwareManufacturer="" ManagementSoftwareVersion="" '
        'TaskControllerManufacturer="" TaskControllerVersion="">'
        f'<DVC A="DVC1" B="D" C="1" D="A000000000000000" F="00" G="00">{parts}</DVC>'
        f'<TSK A="TSK1" G="4">{named}</TSK></ISO11783_TaskData>'
    )
    with ZipFile(file, "w", ZIP_STORED) as archive:
        archive.writestr("TASKDATA/TASKDATA.XML", text)
        for log in logs:
            archive.writestr(f"TASKDATA/{log.name}.XML", log.header_bytes)
            archive.writestr(f"TASKDATA/{log.name}.BIN", log.data * times)
    return file


def by_node(mode: str, file: Path) -> str:
    """What the script beside this file prints."""
    command = [shutil.which("node") or "node", "--max-old-space-size=6000", "time_logs.js"]
    done = subprocess.run(  # noqa: S603
        [*command, mode, str(file)], capture_output=True, check=True, cwd=HERE, text=True
    )
    return done.stdout


def our_rows(log: RawLog) -> Iterator[list[Any]]:
    """Every record as the other reader gives it: name, ms, position, values by key."""
    read = decode_log(log.name, log.data, log.header, log.name)
    said = read.receiver
    heads, fixed = said.heads, said.fixed
    names = dict(zip(_LETTERS, ("north", "east", "up", "status", "pdop", "hdop"), strict=False))
    names |= {"G": "satellites", "H": "gps_ms", "I": "gps_day"}
    worth = {"A": 1e7, "B": 1e7, "E": 10, "F": 10}
    keys = [f"{c.number:04X}_{c.element}" for c in read.columns]
    values: list[dict[str, int]] = [{} for _ in range(read.rows)]
    triples = zip(read.value_row, read.value_index, read.value_raw, strict=True)
    for row, index, raw in triples:
        values[row][keys[index]] = int(raw)
    has_position = bool(log.header.position or fixed)
    for row in range(read.rows):
        place: list[Any] | None = None
        if has_position:
            place = [fixed.get(letter) for letter in _LETTERS]
            for n, letter in enumerate(_LETTERS):
                if letter in log.header.position:
                    raw = heads[names[letter]][row].item()
                    place[n] = raw / worth[letter] if letter in worth else raw
            place[3] = None if place[3] is None else str(int(place[3]))
        yield [log.name, (int(read.at_us[row])) // 1000, place, values[row]]


def compare(logs: list[RawLog], file: Path) -> tuple[int, int]:
    """Hold every record against the other reader's; records and values that agree. Raises
    SystemExit at the first difference."""
    theirs = iter(by_node("rows", packed(logs, file, 1)).splitlines())
    records = values = 0
    for log in logs:
        for mine in our_rows(log):
            line = next(theirs, "null")
            if json.loads(line) != mine:
                raise SystemExit(f"record {records} differs:\n  ours   {mine}\n  theirs {line}")
            records += 1
            values += len(mine[3])
    if (more := next(theirs, None)) is not None:
        raise SystemExit(f"the other reader has more: {more}")
    return records, values


def our_speed(logs: list[RawLog], times: int) -> tuple[int, float]:
    """Records and the best seconds of decoding."""
    data = [(log, log.data * times) for log in logs]
    best_s, records = float("inf"), 0
    for _ in range(RUNS):
        records, spent_s = 0, 0.0
        for log, whole in data:
            start_s = time.perf_counter()
            records += decode_log(log.name, whole, log.header, log.name).rows
            spent_s += time.perf_counter() - start_s
        best_s = min(best_s, spent_s)
    return records, best_s


def main() -> int:
    """Compare and measure; 1 where something differs or is too slow."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("folder", type=Path)
    parser.add_argument("--times", type=int, default=20, help="how often each log is repeated")
    parser.add_argument("--digests", action="store_true", help="print digests of the records only")
    asked = parser.parse_args()
    head = ("set", "logs", "records", "values", "agree", "ours, rec/s", "isoxml, rec/s", "ratio")
    if not asked.digests:
        print("| " + " | ".join(head) + " |\n|" + "---|" * len(head))
    total = np.zeros(3)
    with tempfile.TemporaryDirectory() as scratch:
        for path in sorted(asked.folder.iterdir()):
            try:
                logs = list(raw_logs(open_archive(path)))
            except BadInput:
                continue
            if not logs or len({log.name for log in logs}) < len(logs):
                continue
            if asked.digests:
                print(
                    path.name, by_node("digest", packed(logs, Path(scratch) / "a.zip", 1)).strip()
                )
                continue
            records, values = compare(logs, Path(scratch) / "a.zip")
            ours, ours_s = our_speed(logs, asked.times)
            file = packed(logs, Path(scratch) / "b.zip", asked.times)
            found = json.loads(by_node("speed", file))
            if found["records"] != ours:
                raise SystemExit(f"{path.name}: {ours} records here, {found['records']} there")
            total += (ours, ours_s, found["seconds"])
            ratio = found["seconds"] / ours_s
            print(
                f"| {path.name} | {len(logs)} | {records} | {values} | all | {ours / ours_s:,.0f} "
                f"| {ours / found['seconds']:,.0f} | {ratio:.1f} |"
            )
    if asked.digests:
        return 0
    if not total[0]:
        raise SystemExit("no set with a time log was found")
    ratio = total[2] / total[1]
    print(
        f"\n{total[0]:,.0f} records in {total[1]:.2f} s here, {total[2]:.2f} s by isoxml: "
        f"ratio {ratio:.1f}"
    )
    return 0 if ratio >= LEAST_RATIO else 1


if __name__ == "__main__":
    sys.exit(main())
