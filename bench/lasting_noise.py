"""What the checks against the plan say of machines in order whose sensors wander.

    python bench/lasting_noise.py [--seasons N]

Invented seasons of 1,200 good bales with noise on every reading: heavy tails (t, 3 degrees of
freedom), scales as below, each value keeping a share of the one before. Every finding that costs
or harms is false. Prints how many of which by that share. Seeds are fixed, from 1,000.
"""

from __future__ import annotations

import argparse
import sys
from collections import Counter

import numpy as np
import plan_checks

from balewright.findings.against_plan import find_against_plan
from balewright.findings.finding import Weight
from balewright.readers.profile import shipped_profiles
from balewright.records.bales import BaleTable, masked_table

FIRST_SEED = 1_000
SCALES = {
    "gate_opening_mm": 1.5, "binding_turns": 0.06, "binding_m": 0.3, "mass_kg": 20.0,
    "moisture_frac": 0.015, "film1_m": 0.6, "film2_m": 0.6, "diameter_m": 0.012,
    "diameter_left_m": 0.02, "diameter_right_m": 0.02, "chamber_bar": 7.0, "wrap_rpm": 1.5,
    "wrap_bale_turns": 0.06, "said_stretch_frac": 0.02,
}  # fmt: skip
"""In the column's unit; the standard deviation is 1.7 times as much."""


def wandering(seed: int, kept: float) -> BaleTable:
    """A season in order with noise that keeps that share from bale to bale."""
    plan_checks.SEED = FIRST_SEED + seed
    bales, chance = plan_checks.season(1200, False), np.random.default_rng(seed)
    values = dict(bales.values)
    for name, scale in SCALES.items():
        noise = chance.standard_t(3, bales.rows)
        for row in range(1, bales.rows):
            noise[row] = kept * noise[row - 1] + np.sqrt(1.0 - kept**2) * noise[row]
        values[name] = np.maximum(values[name] + scale * noise, 0.01)
    return masked_table(bales.rows, values, bales.known)


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seasons", type=int, default=40)
    seasons = parser.parse_args().seasons
    machine = shipped_profiles()[plan_checks.RING]
    sheets = {"s": plan_checks.sheet_of_bench()}
    sys.stdout.write("| share kept | false findings | which |\n|---|---|---|\n")
    for kept in (0.0, 0.5, 0.9):
        counts = Counter(
            one.words.key.removeprefix("findings.")
            for seed in range(seasons)
            for one in find_against_plan(wandering(seed, kept), machine, sheets)
            if one.weight is not Weight.NOTE
        )
        which = ", ".join(f"{key} {count}" for key, count in counts.most_common())
        sys.stdout.write(f"| {kept} | {sum(counts.values())} | {which or '-'} |\n")


if __name__ == "__main__":
    main()
