"""A day's bales as strips: a line for each, its phases in colour, and how sure each boundary is.

A boundary that was seen is where two colours meet. One that lies somewhere between two times has a
bar below the strip from the earliest to the latest; one inferred from another signal a ring in it.
What nothing tells apart is hatched. So nothing rests on colour alone.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from itertools import pairwise
from typing import Final

from balewright.pictures.plot import (
    BLUE,
    GREEN,
    GREY,
    ORANGE,
    PURPLE,
    WIDTH,
    Look,
    picture,
    rule,
    words,
)
from balewright.pictures.svg import element, text
from balewright.records.cycles.cycles import NEVER_US, Cycles
from balewright.records.cycles.phases import Sureness

_PHASES: Final = (
    ("filling", BLUE),
    ("full, not yet bound", GREY),
    ("binding", PURPLE),
    ("bound, gate still shut", "#5f666e"),
    ("gate open, passing on", "#5b4a78"),
    ("on the wrapper, waiting", ORANGE),
    ("wrapping", GREEN),
    ("wrapped, until tipped", "#235a3d"),
)
_LEFT, _RIGHT, _TOP = 62.0, 10.0, 58.0
_ROW, _HIGH = 34.0, 13.0
_TICKS_S: Final = (10, 20, 30, 60, 120, 180, 300, 600, 1200, 3600)
_MOST_TICKS: Final = 6
_LEGEND_ROW: Final = 18.0
_STRIPE: Final = 5.0
_SILENT_US: Final = 5_000_000


@dataclass(frozen=True)
class _Mark:
    """One boundary: seconds since the strip's beginning, or None; its range; how sure."""

    at: int | None
    earliest: int
    latest: int
    sure: Sureness


@dataclass(frozen=True)
class _Strip:
    """One bale's line, times in microseconds of the working clock."""

    name: str
    began: str
    from_us: int
    until_us: int
    marks: tuple[_Mark, ...]


def draw_strips(cycles: Cycles, rows: Sequence[int]) -> str:
    """Some rows of the cycles as one SVG of phone width, each from its first boundary on.

    rows: which, in the order to be drawn, at least one with a boundary; a dozen fill a phone. A
    screen reader hears how many boundaries are seen and how many are not.
    """
    strips = [strip for strip in (_strip(cycles, row) for row in rows) if strip is not None]
    longest_us = max(strip.until_us - strip.from_us for strip in strips)
    per_us = (WIDTH - _LEFT - _RIGHT) / longest_us
    bottom = _TOP + _ROW * len(strips)
    parts = [
        words(
            4, 14, f"{_bales(cycles, rows)} bales, each from its first sign", size=13, weight="600"
        ),
        words(4, 31, f"{_day(cycles, rows)}, times in UTC"),
        *_axis(longest_us, per_us, bottom),
    ]
    for place, strip in enumerate(strips):
        parts += _line(strip, _TOP + _ROW * place, per_us)
    legend, high = _legend(bottom + 36.0)
    return picture(high, "Phases of bales", _told(cycles, rows), *parts, *legend)


def _strip(cycles: Cycles, row: int) -> _Strip | None:
    shown = cycles.at_us[row].tolist()
    work = cycles.work_us[row].tolist()
    told = [each for each in work if each != NEVER_US]
    if not told:
        return None
    name = str(cycles.bale_no[row]) if cycles.numbered[row] else "no number"
    name = "again" if cycles.again[row] else name
    first = min(each for each in shown if each != NEVER_US)
    marks = tuple(
        _Mark(
            None if work[phase] == NEVER_US else work[phase],
            int(cycles.earliest_us[row, phase]),
            int(cycles.latest_us[row, phase]),
            cycles.how_sure(row, phase),
        )
        for phase in range(len(work))
    )
    until_us = max([*told, *(mark.latest for mark in marks if mark.at is not None)])
    return _Strip(name, _clock(first), min(told), until_us, marks)


def _clock(at_us: int) -> str:
    return datetime.fromtimestamp(at_us // 1_000_000, UTC).strftime("%H:%M:%S")


def _day(cycles: Cycles, rows: Sequence[int]) -> str:
    first = min(each for each in cycles.at_us[rows[0]].tolist() if each != NEVER_US)
    return datetime.fromtimestamp(first // 1_000_000, UTC).strftime("%Y-%m-%d")


def _line(strip: _Strip, top: float, per_us: float) -> list[str]:
    """Number and time, the phases, and the marks of what is not quite sure."""
    parts = [
        words(4, top + 10, strip.name, size=12 if strip.name[0].isdigit() else 10, weight="600"),
        words(4, top + 22, strip.began, size=10),
    ]
    known = [
        (phase, mark.at)
        for phase, mark in enumerate(strip.marks)
        if mark.at is not None and not _blurred(mark, strip.marks)
    ]
    for (phase, low), (behind, high) in pairwise(known):
        x = _LEFT + (low - strip.from_us) * per_us
        wide = max((high - low) * per_us, 0.0)
        parts.append(_part(strip, (phase, behind), (x, top, wide), (high - low) / 1e6))
    parts += [_doubt(mark, strip, top, per_us) for mark in strip.marks if mark.at is not None]
    return parts


def _blurred(mark: _Mark, marks: Sequence[_Mark]) -> bool:
    """Whether one silence hides this boundary and others, so that no colour can part them."""
    if mark.latest - mark.earliest < _SILENT_US:
        return False
    return any(
        other is not mark
        and other.at is not None
        and other.latest - other.earliest >= _SILENT_US
        and other.earliest < mark.latest
        and mark.earliest < other.latest
        for other in marks
    )


def _part(
    strip: _Strip, phases: tuple[int, int], box: tuple[float, float, float], lasts_s: float
) -> str:
    """One phase in its colour; several that nothing tells apart hatched."""
    x, top, wide = box
    said = ", ".join(_PHASES[phase][0] for phase in range(*phases))
    title = element("title", {}, text(f"bale {strip.name}: {said}, {lasts_s:.1f} s"))
    look: Look = {"x": x, "y": top, "width": wide, "height": _HIGH}
    if phases[1] - phases[0] == 1:
        return element("rect", {**look, "fill": _PHASES[phases[0]][1]}, title)
    frame: Look = {"fill": "none", "stroke": "currentColor", "stroke-opacity": "0.6"}
    return element("rect", {**look, **frame}, title) + _hatched(x, top, wide)


def _hatched(x: float, top: float, wide: float) -> str:
    """Slanted lines within a box."""
    strokes = []
    for step in range(int((wide + _HIGH) // _STRIPE) + 1):
        foot = step * _STRIPE
        left, right = max(foot - _HIGH, 0.0), min(foot, wide)
        if left < right:
            strokes.append(f"M{x + left:.1f} {top + foot - left:.1f}")
            strokes.append(f"L{x + right:.1f} {top + foot - right:.1f}")
    look: Look = {"d": " ".join(strokes), "stroke": "currentColor", "stroke-opacity": "0.6"}
    return element("path", {**look, "stroke-width": 1}) if strokes else ""


def _doubt(mark: _Mark, strip: _Strip, top: float, per_us: float) -> str:
    """The bar from earliest to latest, and the ring of what was inferred."""
    if mark.at is None or mark.sure is Sureness.SEEN:
        return ""
    low, at, high = (
        min(max(_LEFT + (each - strip.from_us) * per_us, 4.0), WIDTH - 4.0)
        for each in (mark.earliest, mark.at, mark.latest)
    )
    return _sign((low, at, high), top + _HIGH + 6.0, inferred=mark.sure is Sureness.INFERRED)


def _sign(across: tuple[float, float, float], y: float, *, inferred: bool) -> str:
    low, at, high = across
    stroke: Look = {"stroke": "currentColor", "stroke-width": 1.5}
    parts = [element("line", {"x1": low, "y1": y, "x2": high, "y2": y, **stroke})]
    parts += [
        element("line", {"x1": end, "y1": y - 3, "x2": end, "y2": y + 3, **stroke})
        for end in (low, high)
    ]
    if inferred:
        parts.append(element("circle", {"cx": at, "cy": y, "r": 3, "fill": "none", **stroke}))
    return "".join(parts)


def _axis(longest_us: int, per_us: float, bottom: float) -> list[str]:
    step_s = next((s for s in _TICKS_S if longest_us / 1e6 / s <= _MOST_TICKS), _TICKS_S[-1])
    parts = [rule((_LEFT, bottom), (WIDTH - _RIGHT, bottom))]
    for place in range(int(longest_us / 1e6 // step_s) + 1):
        x = _LEFT + place * step_s * 1e6 * per_us
        parts.append(rule((x, _TOP - 6), (x, bottom), faint=True))
        said = f"{place * step_s} s" if place else "0"
        parts.append(words(x, bottom + 14, said, anchor="middle"))
    return parts


def _legend(y: float) -> tuple[list[str], float]:
    """Colours two to a line, then the signs of doubt; and how high it ends."""
    parts = []
    for place, (said, colour) in enumerate(_PHASES):
        x, line = 4.0 + (place % 2) * (WIDTH / 2.0), y + (place // 2) * _LEGEND_ROW
        look: Look = {"x": x, "y": line - 10, "width": 14, "height": 11, "rx": 2, "fill": colour}
        parts += [element("rect", look), words(x + 19, line, said)]
    line = y + 4 * _LEGEND_ROW
    parts += [_hatched(4.0, line - 11, 14.0), words(23, line, "phases that nothing tells apart")]
    for said, inferred in (
        ("somewhere in this range", False),
        ("told by another signal, in this range", True),
    ):
        line += _LEGEND_ROW
        parts.append(_sign((5.0, 11.0, 17.0), line - 4, inferred=inferred))
        parts.append(words(23, line, said))
    return parts, line + 10.0


def _bales(cycles: Cycles, rows: Sequence[int]) -> int:
    return sum(not cycles.again[row] for row in rows)


def _told(cycles: Cycles, rows: Sequence[int]) -> str:
    counts = {
        sure: sum(cycles.how_sure(row, phase) is sure for row in rows for phase in range(9))
        for sure in Sureness
    }
    return (
        f"{len(rows)} rows with nine boundaries each: {counts[Sureness.SEEN]} seen, "
        f"{counts[Sureness.BRACKETED]} within a range, {counts[Sureness.INFERRED]} told by another "
        f"signal, {counts[Sureness.NOT_SEEN]} not seen."
    )
