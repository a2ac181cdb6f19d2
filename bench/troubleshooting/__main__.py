"""The step-by-step choice against the best policy, in small worlds solved by trying everything.

    python -m bench.troubleshooting [--worlds 300] [--seed 7]

Each world has one fault among four causes, three checks that mislead, and in every other one ways
that several repairs share. Costs are expected costs, exact, as multiples of the best policy's.
"""

from __future__ import annotations

import argparse

import numpy as np
from bench.troubleshooting.small_worlds import Policies, random_world


def gaps(worlds: int, seed: int) -> np.ndarray:
    """[worlds, 2]: best order of repairs, and step by step, as multiples of the best policy."""
    rng = np.random.default_rng(seed)
    found = []
    for number in range(worlds):
        policies = Policies(random_world(rng, 4, 3, number % 2 == 0))
        best = policies.best(policies.start)
        alone, stepped = policies.repairs_alone(policies.start), policies.stepwise(policies.start)
        found.append((alone / best, stepped / best))
    return np.array(found)


def main() -> None:
    """Print the table of docs/models/next-check.md."""
    parser = argparse.ArgumentParser(prog="python -m bench.troubleshooting")
    parser.add_argument("--worlds", type=int, default=300)
    parser.add_argument("--seed", type=int, default=7)
    given = parser.parse_args()
    table = gaps(given.worlds, given.seed)
    print("| policy | mean | nine in ten up to | worst | best found |")
    print("|---|---|---|---|---|")
    for name, column in (("best order of repairs", 0), ("step by step", 1)):
        values = table[:, column]
        print(
            f"| {name} | {values.mean():.3f} | {np.quantile(values, 0.9):.3f} | "
            f"{values.max():.3f} | {(values < 1.0 + 1e-9).mean():.0%} |"
        )


if __name__ == "__main__":
    main()
