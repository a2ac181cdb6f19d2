"""How far off answers are: against the definition, and against 80-digit arithmetic."""

from __future__ import annotations

import numpy as np
from bench.causes.cases import Case, random_case, seen
from tests.cause.infer.eighty_digits import by_textbook
from tests.cause.infer.random_networks import by_definition, random_evidence, random_network

from balewright.cause.infer.posterior import infer
from balewright.cause.infer.sweep import sweep


def by_sets(networks: int) -> tuple[float, float]:
    """Largest error of a posterior, and of an outcome or a posterior after it, over random networks
    of up to 16 causes with every kind of evidence.
    """
    posterior = outcome = 0.0
    for seed in range(networks):
        rng = np.random.default_rng(seed)
        net = random_network(rng, int(rng.integers(1, 17)), int(rng.integers(2, 20)))
        on, off = random_evidence(rng, net.observations)
        chance, expected, _ = by_definition(net, on, off)
        posterior = max(posterior, np.abs(infer(net, on, off).posterior_frac - expected).max())
        asked = np.flatnonzero(on == off)[:3]
        got = sweep(net, on, off, asked)
        for row, one in enumerate(asked):
            for says, frac, after in ((1, got.on_frac, got.if_on), (0, got.off_frac, got.if_off)):
                on[one], off[one] = says, 1 - says
                with_it, expected, _ = by_definition(net, on, off)
                outcome = max(outcome, abs(frac[row] - with_it / chance))
                outcome = max(outcome, np.abs(after[row] - expected).max())
            on[one] = off[one] = 1.0
    return posterior, outcome


def textbook_in_double(case: Case) -> np.ndarray:
    """The textbook sum with signs over all sets of what was seen on, in double precision."""
    net = case.net
    keeps = np.ones((net.causes, net.observations))
    row = np.repeat(np.arange(net.observations), np.diff(net.start))
    keeps[net.cause, row] = 1.0 - net.chance
    present = net.prior_frac * np.prod(keeps[:, case.on == 0.0], axis=1)
    absent = 1.0 - net.prior_frac
    weights, there = np.ones(1), present[None, :]
    for one in case.positive:
        weights = np.concatenate([weights, -weights * (1.0 - net.leak_frac[one])])
        there = np.concatenate([there, there * keeps[:, one]])
    each = weights * np.prod(absent + there, axis=1)
    return (each[:, None] * there / (absent + there)).sum(axis=0) / each.sum()


def by_digits() -> list[tuple[str, float, float, float, float]]:
    """Networks of full size: what, chance of the evidence, largest error of a posterior, of a check
    that hardly ever comes out on, and of the textbook sum in double precision.
    """
    rows = []
    for size, on, off, dense in (
        ((60, 150), 10, 30, None),
        ((60, 150), 10, 30, 0.3),
        ((110, 230), 12, 30, None),
        ((200, 500), 10, 100, None),
    ):
        case = random_case(size, on, off, 7, dense)
        chance, expected = by_textbook(case.net, case.on, case.off)
        wanted = np.array([float(one) for one in expected])
        ours = np.abs(infer(case.net, case.on, case.off).posterior_frac - wanted).max()
        plain = np.abs(textbook_in_double(case) - wanted).max()
        got = sweep(case.net, case.on, case.off, case.candidates)
        rare = int(np.argmin(got.on_frac))
        more = seen("", case.net, np.append(case.positive, case.candidates[rare]),
                    np.flatnonzero(case.on == 0.0))  # fmt: skip
        _, after = by_textbook(case.net, more.on, more.off)
        check = np.abs(got.if_on[rare] - [float(one) for one in after]).max()
        rows.append((case.name, float(chance), float(ours), float(check), float(plain)))
    return rows
