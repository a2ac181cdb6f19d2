"""What a bale costs, part by part, and what one step of each setting changes."""

from __future__ import annotations

from collections.abc import Callable
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
from balewright.pictures.svg import element
from balewright.plan.cost.answer import CostAnswer
from balewright.plan.cost.bale_cost import Parts
from balewright.plan.cost.changes import Change
from balewright.quantities.reason import Reason, because

Say = Callable[[Reason], str]

_LEFT: Final = 8.0
_RIGHT: Final = 12.0
_INNER: Final = WIDTH - _LEFT - _RIGHT
_BAR_TOP: Final = 48.0
_BAR: Final = 34.0
_ROW: Final = 19.0
_NAMES: Final = 168.0
"""Where the bars of the changes may begin: the names stand left of it."""
_SIGNS: Final = 44.0
"""Room for a number at either end of the bars of the changes."""
_COLOURS: Final = {
    "machine_money": BLUE,
    "tractor_money": "#6fa3d4",
    "repair_money": PURPLE,
    "fuel": ORANGE,
    "labour_money": GREEN,
    "film_money": "#2a9199",
    "binding_money": "#a8862a",
    "additive_money": GREY,
}
_LEAST_FRAC: Final = 0.002


def draw_cost(answer: CostAnswer, say: Say) -> str:
    """A stacked bar of the parts of a bale, their list, and a bar for each change, as an SVG.

    say: a reason (`cost.*`) to words. Bars of the changes are money a tonne of dry matter, because
    denser bales are fewer. A screen reader hears every amount.
    """
    cost = answer.cost
    parts = [(name, money) for name, money in _parts(cost.parts)
             if money > _LEAST_FRAC * cost.bale_money]  # fmt: skip
    rows_at = _BAR_TOP + _BAR + 22.0
    changes_at = rows_at + _ROW * len(parts) + 24.0
    height = changes_at + _ROW * (len(answer.changes) + 1) + 8.0
    rates = {"bale_money": _money(cost.bale_money), "t_money": _money(cost.money_t_dm)}
    told = "; ".join(
        say(because("cost.picture.part", part=_name(name, say), part_money=_money(money)))
        for name, money in parts
    )
    moved = "; ".join(
        say(
            because(
                "cost.picture.change", change=_change(one, say), more_money=_signed(one.money_t_dm)
            )
        )
        for one in answer.changes
    )
    head = because("cost.picture.head", bale_money=rates["bale_money"])
    sub = because("cost.picture.sub", t_money=rates["t_money"], ha_money=_money(cost.money_ha))
    return picture(
        height,
        say(because("cost.picture.title", **rates)),
        say(because("cost.picture.desc", parts=told, changes=moved, **rates)),
        words(_LEFT, 16, say(head), size=14, weight="600"),
        words(_LEFT, 34, say(sub), size=12.5),
        *_bar(parts, cost.bale_money),
        *_rows(parts, (rows_at, cost.bale_money), say),
        *_changes(answer.changes, changes_at, say),
    )  # fmt: skip


def _parts(parts: Parts) -> list[tuple[str, float]]:
    """The parts, fuel and lubricants as one."""
    found = dict(parts.items())
    fuel_money = found.pop("fuel_money") + found.pop("lubricant_money")
    return [(name, found.get(name, fuel_money)) for name in _COLOURS]


def _name(name: str, say: Say) -> str:
    return say(because("cost.picture.fuel" if name == "fuel" else f"cost.part.{name}"))


def _change(change: Change, say: Say) -> str:
    return say(because(f"cost.change.{change.changed.value}"))


def _money(money: float) -> str:
    return f"{money:,.2f}"


def _signed(money: float) -> str:
    sign = "+" if money > 0 else "\N{MINUS SIGN}" if money < 0 else ""
    return f"{sign}{abs(money):.2f}"


def _bar(parts: list[tuple[str, float]], all_money: float) -> list[str]:
    drawn, at = [], _LEFT
    for name, money in parts:
        wide = money / all_money * _INNER
        look: Look = {"x": at, "y": _BAR_TOP, "width": max(wide - 1.0, 0.5), "height": _BAR}
        drawn.append(element("rect", {**look, "fill": _COLOURS[name]}))
        at += wide
    return drawn


def _rows(parts: list[tuple[str, float]], place: tuple[float, float], say: Say) -> list[str]:
    top, all_money = place
    drawn = []
    for row, (name, money) in enumerate(parts):
        y = top + _ROW * row
        box: Look = {"x": _LEFT, "y": y - 10.0, "width": 18, "height": 12, "rx": 2}
        drawn.append(element("rect", {**box, "fill": _COLOURS[name]}))
        drawn.append(words(_LEFT + 26.0, y, _name(name, say), size=12.5))
        drawn.append(words(WIDTH - 64.0, y, f"{money:.2f}", anchor="end", size=12.5))
        share = f"{100.0 * money / all_money:.0f}\N{NO-BREAK SPACE}%"
        drawn.append(words(WIDTH - _RIGHT, y, share, anchor="end", size=12.5))
    return drawn


def _changes(changes: tuple[Change, ...], top: float, say: Say) -> list[str]:
    """A bar to the left where a step costs less, to the right where it costs more."""
    if not changes:
        return []
    least = min(0.0, *(one.money_t_dm for one in changes))
    most = max(0.0, *(one.money_t_dm for one in changes))
    left, right = _NAMES + _SIGNS, WIDTH - _RIGHT - _SIGNS
    scale = (right - left) / max(most - least, 1e-9)
    zero = left - least * scale
    bottom = top + _ROW * len(changes) + 6.0
    drawn = [
        words(_LEFT, top, say(because("cost.picture.changes")), size=13, weight="600"),
        rule((zero, top + 8.0), (zero, bottom)),
    ]
    for row, one in enumerate(changes, start=1):
        y = top + _ROW * row
        wide = abs(one.money_t_dm) * scale
        less = one.money_t_dm < 0
        look: Look = {"x": zero - wide if less else zero, "y": y - 10.0, "width": max(wide, 0.75)}
        colour = GREEN if less else ORANGE
        drawn.append(element("rect", {**look, "height": 12, "rx": 1.5, "fill": colour}))
        drawn.append(words(_LEFT, y, _change(one, say), size=12.5))
        end = zero - wide - 4.0 if less else zero + wide + 4.0
        anchor = "end" if less else "start"
        drawn.append(words(end, y, _signed(one.money_t_dm), anchor=anchor, size=12))
    return drawn
