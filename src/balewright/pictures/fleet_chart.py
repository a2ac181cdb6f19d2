"""Machines side by side: each value with its interval, and the middle of them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final

from balewright.pictures.plot import BLUE, GREEN, ORANGE, Axis, picture, rule, words
from balewright.pictures.svg import element
from balewright.quantities.interval import Interval
from balewright.quantities.reason import Reason, because

Say = Callable[[Reason], str]
_ROW: Final = 34.0
_TOP: Final = 26.0
_BOTTOM: Final = 40.0
_LEFT: Final = 10.0
_WIDTH: Final = 360.0
_LONGEST_NAME: Final = 44


@dataclass(frozen=True)
class Beside:
    """One machine: its value in the reader's unit, and whether it stands apart."""

    name: str
    level: Interval
    is_apart: bool


def draw_fleet(machines: Sequence[Beside], middle: float | None, unit: str, say: Say) -> str:
    """A row a machine, its name above its bar, on one axis. machines: at least one."""
    low = min(one.level.low for one in machines)
    high = max(one.level.high for one in machines)
    pad = 0.05 * (high - low) or max(abs(low) * 0.05, 0.5)
    height = _TOP + _ROW * len(machines) + _BOTTOM
    axis = Axis(low - pad, high + pad, unit)
    floor = height - _BOTTOM

    def across(value: float) -> float:
        share = (value - axis.low) / (axis.high - axis.low)
        return _LEFT + share * (_WIDTH - 2 * _LEFT)

    parts = []
    for value in axis.ticks():
        at = across(value)
        parts.append(rule((at, _TOP), (at, floor), faint=True))
        parts.append(words(at, floor + 14, f"{value:.6g}", anchor="middle"))
    parts.append(words(_WIDTH / 2, height - 6, unit, anchor="middle"))
    if middle is not None:
        at = across(middle)
        look: dict[str, str | float] = {"x1": at, "y1": _TOP - 4, "x2": at, "y2": floor}
        look |= {"stroke": GREEN, "stroke-width": 1.5, "stroke-dasharray": "5 4"}
        parts.append(element("line", look))
        anchor = "end" if at > _WIDTH / 2 else "start"
        parts.append(words(at + (-4 if anchor == "end" else 4), 14,
                           say(because("fleet.picture.middle")), anchor=anchor))  # fmt: skip
    for place, one in enumerate(machines):
        up = _TOP + _ROW * place
        colour = ORANGE if one.is_apart else BLUE
        parts.append(words(_LEFT, up + 12, _short(one.name), weight="600" if one.is_apart else
                           "400"))  # fmt: skip
        look = {"x1": across(one.level.low), "x2": across(one.level.high)}
        look |= {"y1": up + 22, "y2": up + 22, "stroke": colour, "stroke-width": 3}
        parts.append(element("line", look | {"stroke-linecap": "round", "stroke-opacity": "0.55"}))
        dot: dict[str, str | float] = {"cx": across(one.level.best), "cy": up + 22, "r": 4.5}
        parts.append(element("circle", dot | {"fill": colour}))
    title = say(because("fleet.picture.title"))
    told = "; ".join(f"{one.name}: {one.level.best:.4g}" for one in machines)
    return picture(height, title, told, *parts)


def _short(name: str) -> str:
    return name if len(name) <= _LONGEST_NAME else f"{name[: _LONGEST_NAME - 1]}…"
