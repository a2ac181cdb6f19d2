"""What one bale takes, without a price: film, binding, minutes, diesel, as four tiles in SVG."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from balewright.pictures.plot import BLUE, GREEN, GREY, ORANGE, PURPLE, WIDTH, picture, words
from balewright.pictures.svg import Attributes, element, text
from balewright.quantities.reason import Reason, ReasonValue, because

Say = Callable[[Reason], str]

_GAP: Final = 8.0
_WIDE: Final = (WIDTH - _GAP) / 2.0
_HIGH: Final = 92.0
_TOP: Final = 8.0
_ICON: Final = (30.0, 34.0)
_LONG: Final = 6
"""Characters; a longer number is drawn smaller, so that it stays on its tile."""


@dataclass(frozen=True)
class Needs:
    """A bale's needs: film_m and binding_m off the rolls, 0 where none is used; work_s: the
    driver's time; fuel_l: diesel; dm_kg: dry matter in it. None where nobody knows.
    """

    film_m: float | None
    binding_m: float | None
    work_s: float | None
    fuel_l: float | None
    dm_kg: float


def draw_needs(needs: Needs, say: Say) -> str:
    """Four tiles, each a need of one bale and the same for a tonne of dry matter.

    say: a reason (`needs.*`) to a sentence. What is unknown says so; what is not used says that.
    """
    shown: tuple[tuple[str, str, float | None, str], ...] = (
        ("film", "film_m", needs.film_m, BLUE),
        ("binding", "binding_m", needs.binding_m, PURPLE),
        ("work", "work_min", None if needs.work_s is None else needs.work_s / 60.0, ORANGE),
        ("fuel", "fuel_l", needs.fuel_l, GREEN),
    )
    parts, told = [], []
    for place, (key, name, value, colour) in enumerate(shown):
        x = (_WIDE + _GAP) * (place % 2)
        y = _TOP + (_HIGH + _GAP) * (place // 2)
        lines = _lines(key, name, value, needs.dm_kg, say)
        told.append(f"{lines[0]}: {lines[1]}{', ' + lines[2] if lines[2] else ''}")
        parts.append(_tile((x, y), key, lines, GREY if not value else colour))
    title = say(because("needs.title", dm_kg=needs.dm_kg))
    return picture(_TOP + 2 * _HIGH + _GAP + 4, title, "; ".join(told) + ".", *parts)


def _lines(
    key: str, name: str, value: float | None, dm_kg: float, say: Say
) -> tuple[str, str, str]:
    label = say(because(f"needs.{key}"))
    if value is None:
        return label, say(because("needs.unknown")), ""
    if value == 0.0:
        return label, say(because("needs.none")), ""
    a_bale: dict[str, ReasonValue] = {name: value}
    a_tonne: dict[str, ReasonValue] = {name: value * 1000.0 / dm_kg}
    return (
        label,
        say(because(f"needs.{key}.bale", **a_bale)),
        say(because(f"needs.{key}.tonne", **a_tonne)),
    )


def _tile(at: tuple[float, float], key: str, lines: tuple[str, str, str], colour: str) -> str:
    label, number, tonne = lines
    size = 21.0 if len(number) <= _LONG else 18.0
    ground: Attributes = {"width": _WIDE, "height": _HIGH, "rx": 8, "fill": colour}
    inside = [
        element("rect", {**ground, "fill-opacity": "0.12"}),
        element("g", {"transform": f"translate({_ICON[0]:g} {_ICON[1]:g})"}, *_icon(key, colour)),
        words(60, 26, label),
        element(
            "text",
            {"x": 60, "y": 50, "font-size": size, "font-weight": "650", "fill": "currentColor"},
            text(number),
        ),
        words(14, _HIGH - 12, tonne),
    ]
    return element("g", {"transform": f"translate({at[0]:g} {at[1]:g})"}, *inside)


def _icon(key: str, colour: str) -> list[str]:
    """A plain sign round the middle of its place, 36 units wide."""
    line: Attributes = {"fill": "none", "stroke": colour, "stroke-width": 2.5,
                        "stroke-linecap": "round", "stroke-linejoin": "round"}  # fmt: skip
    if key == "film":
        return [
            element("circle", {"cx": -3, "cy": -2, "r": 14, **line}),
            element("circle", {"cx": -3, "cy": -2, "r": 5, **line}),
            element("path", {"d": "M-3 12H18", **line}),
        ]
    if key == "binding":
        mesh = "M-14 -14L14 14M-14 0L0 14M0 -14L14 0M14 -14L-14 14M14 0L0 14M0 -14L-14 0"
        return [element("path", {"d": mesh, **line, "stroke-width": 2})]
    if key == "work":
        return [
            element("circle", {"cx": 0, "cy": 0, "r": 15, **line}),
            element("path", {"d": "M0 -9V0L7 5", **line}),
        ]
    return [element("path", {"d": "M0 -16C6 -7 11 -2 11 5A11 11 0 0 1 -11 5C-11 -2 -6 -7 0 -16Z",
                             **line})]  # fmt: skip
