"""What one job would give, as the numbers under its pictures: to be set beside another's."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TypeVar

from balewright.flows.outlook import Outlook
from balewright.flows.tell_cost import CostTold, tell_cost
from balewright.flows.tell_keeping import KeepingTold, tell_keeping
from balewright.flows.tell_layers import LayersTold, tell_layers
from balewright.flows.tell_pace import PaceTold, tell_pace
from balewright.plan.keeping.climate import CLIMATES
from balewright.quantities.errors import BadInput, NotAnswerable

T = TypeVar("T")


@dataclass(frozen=True)
class Foreseen:
    """outlook: the job; the rest as its own page tells it, None where it cannot be told."""

    outlook: Outlook
    layers: LayersTold | None
    pace: PaceTold | None
    cost: CostTold | None
    keeping: KeepingTold | None


def foresee(outlook: Outlook) -> Foreseen:
    """Layers, pace, cost and keeping; bales lie in the climate of the job where one is named."""
    climate = outlook.asked.conditions.climate
    if climate is not None:
        store = replace(outlook.asked.store, climate=CLIMATES[climate])
        outlook = replace(outlook, asked=replace(outlook.asked, store=store))
    return Foreseen(
        outlook,
        layers=_told(tell_layers, outlook),
        pace=_told(tell_pace, outlook),
        cost=_told(tell_cost, outlook),
        keeping=_told(tell_keeping, outlook),
    )


def _told(tell: Callable[[Outlook], T], outlook: Outlook) -> T | None:
    try:
        return tell(outlook)
    except (BadInput, NotAnswerable):
        return None
