"""Posteriors against the definition, and what has none."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from balewright.cause.infer.arrays import Arrays
from balewright.cause.infer.posterior import infer
from balewright.cause.infer.refusals import Contradiction, TooSmall, TooWide
from balewright.quantities.errors import BadInput

from .random_networks import by_definition, random_evidence, random_network, seen

SEEDS = range(40)


@pytest.mark.derived
@pytest.mark.parametrize("seed", SEEDS)
def test_posteriors_are_those_of_the_definition(seed: int) -> None:
    """On any network of up to 12 causes, with positive, negative, soft and no evidence: the
    same as going through every set of causes, to 1e-12."""
    rng = np.random.default_rng(seed)
    net = random_network(rng, int(rng.integers(1, 13)), int(rng.integers(1, 16)))
    evidence = random_evidence(rng, net.observations)
    chance, posterior, _ = by_definition(net, *evidence)
    got = infer(net, *evidence)
    assert got.posterior_frac == pytest.approx(posterior, abs=1e-12)
    assert got.log_evidence == pytest.approx(math.log(chance), abs=1e-12)


@pytest.mark.derived
@pytest.mark.parametrize("seed", SEEDS)
def test_certain_causes_links_and_leaks_are_answered_like_any(seed: int) -> None:
    """Priors, chances and leaks of exactly 0 and 1 settle causes and observations; what is left
    is answered by the definition, and what cannot be is told as a contradiction."""
    rng = np.random.default_rng(1000 + seed)
    net = random_network(rng, 7, 9)
    hard = Arrays(
        *(
            np.where(rng.random(row.size) < 0.3, rng.integers(0, 2, row.size), row)
            if row.dtype == float
            else row
            for row in (net.prior_frac, net.start, net.cause, net.chance, net.leak_frac)
        )
    )
    evidence = random_evidence(rng, net.observations)
    with np.errstate(invalid="ignore"):
        chance, posterior, _ = by_definition(hard, *evidence)
    if chance == 0.0:
        with pytest.raises(Contradiction):
            infer(hard, *evidence)
    else:
        assert infer(hard, *evidence).posterior_frac == pytest.approx(posterior, abs=1e-12)


@pytest.mark.law
def test_without_evidence_nothing_moves() -> None:
    """Nothing known: the priors, and evidence of chance 1."""
    net = random_network(np.random.default_rng(1), 9, 9)
    got = infer(net, np.ones(9), np.ones(9))
    assert (got.posterior_frac == net.prior_frac).all()
    assert (got.log_evidence, got.width) == (0.0, 0)


@pytest.mark.law
def test_answers_cannot_be_written_to() -> None:
    """Posteriors and networks are values."""
    net = random_network(np.random.default_rng(1), 9, 9)
    for row in (net.prior_frac, net.cause, infer(net, np.ones(9), np.ones(9)).posterior_frac):
        with pytest.raises(ValueError, match="read-only"):
            row[0] = 0


@pytest.mark.derived
def test_evidence_far_below_the_smallest_number_is_answered() -> None:
    """300 unlikely observations of their own cause each, all seen on: each cause as if alone, and
    a chance of about 10^-1800 told by its logarithm."""
    count = 300
    net = Arrays(
        np.full(count, 1e-6), np.arange(count + 1), np.arange(count), np.full(count, 0.5),
        np.full(count, 1e-6),
    )  # fmt: skip
    got = infer(net, np.ones(count), np.zeros(count))
    alone = 1e-6 + (1 - 1e-6) * 0.5
    chance = 1e-6 * alone + (1 - 1e-6) * 1e-6
    assert got.posterior_frac == pytest.approx(np.full(count, 1e-6 * alone / chance), rel=1e-14)
    assert got.log_evidence == pytest.approx(count * math.log(chance), rel=1e-14)


@pytest.mark.derived
def test_many_unlikely_observations_open_at_once_do_not_vanish() -> None:
    """Fourteen observations, leaks of 1e-30, that two causes share: all on by leaks alone would be
    10^-420. The causes explain them, as the definition in logarithms says."""
    count = 14
    net = Arrays(
        [1e-9, 1e-12], np.arange(count + 1) * 2, [0, 1] * count, np.full(2 * count, 1e-12),
        np.full(count, 1e-30),
    )  # fmt: skip
    got = infer(net, np.ones(count), np.zeros(count))
    first = math.log(1e-9) + count * math.log(1e-12)
    both = math.log(1e-21) + count * math.log(2e-12 - 1e-24)
    top = math.log(1e-12) + count * math.log(1e-12)
    whole = first + math.log1p(math.exp(both - first) + math.exp(top - first))
    assert got.log_evidence == pytest.approx(whole, rel=1e-12)
    assert got.posterior_frac[1] == pytest.approx(
        math.exp(both - whole) + math.exp(top - whole), rel=1e-9
    )


@pytest.mark.derived
def test_a_contradiction_names_the_observations_that_do_not_fit() -> None:
    """Observation 0 surely follows from cause 0, and 1 comes from nothing else: 1 on and 0 off
    cannot be, whatever 2 and 3 say."""
    chance = [1, 0.5, 0.5, 0.5, 0.5]
    net = Arrays([0.1, 0.2], [0, 1, 2, 4, 5], [0, 0, 0, 1, 1], chance, [0, 0, 0.1, 0])
    with pytest.raises(Contradiction) as refused:
        infer(net, *seen(4, [1, 2, 3], [0]))
    assert refused.value.observations == (0, 1)


@pytest.mark.derived
def test_what_is_possible_but_too_unlikely_is_not_called_a_contradiction() -> None:
    """Four observations from two causes with chances of 1e-100 each are answered: 0.09 with one
    cause, 0.16 with both, of 0.34. With chances of 1e-305 they are possible, and beyond reckoning.
    """
    net = Arrays([0.1, 0.1], [0, 2, 4, 6, 8], [0, 1] * 4, [1e-100] * 8, [0.0] * 4)
    got = infer(net, *seen(4, [0, 1, 2, 3], []))
    assert got.posterior_frac == pytest.approx([0.25 / 0.34] * 2, rel=1e-12)
    assert got.log_evidence == pytest.approx(math.log(0.34) - 400 * math.log(10), rel=1e-12)
    with pytest.raises(TooSmall):
        infer(replace(net, chance=[1e-305] * 8), *seen(4, [0, 1, 2, 3], []))


@pytest.mark.law
@pytest.mark.parametrize("scale", [1e-250, 1e250])
def test_densities_of_any_size_are_taken(scale: float) -> None:
    """Readings whose densities are very large or very small numbers: the posteriors of their ratio
    and the logarithm of the whole, many of them together."""
    rng = np.random.default_rng(8)
    net = random_network(rng, 12, 14, links=(3, 5))
    on, off = rng.uniform(0.1, 3.0, (2, 14))
    plain, scaled = infer(net, on, off), infer(net, scale * on, scale * off)
    assert scaled.posterior_frac == pytest.approx(plain.posterior_frac, abs=1e-14)
    whole = plain.log_evidence + 14 * math.log(scale)
    assert scaled.log_evidence == pytest.approx(whole, rel=1e-13)


@pytest.mark.law
def test_what_is_too_wide_is_refused_with_what_to_leave_out() -> None:
    """Twenty-four observations that everything shares are refused, with the width, with those that
    are open at once, and with a set whose leaving out lets the rest be answered."""
    rng = np.random.default_rng(3)
    net = random_network(rng, 40, 30, links=(20, 20))
    on, off = seen(30, list(range(24)), [25])
    with pytest.raises(TooWide) as refused:
        infer(net, on, off)
    told = refused.value
    assert told.width == 24 == len(told.observations)
    assert told.widest == 18
    assert len(told.set_unknown) == 6
    off[list(told.set_unknown)] = 1.0
    assert infer(net, on, off).width <= told.widest


@pytest.mark.law
def test_wrong_weights_are_refused_by_name() -> None:
    """Negative, infinite, both 0, or not as many as there are observations."""
    net = random_network(np.random.default_rng(1), 3, 3)
    with pytest.raises(BadInput, match=r"weight_on\[1\].*\n.*weight_off\[2\]"):
        infer(net, [1, -1, 1], [1, 1, math.inf])
    with pytest.raises(BadInput, match=r"weight_on\[0\], weight_off\[0\]"):
        infer(net, [0, 1, 1], [0, 1, 1])
    with pytest.raises(BadInput, match="3 observations"):
        infer(net, [1, 1], [1, 1, 1])


@pytest.mark.law
def test_a_network_that_is_none_is_refused_by_name() -> None:
    """Chances outside 0..1, links to nowhere and twice, lengths that do not fit."""
    with pytest.raises(BadInput, match=r"prior_frac\[1\].*\n.*leak_frac\[0\].*\n.*cause\[1\]"):
        Arrays([0.1, 1.1], [0, 2], [0, 2], [0.5, 0.5], [math.nan])
    with pytest.raises(BadInput, match="each cause once"):
        Arrays([0.1, 0.1], [0, 2], [0, 0], [0.5, 0.5], [0.1])
    with pytest.raises(BadInput, match="start"):
        Arrays([0.1], [0, 2], [0], [0.5], [0.1])
    with pytest.raises(BadInput, match="whole numbers"):
        Arrays([0.1], [0.0, 1.0], [0], [0.5], [0.1])
