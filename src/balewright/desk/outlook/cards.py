"""One card a question: a picture, the words under it, where they come from."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Final

from django.utils.safestring import SafeString, mark_safe

from balewright.flows.outlook import Outlook, Told
from balewright.flows.tell_layers import tell_layers
from balewright.pictures.layer_map import draw_layer_map
from balewright.pictures.turnable import turnable_bale
from balewright.quantities.errors import BadInput, NotAnswerable
from balewright.quantities.reason import because
from balewright.quantities.sources import source
from balewright.words.say import say


@dataclass(frozen=True)
class Card:
    """key: which question; picture: an SVG of our own making, None where there is nothing to
    draw; turnable: data for the bale that can be turned.
    """

    key: str
    told: Told
    picture: SafeString | None = None
    turnable: dict[str, Any] | None = None

    @property
    def sources(self) -> list[str]:
        """The bibliography's own words."""
        return [source(key).text for key in self.told.sources]


def _layers(outlook: Outlook) -> Card:
    found = tell_layers(outlook)
    need = outlook.need_layers
    if found.count is None or need is None:
        return Card("layers", found.told)
    drawn = _safe(draw_layer_map(outlook.bale, found.count, need, say))
    turnable = turnable_bale(outlook.bale, found.count, need, say)
    return Card("layers", found.told, drawn, turnable)


_CARDS: Final[dict[str, Callable[[Outlook], Card]]] = {"layers": _layers}


def draw_cards(outlook: Outlook) -> list[Card]:
    """Every card in its order; one that has no answer says why."""
    return [_draw(key, drawn, outlook) for key, drawn in _CARDS.items()]


def _draw(key: str, drawn: Callable[[Outlook], Card], outlook: Outlook) -> Card:
    try:
        return drawn(outlook)
    except (BadInput, NotAnswerable) as error:
        return Card(key, Told(because("outlook.no_answer", why=str(error))))


def _safe(svg: str) -> SafeString:
    return mark_safe(svg)  # noqa: S308  the pictures escape every word they hold
