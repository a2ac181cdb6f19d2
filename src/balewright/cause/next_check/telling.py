"""From what was reckoned to a step with its reason."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from balewright.cause.infer.arrays import Floats
from balewright.cause.network import Hands, Network
from balewright.cause.next_check.bill import HANDS, Bill
from balewright.cause.next_check.choose import Choice
from balewright.cause.next_check.costs import Prices
from balewright.cause.next_check.kit import kit_for
from balewright.cause.next_check.prospect import Prospect
from balewright.cause.next_check.step import Advice, Deed, Kit, Look, PlannedRepair, Step
from balewright.quantities.reason import Reason, because


@dataclass(frozen=True, eq=False)
class Found:
    """Everything an advice is told from. money[c]: of each check; bill: as things stand."""

    network: Network
    prices: Prices
    prospect: Prospect
    money: Floats
    bill: Bill
    choice: Choice


def nothing_to_do(prices: Prices) -> Advice:
    """Nothing was seen that wants explaining."""
    why = because("cause.next.nothing")
    step = Step((), Deed.NOTHING, prices.there, None, None, None, 0.0, 0.0, why)
    return Advice(step, (), (), 0.0, prices.swap_money, why, prices.in_money, prices.assumed)


def no_answer(prices: Prices) -> Advice:
    """What is known has no exact answer, so nobody can say what to do next."""
    why = because("cause.next.no_answer")
    money = prices.help_money
    step = Step((), Deed.ASK, prices.there, None, None, None, money, money, why)
    return Advice(step, (), (), money, prices.swap_money, why, prices.in_money, prices.assumed)


def advice_of(found: Found, asked: frozenset[str] = frozenset()) -> Advice:
    """The advice. asked: keys of checks that are not to be offered (nobody could tell)."""
    looks, best = _looks(found, asked)
    repairs = _repairs(found)
    step = (
        _check_step(found, best, looks) if best is not None else _last_step(found, repairs, looks)
    )
    stop = None
    if best is None and not found.choice.waits:
        at_once = float(found.choice.now.money[0])
        stop = (
            because("cause.next.stop.none_open")
            if not looks
            else because(
                "cause.next.stop.not_worth",
                repair_money=at_once,
                check_money=min(one.total_money for one in looks),
            )
        )
    return Advice(
        step, looks, repairs, float(found.choice.now.money[0]), found.prices.swap_money, stop,
        found.prices.in_money, found.prices.assumed,
    )  # fmt: skip


def _looks(found: Found, asked: frozenset[str]) -> tuple[tuple[Look, ...], int | None]:
    """Every open check, the least total first, and the place of the one to make."""
    prospect, choice = found.prospect, found.choice
    at_once = float(choice.now.money[0])
    first = np.argmax(prospect.now) if prospect.now.size else 0
    other = np.zeros(prospect.checks.size)
    if prospect.now.size:
        other = prospect.on_frac * (prospect.if_on.argmax(axis=1) != first)
        other = other + (1.0 - prospect.on_frac) * (prospect.if_off.argmax(axis=1) != first)
    looks: list[tuple[Look, int]] = []
    for at, place in enumerate(prospect.checks):
        one = found.network.observations[place]
        if one.check is None or one.key in asked:
            continue
        total = float(choice.total_money[at])
        looks.append((
            Look(
                one.key, one.check.by, float(prospect.on_frac[at]), float(found.money[at]), total,
                at_once - total, float(prospect.moves_frac[at]), float(other[at]),
            ),
            at,
        ))  # fmt: skip
    scale = max(at_once, 1e-300)
    looks.sort(key=lambda pair: (round(pair[0].total_money / scale, 12), pair[0].key))
    best = choice.best
    if best is not None and not any(at == best for _, at in looks):
        best = None
    if choice.waits:
        return tuple(look for look, _ in looks), None
    if best is None and looks and looks[0][0].saves_money > 1e-9 * at_once:
        best = looks[0][1]
    return tuple(look for look, _ in looks), best


def _repairs(found: Found) -> tuple[PlannedRepair, ...]:
    """The order by repairs alone, as far as it is worth going."""
    now, prospect = found.choice.now, found.prospect
    order = now.order[0][: int(now.steps[0])]
    p = prospect.now[order]
    nothing = max(0.0, 1.0 - float(prospect.now.sum()))
    rest = float(prospect.now.sum()) - np.cumsum(p) + p + nothing
    planned = []
    for at, chance, left in zip(order, p, rest, strict=True):
        cause = found.network.causes[prospect.causes[at]]
        planned.append(
            PlannedRepair(
                cause.key, float(chance), min(1.0, float(left)),
                float(found.bill.repair_money[at]), cause.repair.by,
            )
        )  # fmt: skip
    return tuple(planned)


def _check_step(found: Found, at: int, looks: tuple[Look, ...]) -> Step:
    """Make a check, or send somebody to make it."""
    one = found.network.observations[found.prospect.checks[at]]
    if one.check is None:
        raise TypeError(f"{one.key} is no check")
    look = next(look for look in looks if look.key == one.key)
    away = HANDS.index(one.check.by) > HANDS.index(found.prices.there)
    kit = _kit(found, looks, one.check.by, one.key) if away else None
    deed = Deed.SEND if away else Deed.CHECK
    return Step(
        one.check.cautions, deed, one.check.by, one.key, None, kit, look.check_money,
        look.total_money, _why_check(look, away),
    )  # fmt: skip


def _why_check(look: Look, away: bool) -> Reason:
    if look.saves_money <= 0.0:
        return because("cause.next.free", on_frac=look.on_frac)
    key = "cause.next.send_to_check" if away else "cause.next.check"
    return because(
        key, saves_money=look.saves_money, check_money=look.check_money, on_frac=look.on_frac
    )


def _last_step(found: Found, repairs: tuple[PlannedRepair, ...], looks: tuple[Look, ...]) -> Step:
    """Repair what is most worth repairing, or give up."""
    total = float(found.choice.now.money[0])
    prices = found.prices
    if repairs:
        first = repairs[0]
        repair = found.network.cause_by_key[first.cause].repair
        away = HANDS.index(first.who) > HANDS.index(prices.there)
        kit = _kit(found, looks, first.who, None) if away else None
        key = "cause.next.send_to_repair" if away else "cause.next.repair"
        key = "cause.next.repair_first" if found.choice.waits else key
        why = because(key, behind_frac=first.behind_frac, repair_money=first.repair_money)
        setup = found.bill.setup_money[HANDS.index(first.who) - 1] if away else 0.0
        deed = Deed.SEND if away else Deed.REPAIR
        return Step(
            repair.cautions, deed, first.who, None, first.cause, kit, first.repair_money + setup,
            total, why,
        )  # fmt: skip
    if prices.swap_money is not None and total >= prices.swap_money * (1.0 - 1e-12):
        why = because("cause.next.swap", swap_money=prices.swap_money)
        return Step((), Deed.SWAP, prices.there, None, None, None, total, total, why)
    why = because("cause.next.ask", help_money=total)
    return Step((), Deed.ASK, prices.there, None, None, None, total, total, why)


def _kit(found: Found, looks: tuple[Look, ...], who: Hands, first: str | None) -> Kit:
    """For whoever goes: the likely causes, the check to make and others worth making there."""
    order = np.argsort(-np.round(found.prospect.now, 12), kind="stable")
    likely = [
        (found.network.causes[found.prospect.causes[at]].key, float(found.prospect.now[at]))
        for at in order
    ]
    worth = [one.key for one in looks[:5] if one.saves_money > 0.0]
    checks = dict.fromkeys([first, *worth] if first else worth)
    return kit_for(found.network, likely, checks, who)
