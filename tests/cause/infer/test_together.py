"""Causes taken together, and evidence that does or does not fit together."""

from __future__ import annotations

import math

import numpy as np
import pytest

from balewright.cause.infer.arrays import Arrays
from balewright.cause.infer.fitting import fitting
from balewright.cause.infer.posterior import infer
from balewright.cause.infer.together import alone, together
from balewright.quantities.errors import BadInput

from .random_networks import by_definition, random_evidence, random_network, seen


@pytest.mark.derived
@pytest.mark.parametrize("seed", range(12))
def test_several_causes_at_once_are_those_of_the_definition(seed: int) -> None:
    """None of some causes, two of them at once, exactly one cause, no cause at all: the same as
    going through every set of causes, to 1e-12."""
    rng = np.random.default_rng(seed)
    net = random_network(rng, 9, 12)
    evidence = random_evidence(rng, 12)
    _, _, sets = by_definition(net, *evidence)
    there = (np.arange(2**9)[:, None] >> np.arange(9)) & 1
    asked = [1, 4, 7]
    got = together(net, *evidence, asked)
    assert got.none_frac == pytest.approx(sets[(there[:, asked] == 0).all(1)].sum(), abs=1e-12)
    for row, one in enumerate(asked):
        for column, other in enumerate(asked):
            both = sets[(there[:, one] & there[:, other]) == 1].sum()
            assert got.both_frac[row, column] == pytest.approx(both, abs=1e-12)
    by_itself = alone(net, *evidence)
    assert by_itself.none_frac == pytest.approx(sets[0], abs=1e-12)
    assert by_itself.only_frac == pytest.approx(sets[2 ** np.arange(9)], abs=1e-12)


@pytest.mark.law
def test_only_causes_that_are_there_can_be_asked_about() -> None:
    """A cause twice, or one that is none, is refused."""
    net = random_network(np.random.default_rng(1), 3, 3)
    for causes in ([0, 0], [3], [-1]):
        with pytest.raises(BadInput, match="0 to 2"):
            together(net, *seen(3, [1], []), causes)


# cause 0 shows in observations 0 and 1, cause 1 in 2 and 3; anything else hardly ever
TWO = Arrays([0.01, 0.01], [0, 1, 2, 3, 4], [0, 0, 1, 1], [0.9] * 4, [0.001] * 4)


@pytest.mark.derived
def test_two_signs_of_one_cause_fit_together() -> None:
    """Both on: likelier together than each by itself, by what the definition says."""
    got = fitting(TWO, *seen(4, [0, 1], []))
    one = 0.01 * (1 - 0.999 * 0.1) + 0.99 * 0.001
    both = 0.01 * (1 - 0.999 * 0.1) ** 2 + 0.99 * 0.001**2
    assert got.alone_frac == pytest.approx([one, one], rel=1e-12)
    assert got.given_rest_frac == pytest.approx([both / one] * 2, rel=1e-12)
    assert got.log_conflict == pytest.approx(2 * math.log(one) - math.log(both), rel=1e-12)
    assert got.log_conflict < -3.0
    assert got.unexplained_frac == pytest.approx([0.99e-6 / both] * 2, rel=1e-12)


@pytest.mark.derived
def test_a_sign_that_the_rest_speaks_against_is_named() -> None:
    """One sign of a cause on, the other off: they conflict, and most likely nothing of the network
    explains the one that is on. What concerns another cause is as likely as before."""
    on, off = seen(4, [0, 2], [1])
    got = fitting(TWO, on, off)
    assert got.log_conflict > 1.0
    assert list(got.observation) == [0, 1, 2]
    assert got.log_against[0] > 1.0
    assert got.log_against[2] == pytest.approx(0.0, abs=1e-12)
    _, _, sets = by_definition(TWO, on, off)
    assert got.unexplained_frac[0] == pytest.approx(sets[0] + sets[2], rel=1e-12)


@pytest.mark.law
def test_scaling_the_weights_of_evidence_says_nothing() -> None:
    """Weights of a reading or of what is not known, all times a number: no posterior and no
    conflict changes."""
    on, off = np.array([1.0, 0.4, 1.0, 1.0]), np.array([0.0, 0.1, 1.0, 1.0])
    plain, scaled = fitting(TWO, on, off), fitting(TWO, 7.0 * on, 7.0 * off)
    assert scaled.log_conflict == pytest.approx(plain.log_conflict, abs=1e-12)
    assert scaled.log_against == pytest.approx(plain.log_against, abs=1e-12)
    assert infer(TWO, 7.0 * on, 7.0 * off).posterior_frac == pytest.approx(
        infer(TWO, on, off).posterior_frac, abs=1e-15
    )
