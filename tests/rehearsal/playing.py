"""One machine that records everything, and its seasons, for the tests of the rehearsal."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import Any

import numpy as np

from balewright.readers.profile import shipped_profiles
from balewright.rehearsal.days import SeasonPlan, Site
from balewright.rehearsal.readings import QUANTITIES, see
from balewright.rehearsal.season import Player, Rehearsal, rehearse_season
from balewright.rehearsal.sensed import fit_sensors
from balewright.rehearsal.targets import TargetSettings, WrapTargets

START_US = 1_900_022_400_000_000
MORE = (
    "binding_turns", "chamber_bar", "density_dial", "knife_bar", "knives_in", "wrap_turns",
    "wrap_bale_turns", "wrap_rpm", "film_width_m", "film1_m", "film2_m", "film_m",
    "film_start_tries", "overloads", "diameter_m", "diameter_left_m", "diameter_right_m",
    "mass_kg", "moisture_frac", "moisture_max_frac", "additive_l", "mode", "speed_m_s",
    "pto_rpm", "pto_torque_nm", "pitch_frac", "roll_frac", "supply_min_v", "oil_c", "air_c",
    "codes", "operator",
)  # fmt: skip
TARGETS = TargetSettings(
    "grass silage", 1.25, 1.23, 190.0, 0.55, 4.0, 2.5, "net", 2.5, 0.0, 3.0, 3000.0, 20.0,
    100.0, WrapTargets(12, 6, 0.75, 0.595, 0.70, 1500.0, 30.0),
)  # fmt: skip
PLAYER = Player(
    "M1",
    fit_sensors(shipped_profiles()["mossgrinder-m2"], MORE),
    TARGETS,
    (Site("J1", 8.0, -38.0), Site("J2", 8.2, -38.2)),
    "s1",
    501,
)


def play(bales: int = 450, seed: int = 4, **changed: Any) -> Rehearsal:
    """One season of that machine."""
    player = replace(PLAYER, **changed)
    return rehearse_season((player,), SeasonPlan(START_US, bales), np.random.default_rng(seed))


@cache
def clean(bales: int = 450, seed: int = 4) -> Rehearsal:
    """Its season without faults."""
    return play(bales, seed)


def quantities(played: Rehearsal) -> dict[str, np.ndarray]:
    """Every quantity of the fault book as the record shows it; dispenser 2's under its own name."""
    found = {}
    with np.errstate(all="ignore"):
        for name, read in QUANTITIES.items():
            found[name] = read(see(played, "M1"))
            if name in ("film metres", "film breaks", "pre-stretch"):
                found[f"{name} 2"] = read(see(played, "M1", 2))
    return found


__all__ = ["PLAYER", "START_US", "TARGETS", "clean", "play", "quantities"]
