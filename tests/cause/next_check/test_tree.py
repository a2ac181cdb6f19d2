"""The tree of checks for a phone: each branch is what would be advised there."""

from __future__ import annotations

from dataclasses import replace

import pytest

from balewright.cause.evidence_value import NO, UNKNOWN, YES
from balewright.cause.laid_out import weigh
from balewright.cause.network import Hands
from balewright.cause.next_check import tree as tree_module
from balewright.cause.next_check.advise import advise, desk_of
from balewright.cause.next_check.costs import Costs
from balewright.cause.next_check.step import Deed
from balewright.cause.next_check.tree import Question, Verdict, tree
from balewright.cause.reasons.refused import EvidenceRefused
from cause.networks_by_hand import dear

COSTS = Costs(hour_money=60.0, standing_money_h=50.0, there=Hands.WORKSHOP)


@pytest.mark.law
@pytest.mark.parametrize("seed", [47, 51, 52])
def test_every_branch_is_what_would_be_advised_there(seed: int) -> None:
    """Following answers down the tree gives the steps that asking anew after each would give."""
    given = dear(seed)
    made = tree(given, {"r0": YES}, COSTS)

    def walk(node, evidence) -> int:
        desk = replace(desk_of(given, COSTS), may_wait=False)
        step = advise(desk, weigh(desk.laid, evidence)).step
        assert (node.step.deed, node.step.check, node.step.cause) == (
            step.deed, step.check, step.cause,
        )  # fmt: skip
        assert node.step.total_money == pytest.approx(step.total_money, rel=1e-9)
        if isinstance(node, Verdict):
            return 0
        deep = 0
        for below, seen in ((node.yes, YES), (node.no, NO), (node.cannot, UNKNOWN)):
            deep = max(deep, walk(below, {**evidence, node.step.check: seen}))
        return 1 + deep

    assert walk(made.root, {"r0": YES}) == made.deepest >= 1
    assert made.verdicts == 2 * made.questions + 1


@pytest.mark.derived
def test_a_branch_without_an_exact_answer_ends_there(monkeypatch: pytest.MonkeyPatch) -> None:
    """It says so, and the other branches go on."""
    given = dear(40)
    first = tree(given, {"r0": YES}, COSTS).root.step.check
    usual = tree_module.prospect_of

    def refusing(laid, weighed):
        if weighed.used.get(first) == YES:
            raise EvidenceRefused((first,), (first,), False)
        return usual(laid, weighed)

    monkeypatch.setattr(tree_module, "prospect_of", refusing)
    root = tree(given, {"r0": YES}, COSTS).root
    assert isinstance(root, Question)
    assert isinstance(root.yes, Verdict)
    assert root.yes.step.deed is Deed.ASK
    assert root.yes.step.why.key == "cause.next.no_answer"
    assert root.no.step.deed is not Deed.ASK


@pytest.mark.law
def test_a_tree_is_as_large_as_asked_for_and_keeps_the_likely_branches() -> None:
    """Fewer questions: part of the larger tree, and what is cut off says that it goes on."""
    given = dear(48)
    large, small = (tree(given, {"r0": YES}, COSTS, most=most) for most in (60, 3))
    assert (small.questions, large.questions > 3) == (3, True)

    def inside(a, b) -> None:
        assert a.step == b.step
        if isinstance(a, Question):
            assert isinstance(b, Question)
            for x, y in ((a.yes, b.yes), (a.no, b.no), (a.cannot, b.cannot)):
                inside(x, y)
        elif isinstance(b, Question):
            assert not a.ends
            assert a.step.deed is Deed.CHECK

    inside(small.root, large.root)
    assert tree(given, {"r1": NO}, COSTS).questions == 0
