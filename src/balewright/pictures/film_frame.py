"""What the maps of film share: their size, their lines, a layer's paint, the legend of layers."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from balewright.pictures.film_colours import FilmColour, film_colour
from balewright.pictures.svg import Attributes, element

WIDE: Final = 480.0
EDGE: Final = 16.0
INNER: Final = WIDE - 2 * EDGE
SMALL: Final = "14"
LINE: Final[Attributes] = {"fill": "none", "stroke": "currentColor", "stroke-width": "1"}
CRISP: Final[Attributes] = {"shape-rendering": "crispEdges"}
_MOST_BOXES: Final = 12
_GAP: Final = 4.0


def paint(colour: FilmColour) -> Attributes:
    """A layer's colour, by a class that a style sheet may take over."""
    return {"class": f"layer-map-{colour.name}", "fill": colour.fill}


def layer_boxes(
    shown: range, most: int, need: int, y: float, said: Callable[..., str]
) -> list[str]:
    """The legend's elements: its heading at y, below it a box for each number of layers.

    shown: the numbers, the last of them standing for all above when `most` is larger; need: what
    was wanted; said: the words of the map (`legend`, `more`).
    """
    shown = shown[-_MOST_BOXES:]
    parts = [element("text", {"x": EDGE, "y": y, "font-size": SMALL}, said("legend"))]
    wide = min(34.0, INNER / len(shown) - _GAP)
    for place, layers in enumerate(shown):
        colour = film_colour(layers, need)
        x = EDGE + place * (wide + _GAP)
        box: Attributes = {"x": x, "y": y + 8.0, "width": wide, "height": 24.0}
        parts.append(element("rect", {**box, **paint(colour)}))
        words = said("more", layers=layers) if layers == shown[-1] < most else f"{layers}"
        spot: Attributes = {"x": x + wide / 2.0, "y": y + 25.0, "fill": colour.ink}
        look: Attributes = {"text-anchor": "middle", "font-size": SMALL}
        parts.append(element("text", {**spot, **look}, words))
    return parts
