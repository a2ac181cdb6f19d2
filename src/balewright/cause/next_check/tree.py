"""Checks some steps deep, worked out beforehand, for a phone without a signal."""

from __future__ import annotations

import heapq
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Final

from balewright.cause.evidence_value import NO, UNKNOWN, YES, Seen
from balewright.cause.laid_out import Weighed, weigh
from balewright.cause.network import Network
from balewright.cause.next_check.advise import Desk, desk_of, found_in
from balewright.cause.next_check.costs import Costs
from balewright.cause.next_check.prospect import prospect_of
from balewright.cause.next_check.step import Advice, Deed, PlannedRepair, Step
from balewright.cause.next_check.telling import Found, advice_of, no_answer, nothing_to_do
from balewright.quantities.errors import NotAnswerable

MOST_NODES: Final = 60
DEEPEST: Final = 8
_CANNOT_FRAC: Final = 0.1
"""How often somebody cannot tell; a judgement, used only for which branches are worth room."""
_TOP: Final = 5


@dataclass(frozen=True)
class Verdict:
    """Where the tree ends: what to do, with no further question in it.

    step: a repair, somebody on the way, another machine, or a check that has no room here; top:
    (cause, chance to be behind the trouble), the likeliest first; repairs: in their order, as far
    as it is worth going; ends: whether the questions end for good here, or the tree does.
    """

    step: Step
    top: tuple[tuple[str, float], ...]
    repairs: tuple[PlannedRepair, ...]
    ends: bool


@dataclass(frozen=True)
class Question:
    """One check with where each answer leads. step: the check, its cautions first; top: as in a
    verdict, before it is answered; on_frac: chance of a yes.
    """

    step: Step
    top: tuple[tuple[str, float], ...]
    on_frac: float
    yes: Question | Verdict
    no: Question | Verdict
    cannot: Question | Verdict


@dataclass(frozen=True)
class Tree:
    """root: where to begin; questions, verdicts: how many of each; deepest: questions in a row."""

    root: Question | Verdict
    questions: int
    verdicts: int
    deepest: int


@dataclass
class _Place:
    """A place in the tree while it grows."""

    weighed: Weighed
    asked: frozenset[str]
    found: Found | None
    reach_frac: float
    depth: int
    below: dict[str, _Place] = field(default_factory=dict)
    advice: Advice | None = None


def tree(
    network: Network,
    evidence: Mapping[str, Seen],
    costs: Costs,
    exposure: Mapping[str, float] | None = None,
    most: int = MOST_NODES,
) -> Tree:
    """The checks worth making from here, each with where yes, no and "cannot tell" lead.

    most: questions at most; those likeliest to be reached come first, so that room is not spent
    on what hardly happens. A check somebody has to be sent for ends the tree, as nobody on the
    phone can make it. The same network, evidence and costs always give the same tree. Raises what
    `next_step` raises; a branch whose evidence has no exact answer ends there.
    """
    desk = desk_of(network, costs, exposure)
    return tree_from(desk, weigh(desk.laid, evidence), most)


def tree_from(desk: Desk, start: Weighed, most: int = MOST_NODES) -> Tree:
    """The same for what is laid out and weighed already, a complaint with it. Checks do not wait
    for repairs: a tree of questions goes on past one.
    """
    desk = replace(desk, may_wait=False)
    root = _Place(start, frozenset(), _found(desk, start), 1.0, 0)
    root.advice = _advice(desk, root)
    waiting = [(-1.0, 0, root)]
    questions = count = 0
    while waiting and questions < most:
        _, _, place = heapq.heappop(waiting)
        if place.advice is None or place.advice.step.deed is not Deed.CHECK:
            continue
        if place.depth >= DEEPEST:
            continue
        questions += 1
        _open(desk, place)
        for below in place.below.values():
            count += 1
            heapq.heappush(waiting, (-below.reach_frac, count, below))
    made = _frozen(root)
    return Tree(made, *_counts(made))


def _found(desk: Desk, weighed: Weighed) -> Found | None:
    prospect = prospect_of(desk.laid, weighed)
    return None if prospect is None else found_in(desk, prospect)


def _below(desk: Desk, place: _Place, weighed: Weighed, reach_frac: float) -> _Place:
    """The place after an answer; one whose evidence has no exact answer is an end of its own."""
    below = _Place(weighed, place.asked, None, reach_frac, place.depth + 1)
    try:
        below.found = _found(desk, weighed)
    except NotAnswerable:
        below.advice = no_answer(desk.prices)
    else:
        below.advice = _advice(desk, below)
    return below


def _advice(desk: Desk, place: _Place) -> Advice:
    if place.found is None:
        return nothing_to_do(desk.prices)
    return advice_of(place.found, place.asked)


def _open(desk: Desk, place: _Place) -> None:
    """Follow each answer of the check at a place."""
    advice = place.advice
    key = None if advice is None else advice.step.check
    if advice is None or key is None:
        return
    on = next(one.on_frac for one in advice.looks if one.key == key)
    for name, seen, chance in (("yes", YES, on), ("no", NO, 1.0 - on)):
        weighed = place.weighed.with_answer(desk.laid, key, seen)
        reach = place.reach_frac * chance * (1.0 - _CANNOT_FRAC)
        place.below[name] = _below(desk, place, weighed, reach)
    # what nobody could tell changes nothing but that it is not asked again
    weighed = place.weighed.with_answer(desk.laid, key, UNKNOWN)
    asked, reach = place.asked | {key}, place.reach_frac * _CANNOT_FRAC
    below = _Place(weighed, asked, place.found, reach, place.depth + 1)
    below.advice = _advice(desk, below)
    place.below["cannot"] = below


def _frozen(place: _Place) -> Question | Verdict:
    advice = place.advice
    if advice is None:
        raise TypeError("a place without advice")
    if place.below:
        on = next(one.on_frac for one in advice.looks if one.key == advice.step.check)
        below = {name: _frozen(one) for name, one in place.below.items()}
        return Question(advice.step, _top(place), on, below["yes"], below["no"], below["cannot"])
    ends = advice.step.deed is not Deed.CHECK
    return Verdict(advice.step, _top(place), advice.repairs, ends)


def _top(place: _Place) -> tuple[tuple[str, float], ...]:
    found = place.found
    if found is None:
        return ()
    now, causes = found.prospect.now, found.network.causes
    rows = [(causes[at].key, float(p)) for at, p in zip(found.prospect.causes, now, strict=True)]
    return tuple(sorted(rows, key=lambda row: (-round(row[1], 12), row[0]))[:_TOP])


def _counts(node: Question | Verdict) -> tuple[int, int, int]:
    """Questions, verdicts, and how many questions in a row at most."""
    if isinstance(node, Verdict):
        return 0, 1, 0
    each = [_counts(one) for one in (node.yes, node.no, node.cannot)]
    questions, verdicts, deep = zip(*each, strict=True)
    return 1 + sum(questions), sum(verdicts), 1 + max(deep)
