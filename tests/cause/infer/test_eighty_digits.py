"""Networks of full size against 80-digit arithmetic."""

from __future__ import annotations

from decimal import Decimal

import numpy as np
import pytest

from balewright.cause.infer.posterior import infer
from balewright.cause.infer.sweep import sweep

from .eighty_digits import by_textbook
from .random_networks import random_network, seen


@pytest.mark.derived
@pytest.mark.parametrize(
    ("causes", "observations", "links", "on"),
    [(60, 150, (3, 8), 9), (110, 230, (3, 8), 9), (200, 500, (3, 8), 8), (60, 150, (12, 24), 9)],
)
def test_networks_of_full_size_are_exact(
    causes: int, observations: int, links: tuple[int, int], on: int
) -> None:
    """With up to nine seen on, thirty off and a reading: every posterior to 1e-14 of the same in
    80 digits, and both outcomes of a check that hardly ever comes out on."""
    rng = np.random.default_rng(causes)
    net = random_network(rng, causes, observations, links, leak_frac=(1e-7, 1e-5))
    evidence = seen(observations, list(range(on)), list(range(on, on + 30)))
    evidence[0][on + 30], evidence[1][on + 30] = 0.3, 1.7
    chance, posterior = by_textbook(net, *evidence)
    got = infer(net, *evidence)
    assert got.posterior_frac == pytest.approx([float(one) for one in posterior], abs=1e-14)
    assert Decimal(got.log_evidence) == pytest.approx(chance.ln(), abs=Decimal("1e-12"))

    asked = np.arange(on + 31, observations)
    told = sweep(net, *evidence, asked)
    row = int(np.argmin(told.on_frac))
    for says, frac, after in ((1, told.on_frac, told.if_on), (0, told.off_frac, told.if_off)):
        weights = [one.copy() for one in evidence]
        weights[0][asked[row]], weights[1][asked[row]] = says, 1 - says
        with_it, expected = by_textbook(net, *weights)
        assert frac[row] == pytest.approx(float(with_it / chance), rel=1e-12)
        assert after[row] == pytest.approx([float(one) for one in expected], abs=1e-13)
