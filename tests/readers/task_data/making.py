"""A tiny writer of task data, written apart from the reader: struct codes spelled out by hand.

ISO 11783-10: little endian; uint32 milliseconds of day, uint16 days since 1980-01-01, the empty
PTN attributes (A, B, C int32; D uint8; E, F uint16; G uint8; H uint32; I uint16), uint8 count,
then count times uint8 index and int32 value.
"""

from __future__ import annotations

import struct
from dataclasses import dataclass, field
from pathlib import Path

CODES = {"A": "i", "B": "i", "C": "i", "D": "B", "E": "H", "F": "H", "G": "B", "H": "I", "I": "H"}
DAY = 18_794
"""2031-06-16: 51 years of 365 days, 13 leap days (1980 to 2028) and 166 days after 1980-01-01."""


@dataclass
class Record:
    """One record: seconds of day, values by index, and whatever differs from the usual."""

    at_s: float
    values: dict[int, int] = field(default_factory=dict)
    day: int = DAY
    north: int = 500_000_000
    east: int = 70_000_000
    claimed: int | None = None

    def packed(self, position: str = "ABD") -> bytes:
        """The bytes of the record; `claimed` is a count that does not fit the values."""
        given = {"A": self.north, "B": self.east, "D": 1}
        count = len(self.values) if self.claimed is None else self.claimed
        head = struct.pack("<IH", round(self.at_s * 1000), self.day)
        head += b"".join(struct.pack("<" + CODES[c], given.get(c, 0)) for c in position)
        body = b"".join(struct.pack("<Bi", index, raw) for index, raw in self.values.items())
        return head + struct.pack("<B", count) + body


def header(columns: list[str], position: str = "ABD", element: str = "DET1") -> str:
    """A header file: identifiers in hexadecimal, one DLV each."""
    empty = " ".join(f'{letter}=""' for letter in position)
    values = "".join(f'<DLV A="{column}" B="" C="{element}"/>' for column in columns)
    return f'<?xml version="1.0"?><TIM A="" D="4"><PTN {empty}/>{values}</TIM>'


DEVICE = (
    '<DVC A="DVC1" B="Round One" C="1.0" D="A012000000000001" E="RB-7">'
    '<DET A="DET1" B="1" C="1" D="Baler" E="0" F="0"><DOR A="10"/></DET>{dpd}</DVC>'
)


def document(inside: str, root: str = 'VersionMajor="4" VersionMinor="3"') -> str:
    """A task-data file around some elements."""
    declaration = '<?xml version="1.0" encoding="UTF-8"?>'
    return f"{declaration}<ISO11783_TaskData {root}>{inside}</ISO11783_TaskData>"


def task(logs: list[str], key: str = "TSK1", name: str = "North meadow", periods: str = "") -> str:
    """One task that names its logs."""
    named = "".join(f'<TLG A="{log}" C="1"/>' for log in logs)
    return f'<TSK A="{key}" B="{name}" C="CTR1" D="FRM1" E="PFD1" G="4">{periods}{named}</TSK>'


PEOPLE = (
    '<CTR A="CTR1" B="Aldermoor"/><FRM A="FRM1" B="Low Farm" I="CTR1"/>'
    '<PFD A="PFD1" B="7" C="Long Strip" D="52000" E="CTR1" F="FRM1"/>'
)


@dataclass
class MadeSet:
    """A folder of task data being made: one device, people, then tasks and logs."""

    folder: Path
    tasks: list[str] = field(default_factory=list)
    device: str = DEVICE.format(dpd="")

    def log(
        self,
        name: str,
        records: list[Record] | bytes,
        columns: list[str] | None = None,
        position: str = "ABD",
    ) -> None:
        """Write a header and a binary part. columns: count and mass where not given."""
        data = (
            records
            if isinstance(records, bytes)
            else b"".join(record.packed(position) for record in records)
        )
        text = header(columns if columns is not None else ["005B", "005A"], position)
        (self.folder / f"{name}.XML").write_text(text)
        (self.folder / f"{name}.BIN").write_bytes(data)

    def write(self, extra: str = "") -> Path:
        """Write TASKDATA.XML; gives the folder."""
        inside = PEOPLE + self.device + "".join(self.tasks) + extra
        (self.folder / "TASKDATA.XML").write_text(document(inside))
        return self.folder


def counting(
    steps: list[tuple[float, int, int]], start: tuple[int, int] = (0, 0), begin_s: float = 36_000
) -> list[Record]:
    """Records of a counter: the first carries the start values; then (seconds after the begin,
    count, mass in kg) at each step, and one quiet record a second before and after."""
    records = [Record(begin_s, {0: start[0], 1: start[1]})]
    before = start
    for after_s, count, mass_kg in steps:
        values = {}
        if count != before[0]:
            values[0] = count
        if mass_kg != before[1]:
            values[1] = mass_kg
        records.append(Record(begin_s + after_s, values))
        before = (count, mass_kg)
    records.append(Record(begin_s + (steps[-1][0] if steps else 0) + 5))
    return records


def zipped(folder: Path, target: Path) -> Path:
    """The folder's files as a zip."""
    import zipfile

    with zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as packed:
        for path in sorted(folder.rglob("*")):
            if path.is_file():
                packed.write(path, str(path.relative_to(folder)))
    return target
