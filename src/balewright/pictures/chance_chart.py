"""The chance of a bale to get its layers, over wrap turns, with the film they take above.

Lines are told apart by dashes and width as well as colour, and the point that answers is ringed.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final

from balewright.pictures.plot import (
    BLUE,
    GREEN,
    ORANGE,
    Axis,
    Plot,
    legend,
    picture,
    rule,
    shift,
    words,
)
from balewright.plan.film.chance_setting import TurnsRow
from balewright.quantities.reason import Reason, ReasonValue, because

Say = Callable[[Reason], str]

_HEIGHT: Final = 250.0
_TOP: Final = 30.0
"""Room for the metres above the plot."""
_LEGEND_Y: Final = 304.0
_BOTTOM: Final = 346.0
_PAD: Final = 0.3
"""Room beside the first and last turn."""
_SURE_FRAC: Final = 0.9995
_RARE_FRAC: Final = 0.0005


@dataclass(frozen=True)
class ChancePicture:
    """rows: two or more, by rising turns; layers: wanted everywhere; wanted_frac: the share of
    bales that is to have them; found_turns: the turns that reach it, None where none do."""

    rows: Sequence[TurnsRow]
    layers: int
    wanted_frac: float
    found_turns: int | None


def say_chance(chance_frac: float, say: Say) -> str:
    """A share of bales in words: nearly all and hardly any are told as such."""
    if chance_frac >= 1.0 or _RARE_FRAC <= chance_frac <= _SURE_FRAC:
        return f"{f'{100.0 * chance_frac:.1f}'.removesuffix('.0')}\N{NO-BREAK SPACE}%"
    if chance_frac <= 0.0:
        return say(because("chance.none"))
    return say(because("chance.nearly_all" if chance_frac > 0.5 else "chance.hardly"))


def draw_chance(drawn: ChancePicture, say: Say) -> str:
    """Chance over wrap turns as an SVG of a phone's width; a screen reader hears every turn."""
    rows = drawn.rows
    plot = Plot(
        Axis(rows[0].turns - _PAD, rows[-1].turns + _PAD, _said(say, "turns")),
        Axis(0.0, 100.0, ""),
        "",
        _HEIGHT,
    )
    line = [(row.turns, 100.0 * row.chance_frac) for row in rows]
    upper = [(row.turns, 100.0 * row.one_less_frac) for row in rows]
    wanted = 100.0 * drawn.wanted_frac
    parts = [
        plot.frame(),
        plot.band(line, upper, BLUE),
        plot.line(upper, BLUE, dashed=True),
        plot.line([(plot.x.low, wanted), (plot.x.high, wanted)], ORANGE, dashed=True),
        plot.line(line, BLUE),
        *(plot.mark(*point, BLUE) for point in line),
        *_metres(plot, rows, say),
    ]
    for row in rows:
        if row.turns == drawn.found_turns:
            parts.append(plot.upright(row.turns, GREEN))
            parts.append(plot.mark(row.turns, 100.0 * row.chance_frac, ORANGE))
    entries = [
        (BLUE, _said(say, "line", layers=drawn.layers)),
        ("#c9dcef", _said(say, "band")),
        (ORANGE, _said(say, "wanted", wanted_said=say_chance(drawn.wanted_frac, say))),
    ]
    heading = words(4, 14, _said(say, "heading"), size=13, weight="600")
    title = _said(say, "title", layers=drawn.layers)
    inside = (heading, shift(0.0, _TOP, *parts), legend(_LEGEND_Y, entries))
    return picture(_BOTTOM, title, _told(drawn, say), *inside)


def _metres(plot: Plot, rows: Sequence[TurnsRow], say: Say) -> list[str]:
    """The metres of film at every turn, above the plot."""
    known = [(row.turns, row.film_m) for row in rows if row.film_m is not None]
    if not known:
        return []
    step = 1 + len(known) // 9
    _, top = plot.at(rows[0].turns, 100.0)
    parts = [words(4.0, top - 22.0, _said(say, "film"))]
    for turns, metres in known[::step]:
        across, _ = plot.at(turns, 100.0)
        parts.append(rule((across, top - 4.0), (across, top)))
        parts.append(words(across, top - 7.0, f"{metres:.0f}", anchor="middle"))
    return parts


def _told(drawn: ChancePicture, say: Say) -> str:
    sentences = [
        _said(
            say,
            "point",
            turns=row.turns,
            chance_said=say_chance(row.chance_frac, say),
            less_said=say_chance(row.one_less_frac, say),
        )
        for row in drawn.rows
    ]
    wanted = say_chance(drawn.wanted_frac, say)
    if drawn.found_turns is None:
        sentences.append(_said(say, "not_found", wanted_said=wanted))
    else:
        sentences.append(_said(say, "found", turns_needed=drawn.found_turns, wanted_said=wanted))
    return " ".join(sentences)


def _said(say: Say, key: str, **values: ReasonValue) -> str:
    return say(because(f"chance.picture.{key}", **values))
