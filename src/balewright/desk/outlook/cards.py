"""One card a question: a picture, the words under it, where they come from."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Final

from django.utils.safestring import SafeString, mark_safe

from balewright.flows.outlook import Outlook, Told
from balewright.flows.tell_cost import tell_cost
from balewright.flows.tell_event import tell_event
from balewright.flows.tell_keeping import tell_keeping
from balewright.flows.tell_layers import tell_layers
from balewright.flows.tell_optimum import tell_optimum
from balewright.flows.tell_pace import tell_pace
from balewright.flows.tell_power import tell_power
from balewright.pictures.bale_needs import Needs, draw_needs
from balewright.pictures.cost_chart import draw_cost
from balewright.pictures.course_map import Told as CourseTold
from balewright.pictures.course_map import draw_course
from balewright.pictures.hay_limits import draw_hay_limits
from balewright.pictures.keeping_chart import draw_keeping
from balewright.pictures.layer_map import draw_layer_map
from balewright.pictures.layer_trade import draw_layer_trade
from balewright.pictures.optimum_chart import draw_optimum
from balewright.pictures.pace_chart import draw_pace
from balewright.pictures.power_chart import draw_power
from balewright.pictures.turnable import turnable_bale
from balewright.plan.keeping.heating_storage import MOISTURE_LIMITS, HayBale
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


def _went(outlook: Outlook) -> Card | None:
    found = tell_event(outlook)
    if found is None or found.story is None or found.count is None:
        return None if found is None else Card("went", found.told)
    need = outlook.need_layers or 0
    drawn = CourseTold(outlook.bale, outlook.asked.events, found.story, found.count, need)
    return Card("went", found.told, _safe(draw_course(drawn, say)))


def _keeping(outlook: Outlook) -> Card:
    found = tell_keeping(outlook)
    if found.answer is not None:
        return Card("keeping", found.told, _safe(draw_keeping(found.answer, say)))
    if found.hay is not None:
        limits = [limit for limit in MOISTURE_LIMITS if limit.bale is HayBale.LARGE_ROUND]
        moisture_frac = outlook.asked.conditions.moisture_frac
        return Card("keeping", found.told, _safe(draw_hay_limits(limits, moisture_frac, say)))
    return Card("keeping", found.told)


def _pace(outlook: Outlook) -> Card:
    found = tell_pace(outlook)
    return Card("pace", found.told, _safe(draw_pace(found.answer)))


def _cost(outlook: Outlook) -> Card:
    found = tell_cost(outlook)
    if found.answer is not None:
        return Card("cost", found.told, _safe(draw_cost(found.answer, say)))
    made = found.made
    needs = Needs(made.film_m, made.binding_m, found.work_s, found.fuel_l, made.dm_kg)
    return Card("cost", found.told, _safe(draw_needs(needs, say)))


def _power(outlook: Outlook) -> Card | None:
    found = tell_power(outlook)
    return (
        None if found is None else Card("power", found.told, _safe(draw_power(found.answer, say)))
    )


def _optimum(outlook: Outlook) -> Card:
    found = tell_optimum(outlook)
    if found.best is not None:
        return Card("optimum", found.told, _safe(draw_optimum(found.best, say)))
    if not found.trades:
        return Card("optimum", found.told)
    drawn = draw_layer_trade(found.trades, found.layers, found.dm_kg, say)
    return Card("optimum", found.told, _safe(drawn))


_CARDS: Final[dict[str, Callable[[Outlook], Card | None]]] = {
    "layers": _layers,
    "went": _went,
    "keeping": _keeping,
    "pace": _pace,
    "power": _power,
    "cost": _cost,
    "optimum": _optimum,
}


def draw_cards(outlook: Outlook) -> list[Card]:
    """Every card in its order; one that has no answer says why, one nobody asked for is not there.

    Power is asked for by naming a tractor, what went wrong by telling it.
    """
    cards = (_draw(key, drawn, outlook) for key, drawn in _CARDS.items())
    return [card for card in cards if card is not None]


def _draw(key: str, drawn: Callable[[Outlook], Card | None], outlook: Outlook) -> Card | None:
    try:
        return drawn(outlook)
    except (BadInput, NotAnswerable) as error:
        return Card(key, Told(because("outlook.no_answer", why=str(error))))


def _safe(svg: str) -> SafeString:
    return mark_safe(svg)  # noqa: S308  the pictures escape every word they hold
