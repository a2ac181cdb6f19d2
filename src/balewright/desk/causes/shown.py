"""A ranking of causes for the page: bars, sentences, checks worth making, costs."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import Final

from balewright.cause.network import Network
from balewright.cause.next_check.costs import Costs
from balewright.cause.next_check.step import Advice, Look
from balewright.desk.causes.next_step import who_said
from balewright.desk.reading import reading
from balewright.desk.wording import words
from balewright.flows.purse import Purse
from balewright.flows.tell_causes import ToldCause, ToldCauses
from balewright.words.say import say, say_value

_OPEN: Final = 1
"""Causes whose reasons stand open."""
FIRST: Final = 4
"""Causes that are shown at once; the others are folded below them."""
_LOOKS: Final = 5
"""Checks listed by how much they would change."""
_SIDE_TONE: Final = {
    "machine": "", "operator": "note", "crop": "note", "roll": "note", "tractor": "note"
}  # fmt: skip


@dataclass(frozen=True)
class CauseShown:
    """One cause. width: of its bar, in hundredths; why: a sentence for each side of what is known;
    open: whether they stand open.
    """

    key: str
    name: str
    tells: str
    side: str
    side_tone: str
    chance: str
    width: str
    why: tuple[str, ...]
    repair: str
    repair_by: str
    open: bool


@dataclass(frozen=True)
class LookShown:
    """One check by how much it would change. address: of the page with it on the card."""

    key: str
    asks: str
    moves: str
    width: str
    who: str
    minutes: str
    costs: str
    address: str


@dataclass(frozen=True)
class CostsShown:
    """What was counted with. known: name and amount; assumed: sentences; swap: whether another
    machine would be cheaper, "" where none can be had; stop: why no check is worth making.
    """

    in_money: bool
    known: tuple[tuple[str, str], ...]
    assumed: tuple[str, ...]
    total: str
    swap: str
    stop: str


def chance_said(chance_frac: float) -> str:
    """A chance as a share."""
    return say_value("chance_frac", chance_frac, reading())


def causes_shown(told: ToldCauses, language: str) -> list[CauseShown]:
    """Causes in their order."""
    return [_cause(one, place, language) for place, one in enumerate(told.causes)]


def _cause(one: ToldCause, place: int, language: str) -> CauseShown:
    repair = one.cause.repair
    side = one.cause.side.value
    return CauseShown(
        key=one.cause.key,
        name=one.name,
        tells=one.tells,
        side=words(f"causes.side.{side}"),
        side_tone=_SIDE_TONE[side],
        chance=chance_said(one.ranked.behind_frac),
        width=f"{100.0 * one.ranked.behind_frac:.1f}",
        why=tuple(say(reason, language) for reason in one.why),
        repair=one.repair,
        repair_by=words("causes.repair.by", who_said=who_said(repair.by), minutes=repair.minutes),
        open=place < _OPEN,
    )


def looks_shown(
    network: Network, advice: Advice, language: str, purse: Purse, query: str
) -> list[LookShown]:
    """Checks by how much each would move the ranking, most first. query: of the page without a
    chosen check.
    """
    found = []
    most = advice.most_telling[:_LOOKS]
    for look in most:
        check = network.observation(look.key).check
        if check is None or look.moves_frac <= 0.0:
            continue
        found.append(
            LookShown(
                key=look.key,
                asks=check.asks.in_language(language),
                moves=_moves(look),
                width=f"{100.0 * min(look.moves_frac, 1.0):.1f}",
                who=who_said(look.who),
                minutes=words("causes.minutes", minutes=f"{check.minutes:g}"),
                costs=words("causes.look.costs", amount=purse.said(look.check_money)),
                address=f"{query}{'&' if len(query) > 1 else ''}look={look.key}#next",
            )
        )  # fmt: skip
    return found


def _moves(look: Look) -> str:
    key = "causes.look.moves" if look.new_first_frac >= 0.005 else "causes.look.moves.same"
    return words(key, moves_frac=look.moves_frac, first_frac=look.new_first_frac)


def costs_shown(advice: Advice, costs: Costs, purse: Purse, language: str) -> CostsShown:
    """What it is expected to come to, and with what that was counted."""
    known = []
    for one in fields(costs):
        amount = getattr(costs, one.name)
        if isinstance(amount, float):
            name = words(f"service_costs.{one.name}")
            known.append((name, amount_said(one.name, amount, purse)))
    swap = ""
    if advice.swap_money is not None and advice.step.total_money > 0.0:
        dearer = advice.swap_money > advice.step.total_money
        swap = words(f"causes.swap.{'dearer' if dearer else 'cheaper'}",
                     swap_said=purse.said(advice.swap_money),
                     going_on_said=purse.said(advice.step.total_money))  # fmt: skip
    return CostsShown(
        in_money=advice.in_money,
        known=tuple(known),
        assumed=tuple(say(one, language) for one in advice.assumed),
        total=purse.said(advice.step.total_money) if advice.step.total_money > 0.0 else "",
        swap=swap,
        stop="" if advice.stop is None else purse.tell(advice.stop, language),
    )


def amount_said(name: str, amount: float, purse: Purse) -> str:
    """One of the costs with its unit."""
    if name.endswith("_h") and "money" not in name:
        return words("causes.time.hours", figure=f"{amount:g}")
    if name.endswith("_days"):
        return words("causes.time.days", figure=f"{amount:g}")
    if name.endswith("_bales"):
        return f"{amount:g}"
    return Purse(True, purse.currency).said(amount)
