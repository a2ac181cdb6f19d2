"""From what a chart found to the sentence's key and values; units go into the names of values."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from balewright.findings.measures.measure import Family, Measure
from balewright.quantities.interval import Interval
from balewright.quantities.reason import Reason, ReasonValue, because

UNIT_ENDS: Final = MappingProxyType(
    {
        "s": "s", "bar": "bar", "mm": "mm", "m": "m", "kg/m3": "kg_m3", "kg/m": "kg_m",
        "t/h": "t_h", "m/s": "m_s", "Nm": "nm", "1/min": "rpm", "C": "c", "V": "v",
        "l": "l", "l/t": "l_t", "fraction": "frac", "ratio": "ratio", "turns": "turns",
        "layers": "layers", "a bale": "hundred",
    }
)  # fmt: skip
"""Unit of a measure -> end of the value's name by which `words` prints it."""
MOST_SURE_FRAC: Final = 0.99
"""No chart is surer than this in words: its model is not."""
_COLUMN_ENDS: Final = ("m_s", "mm", "m", "bar", "kg", "frac", "l", "rpm", "nm", "v", "c")
_CODE: Final = "code "


def unit_end(column: str) -> str:
    """The end of a column's name that says its unit; longest first."""
    return next(end for end in _COLUMN_ENDS if column.endswith(f"_{end}"))


@dataclass(frozen=True)
class Moved:
    """What a chart says of a measure.

    before, now: levels in its unit, for a rate times in a hundred bales; since: since_bale,
    first_bale and last_bale as the sentence says them (numbers, or a word where bales have none);
    certain_frac: chance that it is real; grows: whether it went little by little.
    """

    before: float
    now: Interval
    since: Mapping[str, ReasonValue]
    certain_frac: float
    grows: bool = False

    @property
    def is_up(self) -> bool:
        """Whether the level rose."""
        return self.now.best > self.before


def words_of(measure: Measure, moved: Moved) -> Reason:
    """The sentence on a level or a rate that moved: `findings.watched.<key>.<up or down>`, with
    `.at` behind where the start is known to the bale and `.creeps` where it went slowly.

    Values: since_bale, first_bale, last_bale; before_<unit>, now_<unit>, low_<unit>, high_<unit>;
    change_frac (of the level before, where it is above zero); certain_frac.
    """
    end = UNIT_ENDS[measure.unit]
    values: dict[str, ReasonValue] = {
        f"before_{end}": moved.before,
        f"now_{end}": moved.now.best,
        f"low_{end}": moved.now.low,
        f"high_{end}": moved.now.high,
    }
    if moved.before > 0:
        values["change_frac"] = abs(moved.now.best / moved.before - 1.0)
    key = measure.key
    if key.startswith(_CODE):
        key, values["code"] = "code", key.removeprefix(_CODE)
    direction = "up" if moved.is_up else "down"
    sure_frac = min(moved.certain_frac, MOST_SURE_FRAC)
    return because(
        f"findings.watched.{key}.{direction}{_frame(moved)}",
        **moved.since, **values, certain_frac=sure_frac,
    )  # fmt: skip


def _frame(moved: Moved) -> str:
    if moved.grows:
        return ".creeps"
    return ".at" if moved.since["first_bale"] == moved.since["last_bale"] else ""


def restless_words(column: str, since: Mapping[str, ReasonValue], certain_frac: float) -> Reason:
    """The sentence on a column whose readings jump more from bale to bale than they did."""
    sure_frac = min(certain_frac, MOST_SURE_FRAC)
    return because("findings.restless", columns=column, **since, certain_frac=sure_frac)


def is_told(measure: Measure, moved: Moved) -> bool:
    """Whether a move in that direction is worth a finding by what the book says."""
    weight = measure.up if moved.is_up else measure.down
    return weight is not None and (measure.family is Family.RATE or moved.now.best != moved.before)
