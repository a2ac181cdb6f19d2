"""From the evidence to a ranking with its reasons and the next step, as the desk asks for them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from bench.causes.cases import own_cases

from balewright.cause.evidence_value import NO, YES, Seen
from balewright.cause.laid_out import lay_out, weigh
from balewright.cause.network import Network
from balewright.cause.next_check.advise import advise, desk_of
from balewright.cause.next_check.costs import Costs
from balewright.cause.rank import rank_laid
from balewright.readers.fault_network import shipped_network

HOUSE = Costs(hour_money=70.0, travel_h=1.5, standing_money_h=60.0)


@dataclass(frozen=True, eq=False)
class Question:
    """What is asked of the whole network. name: of the case."""

    name: str
    network: Network
    evidence: Mapping[str, Seen]


def questions() -> list[Question]:
    """The cases on the project's own network, as keys."""
    network = shipped_network()
    keys = [one.key for one in network.observations]
    made = []
    for case in own_cases():
        on, off = case.on > case.off, case.off > case.on
        evidence = {keys[at]: YES for at in np.flatnonzero(on)}
        evidence |= {keys[at]: NO for at in np.flatnonzero(off)}
        made.append(Question(case.name, network, evidence))
    return made


def rank_asked(asked: Question) -> object:
    """Laying out, ranking and reasons."""
    laid = lay_out(asked.network)
    return rank_laid(laid, weigh(laid, asked.evidence))


def advise_asked(asked: Question) -> object:
    """Laying out with all prices, every check weighed, the next step."""
    desk = desk_of(asked.network, HOUSE)
    return advise(desk, weigh(desk.laid, asked.evidence))
