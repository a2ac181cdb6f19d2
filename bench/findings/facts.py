"""What a reviewed season comes down to: what was planted, and what was told when.

Bales are counted from the season's first (0) in the order they were made, whatever their numbers.
"""

from __future__ import annotations

import dataclasses
import json
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True)
class Fault:
    """What was planted. severity: "moderate" or "severe"; growth: how it grows, in words; start:
    its first bale; growth_bales: until it is whole, 0 at once; family: "level", "rate" and so on;
    size: in spreads from bale to bale for a level, times the usual for a rate or a spread, else
    None; base_rate: a bale, of a rate in order; shown: whether the records can show it at all;
    slack_bales: by how much its start is unknown by nature: the bales between two events in order
    of a rate (an honest event shortly before cannot be told from its first), or of a cartridge.
    """

    kind: str
    severity: str
    growth: str
    start: int
    growth_bales: int = 0
    family: str = ""
    size: float | None = None
    base_rate: float | None = None
    shown: bool = True
    slack_bales: float = 0.0


@dataclass(frozen=True)
class Said:
    """One finding as it stood at one daily review. made: bales made until then; since, first,
    last: when it says it began and between which bales; certain_frac, chance_frac: as stated.
    """

    made: int
    since: int
    first: int | None = None
    last: int | None = None
    confidence: float | None = None
    certain_frac: float | None = None
    chance_frac: float | None = None


@dataclass(frozen=True)
class Told:
    """One matter, told at one daily review or more. alarm: bales made when it first stood;
    weight: "harm", "cost" or "note"; note: it only keeps the book right (counting settles it,
    and it neither harms nor costs); borne_out: the truth holds it true although it was not
    planted; columns: of the bale table it rests on; said: how it stood, review by review.
    """

    kind: str
    measure: str
    part: str
    words: str
    columns: tuple[str, ...]
    weight: str
    note: bool
    borne_out: bool
    alarm: int
    said: tuple[Said, ...]

    @property
    def first_said(self) -> Said:
        """As the manager first read it."""
        return self.said[0]

    @property
    def last_said(self) -> Said:
        """As it stood when last told."""
        return self.said[-1]


@dataclass(frozen=True)
class Season:
    """One machine's season. machine: its make; sensors: "rich" or "poor"; mix: of the stress pack,
    "" where plain; weeks: calendar weeks with work; reviews: bales made at each daily review;
    charts: how many measures its records let be watched.
    """

    key: str
    seed: int
    machine: str
    sensors: str
    mix: str
    bales: int
    weeks: int
    fault: Fault | None
    told: tuple[Told, ...]
    reviews: tuple[int, ...] = ()
    charts: int = 0


def to_line(season: Season) -> str:
    """A season as one line of JSON."""
    return json.dumps(dataclasses.asdict(season), separators=(",", ":"))


def from_line(line: str) -> Season:
    """What `to_line` wrote."""
    read: dict[str, Any] = json.loads(line)
    told = tuple(
        Told(
            **{
                **one,
                "columns": tuple(one["columns"]),
                "said": tuple(Said(**said) for said in one["said"]),
            }
        )
        for one in read["told"]
    )
    fault = None if read["fault"] is None else Fault(**read["fault"])
    rest = {"told": told, "fault": fault, "reviews": tuple(read["reviews"])}
    return Season(**{**read, **rest})
