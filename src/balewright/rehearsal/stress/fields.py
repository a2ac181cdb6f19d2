"""What crop and ground do that the simulator does not know of."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

import numpy as np

from balewright.rehearsal.stress.stressed import (
    Floats,
    Mask,
    Stressed,
    job_runs,
    scatter,
    some_runs,
)
from balewright.rehearsal.stress.timing import lengths, retime

_DRIEST: Final = 0.05
_WETTEST: Final = 0.90
_UNKNOWN_MOISTURE: Final = 0.5
_CONE: Final = 0.4
_SLOW: Final = 0.35
_UNEVEN_M: Final = 0.03
_UNEVEN: Final = 0.06


def wetter(one: Stressed, more_frac: Floats) -> Stressed:
    """Bales with more (or less) water and the same dry matter, in the records and the truth.

    more_frac: moisture to add, wet basis, shape (rows,). Where moisture is not recorded the mass
    changes as it does from 50 %.
    """
    read = one.bales.floats("moisture_frac")
    moisture = np.where(np.isfinite(read), read, _UNKNOWN_MOISTURE)
    new = np.clip(moisture + more_frac, np.minimum(_DRIEST, moisture),
                  np.maximum(_WETTEST, moisture))  # fmt: skip
    more = new - moisture
    highest = one.bales.floats("moisture_max_frac") + more
    mass = one.bales.floats("mass_kg") * (1.0 - moisture) / np.maximum(1.0 - new, 0.01)
    added = dict(one.added)
    so_far = added.get("moisture_frac", np.zeros(int(one.origin.max()) + 1))
    so_far = so_far.copy()
    so_far[one.origin] += more
    added["moisture_frac"] = so_far
    done = one.written({"moisture_frac": read + more, "moisture_max_frac": highest,
                        "mass_kg": np.where(more == 0.0, np.nan, mass)})  # fmt: skip
    return replace(done, added=added)


def drying_season(one: Stressed, severity: float, chance: np.random.Generator) -> Stressed:
    """Moisture sinks in a straight line by `severity` from the first bale to the last."""
    del chance
    gone = np.linspace(0.0, 1.0, one.bales.rows)
    return wetter(one, -severity * gone).told("drying season", gone >= 0)


def flattened_crop(one: Stressed, severity: float, chance: np.random.Generator) -> Stressed:
    """Two jobs: wetter by `severity`, a third slower at full strength, uneven mass and shape."""
    rows = some_runs(job_runs(one.bales), 2, chance, together=False)
    strength = severity / 0.06
    count = one.bales.rows
    uneven = np.where(rows, strength, 0.0) * chance.normal(0.0, 1.0, (3, count))
    slower = 1.0 - _SLOW * min(strength, 2.0) * rows
    done = wetter(one, np.where(rows, severity, 0.0))
    bales = done.bales
    done = done.written(
        {
            "speed_m_s": bales.floats("speed_m_s") * slower,
            "mass_kg": bales.floats("mass_kg") * (1.0 + _UNEVEN * uneven[0]),
            "diameter_left_m": bales.floats("diameter_left_m") + _UNEVEN_M * uneven[1],
            "diameter_right_m": bales.floats("diameter_right_m") + _UNEVEN_M * uneven[2],
        }
    )
    fill = lengths(done)["full_at"]
    return retime(done, {"full_at": fill * (1.0 / slower - 1.0)}).told("flattened crop", rows)


def barrel_bales(one: Stressed, severity: float, chance: np.random.Generator) -> Stressed:
    """Each job bulges by |N(0, severity)| in the middle and tapers by 0.4 of such a figure.

    The mean over the bale, which the truth tells, stays: the middle reads half the bulge more,
    the ends half of it less.
    """
    runs = job_runs(one.bales)
    drawn = chance.normal(0.0, severity, (2, int(runs[-1]) + 1))
    bulge, cone = np.abs(drawn[0])[runs], _CONE * drawn[1][runs]
    bales = one.bales
    return one.written(
        {
            "diameter_m": bales.floats("diameter_m") + bulge / 2,
            "diameter_left_m": bales.floats("diameter_left_m") + (cone - bulge) / 2,
            "diameter_right_m": bales.floats("diameter_right_m") - (cone + bulge) / 2,
        }
    ).told("barrel bales", _all(one))


def stones(one: Stressed, severity: float, chance: np.random.Generator) -> Stressed:
    """One job: `severity` overload trips a bale more, and knife pressure that knocks upward."""
    rows = some_runs(job_runs(one.bales), 1, chance, together=True)
    trips = chance.poisson(severity, one.bales.rows)
    knocks = np.abs(chance.normal(0.0, 2.0, one.bales.rows)) * severity / 0.08
    knife = one.bales.floats("knife_bar")
    return one.written(
        {
            "overloads": one.bales.floats("overloads") + np.where(rows, trips, 0),
            "knife_bar": knife + np.where(rows, knocks * scatter(knife), 0.0),
        }
    ).told("stones", rows)


def _all(one: Stressed) -> Mask:
    return np.ones(one.bales.rows, dtype=np.bool_)
