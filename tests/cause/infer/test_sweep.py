"""What candidates would say, against the definition and against asking one by one."""

from __future__ import annotations

import math

import numpy as np
import pytest

from balewright.cause.infer.arrays import Arrays
from balewright.cause.infer.posterior import infer
from balewright.cause.infer.refusals import Contradiction
from balewright.cause.infer.sweep import sweep
from balewright.quantities.errors import BadInput

from .random_networks import by_definition, random_evidence, random_network, seen


@pytest.mark.derived
@pytest.mark.parametrize("seed", range(30))
def test_both_outcomes_are_those_of_the_definition(seed: int) -> None:
    """Chance and posteriors of either outcome of every candidate: the same as going through every
    set of causes with that outcome seen, to 1e-12."""
    rng = np.random.default_rng(seed)
    net = random_network(rng, int(rng.integers(1, 11)), int(rng.integers(2, 14)))
    on, off = random_evidence(rng, net.observations)
    asked = np.flatnonzero(on == off)
    chance, _, _ = by_definition(net, on, off)
    got = sweep(net, on, off, asked)
    for row, candidate in enumerate(asked):
        for says, frac, after in ((1, got.on_frac, got.if_on), (0, got.off_frac, got.if_off)):
            on[candidate], off[candidate] = says, 1 - says
            with_it, posterior, _ = by_definition(net, on, off)
            assert frac[row] == pytest.approx(with_it / chance, abs=1e-12)
            assert after[row] == pytest.approx(posterior, abs=1e-12)
        on[candidate] = off[candidate] = 1.0


@pytest.mark.law
def test_a_sweep_says_what_asking_one_by_one_says() -> None:
    """On a network of full size, with 14 positive observations of one fault's neighbourhood: the
    same chances and posteriors as seeing each outcome by itself."""
    rng = np.random.default_rng(4)
    net = random_network(rng, 60, 120, links=(3, 9))
    on, off = seen(120, list(range(14)), list(range(14, 40)))
    before = infer(net, on, off)
    asked = np.arange(40, 120)
    got = sweep(net, on, off, asked)
    for row in range(0, 80, 3):
        for says, frac, after in ((1, got.on_frac, got.if_on), (0, got.off_frac, got.if_off)):
            on[asked[row]], off[asked[row]] = says, 1 - says
            one = infer(net, on, off)
            assert math.log(frac[row]) == pytest.approx(
                one.log_evidence - before.log_evidence, abs=1e-12
            )
            assert after[row] == pytest.approx(one.posterior_frac, abs=1e-13)
        on[asked[row]] = off[asked[row]] = 1.0


@pytest.mark.derived
def test_an_outcome_that_is_nearly_impossible_is_as_exact_as_any() -> None:
    """Candidates with a leak of 1e-40 and causes of 1e-30, beside evidence: the chance that they
    come out on, and every cause after that, to 12 digits of their own. In 1 - off nothing would be
    left of it."""
    net = Arrays(
        [1e-30, 0.2, 1e-25], [0, 2, 4, 6, 7], [0, 1, 1, 2, 0, 2, 0],
        [0.5, 0.5, 0.5, 0.5, 0.7, 1e-3, 1.0], [0.01, 0.01, 1e-40, 0.0],
    )  # fmt: skip
    on, off = seen(4, [0, 1], [])
    got = sweep(net, on, off, [2, 3])
    chance, _, _ = by_definition(net, on, off)
    for row, candidate in enumerate((2, 3)):
        on[candidate], off[candidate] = 1.0, 0.0
        # of the terms of the definition only those with 1 - off are lost: they are told by hand
        first = 1e-30 * (0.505 * 0.8 * 0.01 + (1 - 0.99 * 0.25) * 0.2 * 0.505)
        third = 1e-25 * (0.01 * 0.8 * 0.505 + 0.505 * 0.2 * (1 - 0.99 * 0.25))
        leak = 1e-40 * chance
        share = np.array([[0.7 * first, 1e-3 * third], [first, 0.0]])[row]
        total = share.sum() + (leak if candidate == 2 else 0.0)
        assert got.on_frac[row] == pytest.approx(total / chance, rel=1e-12)
        assert got.if_on[row, [0, 2]] == pytest.approx(share / total, rel=1e-12, abs=1e-20)
        on[candidate] = off[candidate] = 1.0


@pytest.mark.law
def test_an_outcome_that_cannot_be_has_no_posterior() -> None:
    """Nothing turns it on: chance 0, and NaN for every cause after it; off changes nothing."""
    net = Arrays([0.1, 0.2], [0, 0, 2], [0, 1], [0.5, 0.5], [0.0, 0.1])
    got = sweep(net, *seen(2, [1], []), [0])
    assert (got.on_frac[0], got.off_frac[0]) == (0.0, 1.0)
    assert np.isnan(got.if_on[0]).all()
    assert got.if_off[0] == pytest.approx(infer(net, *seen(2, [1], [])).posterior_frac)
    with pytest.raises(Contradiction):
        infer(net, *seen(2, [0, 1], []))


@pytest.mark.law
def test_only_what_is_not_known_can_be_asked_about() -> None:
    """Candidates that were seen already, or are none, are refused; none at all is an answer."""
    net = random_network(np.random.default_rng(1), 3, 3)
    with pytest.raises(BadInput, match="known"):
        sweep(net, *seen(3, [1], []), [0, 1])
    with pytest.raises(BadInput, match="0 to 2"):
        sweep(net, *seen(3, [1], []), [3])
    assert sweep(net, *seen(3, [1], []), np.zeros(0, int)).if_on.shape == (0, 3)
