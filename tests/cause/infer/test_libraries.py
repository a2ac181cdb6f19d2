"""Random noisy-OR networks, asked of two independent libraries as well."""

from __future__ import annotations

import math

import numpy as np
import pytest

from balewright.cause.infer.arrays import Arrays
from balewright.cause.infer.posterior import infer
from balewright.cause.infer.sweep import sweep

from .elimination import posterior_of, tables_of
from .libraries import ask_pgmpy, ask_pyagrum, noisy_or_by_pgmpy, noisy_or_by_pyagrum
from .random_networks import random_evidence, random_network, seen


def _told(on: np.ndarray, off: np.ndarray) -> dict[str, list[float]]:
    """Evidence as the libraries take it: a weight for off, a weight for on."""
    known = np.flatnonzero(on != off)
    top = np.maximum(on, off)
    return {f"o{at}": [off[at] / top[at], on[at] / top[at]] for at in known}


def _case(seed: int) -> tuple[Arrays, np.ndarray, np.ndarray, list[str]]:
    rng = np.random.default_rng(seed)
    net = random_network(rng, 14, 18, links=(1, 4))
    return net, *random_evidence(rng, 18), [f"c{at}" for at in range(14)]


@pytest.mark.reference
@pytest.mark.check(model="posteriors of a noisy-OR network", source="pyagrum")
@pytest.mark.parametrize("seed", range(15))
def test_posteriors_are_those_of_pyagrum(seed: int) -> None:
    """Fourteen causes, eighteen observations, every kind of evidence, pyAgrum's own noisy-OR and
    lazy propagation: every posterior and the chance of the evidence to 1e-12."""
    net, on, off, causes = _case(seed)
    got, told = infer(net, on, off), _told(on, off)
    answer = ask_pyagrum(noisy_or_by_pyagrum(net), told, causes)
    assert got.posterior_frac == pytest.approx([answer[one][1] for one in causes], abs=1e-12)
    known = on != off
    scale = np.log(np.where(known, np.maximum(on, off), on)).sum()
    assert got.log_evidence == pytest.approx(math.log(answer[""][0]) + scale, abs=1e-11)


@pytest.mark.reference
@pytest.mark.check(model="posteriors of a noisy-OR network", source="pgmpy")
@pytest.mark.parametrize("seed", range(3))
def test_posteriors_are_those_of_pgmpy(seed: int) -> None:
    """The same networks written out as tables, pgmpy's variable elimination: to 1e-9, and so says
    our own elimination."""
    net, on, off, causes = _case(seed)
    got, told = infer(net, on, off), _told(on, off)
    answer = ask_pgmpy(noisy_or_by_pgmpy(net), told, causes[:6])
    tables = tables_of(net)
    for at, one in enumerate(causes[:6]):
        assert got.posterior_frac[at] == pytest.approx(answer[one][1], abs=1e-9)
        assert posterior_of(tables, told, one)[1] == pytest.approx(answer[one][1], abs=1e-9)


@pytest.mark.reference
@pytest.mark.check(model="both outcomes of a check", source="pyagrum")
def test_outcomes_of_checks_are_those_of_pyagrum() -> None:
    """Every candidate of one case: its chance and every cause after each outcome, as pyAgrum says
    with the outcome entered."""
    net, on, off, causes = _case(7)
    asked = np.flatnonzero(on == off)
    got, other = sweep(net, on, off, asked), noisy_or_by_pyagrum(net)
    told = _told(on, off)
    before = ask_pyagrum(other, told, causes)[""][0]
    for row, candidate in enumerate(asked):
        for says, frac, after in ((1, got.on_frac, got.if_on), (0, got.off_frac, got.if_off)):
            answer = ask_pyagrum(other, {**told, f"o{candidate}": [1 - says, says]}, causes)
            assert frac[row] == pytest.approx(answer[""][0] / before, abs=1e-12)
            assert after[row] == pytest.approx([answer[one][1] for one in causes], abs=1e-12)


@pytest.mark.reference
@pytest.mark.check(model="posteriors of a large noisy-OR network", source="pyagrum")
def test_a_network_of_full_size_is_answered_as_by_pyagrum() -> None:
    """110 causes, 230 observations, 12 seen on and 30 off. pyAgrum runs out of memory on it as it
    stands; with what was seen off folded into the priors by hand it agrees to 1e-12."""
    rng = np.random.default_rng(12)
    net = random_network(rng, 110, 230, links=(3, 8))
    on, off = seen(230, list(range(12)), list(range(12, 42)))
    present = net.prior_frac.copy()
    for one in range(12, 42):
        links = slice(net.start[one], net.start[one + 1])
        present[net.cause[links]] *= 1.0 - net.chance[links]
    helped = Arrays(
        present / (present + 1.0 - net.prior_frac), net.start[:13], net.cause[: net.start[12]],
        net.chance[: net.start[12]], net.leak_frac[:12],
    )  # fmt: skip
    causes = [f"c{at}" for at in range(110)]
    told = {f"o{at}": [0.0, 1.0] for at in range(12)}
    answer = ask_pyagrum(noisy_or_by_pyagrum(helped), told, causes)
    got = infer(net, on, off).posterior_frac
    assert got == pytest.approx([answer[one][1] for one in causes], abs=1e-12)
