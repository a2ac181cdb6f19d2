"""The next step, and all it was chosen from."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from balewright.cause.network import Hands
from balewright.quantities.reason import Reason


class Deed(StrEnum):
    """What is done next."""

    CHECK = "check"
    REPAIR = "repair"
    SEND = "send"  # somebody goes there, or the machine comes in; with what to do there first
    SWAP = "swap"
    ASK = "ask"  # somebody who knows more: nothing here is worth trying further
    NOTHING = "nothing"  # nothing was seen that wants explaining


@dataclass(frozen=True)
class Kit:
    """What to take along. parts, tools: keys, the likeliest to be needed first; for_causes: what
    they are for; covers_frac: chance that the cause behind the trouble is among those.
    """

    parts: tuple[str, ...]
    tools: tuple[str, ...]
    for_causes: tuple[str, ...]
    covers_frac: float


@dataclass(frozen=True)
class Step:
    """One step. cautions: keys, what comes before everything else.

    who: does it; check, cause: key of what is looked at or repaired, None where there is none;
    kit: with SEND; step_money: what the step itself costs, its way in it; total_money: expected
    from here until the machine bales well again; why: in one sentence.
    """

    cautions: tuple[str, ...]
    deed: Deed
    who: Hands
    check: str | None
    cause: str | None
    kit: Kit | None
    step_money: float
    total_money: float
    why: Reason


@dataclass(frozen=True)
class Look:
    """One check that could be made.

    on_frac: chance that it shows a fault; check_money: what it costs, its way in it; total_money:
    expected until the machine bales well again, where this is looked at first; saves_money: what
    that is less than repairing at once, below 0 where it is not worth it; moves_frac: how much
    chance it is expected to shift between causes; new_first_frac: chance that another cause stands
    first after it.
    """

    key: str
    who: Hands
    on_frac: float
    check_money: float
    total_money: float
    saves_money: float
    moves_frac: float
    new_first_frac: float


@dataclass(frozen=True)
class PlannedRepair:
    """One repair in the order by repairs alone. reached_frac: chance that it comes to that."""

    cause: str
    behind_frac: float
    reached_frac: float
    repair_money: float
    who: Hands


@dataclass(frozen=True)
class Advice:
    """step: what to do next. looks: every check that could be made, the least total first;
    repairs: the order by repairs alone, until giving up; repair_money: what that is expected to
    cost; swap_money: another machine, None where none can be had; stop: why no check is worth
    making, None where one is; in_money: whether amounts are the house's money, else hours of a
    technician; assumed: what was not known.
    """

    step: Step
    looks: tuple[Look, ...]
    repairs: tuple[PlannedRepair, ...]
    repair_money: float
    swap_money: float | None
    stop: Reason | None
    in_money: bool
    assumed: tuple[Reason, ...]

    @property
    def most_telling(self) -> tuple[Look, ...]:
        """The checks by how much they would move the ranking, most first."""
        return tuple(sorted(self.looks, key=lambda one: (-round(one.moves_frac, 12), one.key)))
