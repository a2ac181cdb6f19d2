"""One colour for each number of layers, the same in every picture of film.

Below the need it is orange, darker the more is missing; from the need on it is blue, darker the
more there is. Orange and blue stay apart for every common kind of colour blindness, and the
numbers stand beside the colours anyway. Each colour carries an ink that reads on it (contrast 4.5
and more), so the pictures look the same on light and dark pages.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

_DARK: Final = "#1f1b24"
_LIGHT: Final = "#ffffff"
_SHORT: Final = (
    ("#f6b45c", _DARK),
    ("#e58a2b", _DARK),
    ("#b3560d", _LIGHT),
    ("#7c3503", _LIGHT),
)
_ENOUGH: Final = (
    ("#c9dcf3", _DARK),
    ("#9dbfe6", _DARK),
    ("#6d9fd6", _DARK),
    ("#3a6cab", _LIGHT),
    ("#234a80", _LIGHT),
)
#: From this many layers above the need on, the colour no longer changes.
MOST_ABOVE: Final = len(_ENOUGH) - 1


@dataclass(frozen=True)
class FilmColour:
    """fill and ink as `#rrggbb`; name: what a style sheet may call it (`short-1`, `enough-0`)."""

    name: str
    fill: str
    ink: str


def film_colour(layers: int, need_layers: int) -> FilmColour:
    """The colour of `layers` layers where `need_layers` are needed; both 0 or more."""
    if layers < need_layers:
        step = min(need_layers - layers, len(_SHORT))
        return FilmColour(f"short-{step}", *_SHORT[step - 1])
    step = min(layers - need_layers, MOST_ABOVE)
    return FilmColour(f"enough-{step}", *_ENOUGH[step])
