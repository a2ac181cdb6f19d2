"""The bales a finding rests on, as rows: number, time, values, files."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final
from zoneinfo import ZoneInfo

from balewright.desk.finding.chart import title_of
from balewright.desk.reading import reading
from balewright.flows.open_finding import OpenedFinding
from balewright.words.say import say_value
from balewright.words.times import say_time

_COLUMNS: Final = 4
"""Values beside each bale: the first that the finding rests on."""


@dataclass(frozen=True)
class Row:
    """One bale. mark: key of what is noted at it, "" for nothing; gap: bales are left out before
    it; cells: value with the name of its column; files: hash and name.
    """

    key: str
    number: str
    when: str
    job: str
    mark: str
    gap: bool
    cells: tuple[tuple[str, str], ...]
    files: tuple[tuple[str, str], ...]


def columns_of(opened: OpenedFinding) -> tuple[str, ...]:
    """The columns shown beside each bale."""
    return tuple(name for name in opened.evidence.columns if name != "operator")[:_COLUMNS]


def rows_of(opened: OpenedFinding, zone: ZoneInfo) -> list[Row]:
    """The bales around it, in the order made."""
    evidence = opened.evidence
    bales, start = evidence.bales, opened.told.start
    names = columns_of(opened)
    rows = []
    for place, ordinal in enumerate(evidence.ordinals):
        marked = {evidence.last: "last", evidence.first: "first"}.get(ordinal, "")
        if not marked and start is not None and start[0] <= ordinal <= start[1]:
            marked = "within"
        number = bales.cell(place, "bale_no")
        cells = tuple(
            (title_of(name), _cell(name, bales.cell(place, name), zone)) for name in names
        )
        rows.append(
            Row(
                key=evidence.keys[place],
                number=evidence.keys[place] if number is None else str(number),
                when=say_time(_when(bales, place), zone),
                job=bales.cell(place, "job") or "–",
                mark=marked,
                gap=place > 0 and ordinal != evidence.ordinals[place - 1] + 1,
                cells=cells,
                files=tuple(
                    (sha256, evidence.files.get(sha256, sha256[:12]))
                    for sha256 in evidence.sources[place]
                ),
            )
        )
    return rows


def _when(bales: Any, place: int) -> int | None:
    for name in ("tipped_at", "wrap_end_at", "gate_open_at", "bind_end_at", "full_at", "closed_at"):
        at_us: int | None = bales.cell(place, name)
        if at_us is not None:
            return at_us
    return None


def _cell(name: str, value: Any, zone: ZoneInfo) -> str:
    if value is None:
        return "–"
    return say_time(value, zone) if name.endswith("_at") else say_value(name, value, reading())
