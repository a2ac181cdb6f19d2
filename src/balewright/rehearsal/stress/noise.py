"""Noise that is not tame: heavy in the tails, lasting, growing with feed, wild, coarse."""

from __future__ import annotations

from typing import Final

import numpy as np

from balewright.records.columns import BY_NAME
from balewright.rehearsal.stress.slipping import last_from_bale_to_bale
from balewright.rehearsal.stress.stressed import READINGS, Floats, Stressed, scatter
from balewright.rehearsal.stress.timing import lengths, retime

_DEGREES: Final = 3
TIMED: Final = ("bind_start_at", "bind_end_at", "on_wrapper_at", "wrap_start_at", "wrap_end_at",
                "tipped_at")  # fmt: skip
"""Phases whose length is noisy too; filling and waiting for the wrapper are so already."""
_WIDTH: Final = len(READINGS) + len(TIMED)
_FEED_HIGHEST: Final = 2.5


def add_noise(one: Stressed, unit: Floats) -> Stressed:
    """Readings and lengths of phases with noise on top, in sigmas of each.

    unit: shape (rows, readings + phases that take part), in the order of `READINGS`, `TIMED`.
    """
    changes = {}
    for place, name in enumerate(READINGS):
        read = one.bales.floats(name)
        changes[name] = read + scatter(read) * unit[:, place]
    took = lengths(one)
    extra = {
        name: scatter(took[name]) * unit[:, len(READINGS) + place]
        for place, name in enumerate(TIMED)
    }
    return retime(one.written(changes), extra)


def _everywhere(one: Stressed, key: str) -> Stressed:
    return one.told(key, np.ones(one.bales.rows, dtype=np.bool_))


def heavy_tails(one: Stressed, severity: float, chance: np.random.Generator) -> Stressed:
    """t noise with 3 degrees of freedom and a standard deviation of `severity` sigma."""
    drawn = chance.standard_t(_DEGREES, (one.bales.rows, _WIDTH)) / np.sqrt(3.0)
    return _everywhere(add_noise(one, severity * drawn), "heavy tails")


def wild_readings(one: Stressed, severity: float, chance: np.random.Generator) -> Stressed:
    """A share `severity` of readings is 5 to 15 sigma off, a quarter of those at the bottom."""
    shape = (one.bales.rows, len(READINGS))
    wild = chance.random(shape) < severity
    size = chance.uniform(5.0, 15.0, shape) * chance.choice([-1.0, 1.0], shape)
    fallen = chance.random(shape) < 0.25
    changes = {}
    for place, name in enumerate(READINGS):
        read = one.bales.floats(name)
        bottom = max(BY_NAME[name].low or 0.0, 0.0)
        odd = np.where(fallen[:, place], bottom, read + scatter(read) * size[:, place])
        changes[name] = np.where(wild[:, place], odd, read)
    return _everywhere(one.written(changes), "wild readings")


def _lasting(one: Stressed, severity: float, share: float, chance: np.random.Generator) -> Stressed:
    fresh = chance.normal(0.0, 1.0, (one.bales.rows, _WIDTH))
    return add_noise(one, severity * last_from_bale_to_bale(fresh, share))


def lasting_noise(one: Stressed, severity: float, chance: np.random.Generator) -> Stressed:
    """Noise of `severity` sigma with autocorrelation 0.5."""
    return _everywhere(_lasting(one, severity, 0.5, chance), "lasting noise")


def long_lasting_noise(one: Stressed, severity: float, chance: np.random.Generator) -> Stressed:
    """Noise of `severity` sigma with autocorrelation 0.8."""
    return _everywhere(_lasting(one, severity, 0.8, chance), "long lasting noise")


def feed_noise(one: Stressed, severity: float, chance: np.random.Generator) -> Stressed:
    """Noise of `severity` sigma times the square of feed over its median, at most 2.5 of it."""
    drawn = chance.normal(0.0, 1.0, (one.bales.rows, _WIDTH))
    size = np.minimum(feed(one), _FEED_HIGHEST) ** 2
    return _everywhere(add_noise(one, severity * drawn * size[:, None]),
                       "noise that grows with feed")  # fmt: skip


def feed(one: Stressed) -> Floats:
    """Feed rate over its median, shape (rows,): mass over filling time, without mass bales.

    1 where it is unknown.
    """
    fill = lengths(one)["full_at"]
    mass = one.bales.floats("mass_kg")
    amount = mass if one.bales.has("mass_kg") else np.ones(one.bales.rows)
    rate = amount / np.where(fill > 0, fill, np.nan)
    if not np.isfinite(rate).any():
        return np.ones(one.bales.rows)
    return np.nan_to_num(rate / np.nanmedian(rate), nan=1.0)


def coarse_sensors(one: Stressed, severity: float, chance: np.random.Generator) -> Stressed:
    """Readings stand in whole steps of `severity` sigma."""
    del chance
    changes = {}
    for name in READINGS:
        read = one.bales.floats(name)
        step = severity * scatter(read)
        if step > 0.0:
            changes[name] = np.round(read / step) * step
    return _everywhere(one.written(changes), "coarse sensors")
