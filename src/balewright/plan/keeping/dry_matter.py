"""Dry matter from weighings: one sample, several, and what it means for a load.

Moisture is on the wet basis (water over fresh mass) unless a name says otherwise; dry matter is
the rest. Nothing here corrects a reading in silence.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from balewright.plan.keeping.straight_line import student_t
from balewright.quantities.checks import require_between, require_count
from balewright.quantities.errors import BadInput, Fault
from balewright.quantities.interval import Interval

MOST_SAMPLES: Final = 10_000
_MOST_G: Final = 100_000.0
_MOST_KG: Final = 1e6
#: Dry matter that an oven misses in wet silage, from memory (`volatile-loss-memory`).
_VOLATILE_LOW_FRAC: Final = 0.01
_VOLATILE_HIGH_FRAC: Final = 0.02
_VOLATILE_FROM_FRAC: Final = 0.15
_VOLATILE_TO_FRAC: Final = 0.50


@dataclass(frozen=True)
class Samples:
    """Several samples of one lot.

    dry_matter_frac: the mean with its confidence interval, None with a single sample; mean_frac,
    deviation_frac: mean and standard deviation (None with one sample); count: how many.
    """

    mean_frac: float
    deviation_frac: float | None
    count: int
    dry_matter_frac: Interval | None


def dry_matter_frac(wet_g: float, dry_g: float, plate_g: float = 0.0) -> float:
    """Dry matter of one sample: dry mass over wet mass, the plate taken off both.

    wet_g, dry_g: what the scale showed before and after, plate included (0..100000 g);
    plate_g: the empty plate. Raises BadInput when the sample is nothing or got heavier.
    Source key: `jacobsen-microwave`.
    """
    require_between("plate_g", plate_g, 0.0, _MOST_G)
    require_between("wet_g", wet_g, 0.0, _MOST_G)
    require_between("dry_g", dry_g, 0.0, _MOST_G)
    if not plate_g < wet_g:
        raise BadInput(
            Fault("wet_g", f"more than the plate's {plate_g:g}", f"{wet_g!r}", "Weigh it again.")
        )
    if not plate_g <= dry_g <= wet_g:
        need = f"a mass from {plate_g:g} to {wet_g:g}"
        raise BadInput(
            Fault("dry_g", need, f"{dry_g!r}", "A sample only gets lighter: weigh again.")
        )
    return (dry_g - plate_g) / (wet_g - plate_g)


def summarise(dry_matters_frac: Sequence[float], confidence: float = 0.95) -> Samples:
    """Mean of several samples of one lot, with its confidence interval by Student's t.

    dry_matters_frac: one or more, 0..1 each; confidence: 0.5..0.999. Valid where the samples were
    taken at random over the lot. Raises BadInput otherwise. Source key: `nist-mavro`.
    """
    require_between("confidence", confidence, 0.5, 0.999)
    count = require_count("samples", len(dry_matters_frac), 1, MOST_SAMPLES)
    for value in dry_matters_frac:
        require_between("dry_matter_frac", value, 0.0, 1.0)
    mean, deviation = mean_and_deviation(dry_matters_frac)
    if deviation is None:
        return Samples(mean, None, count, None)
    half = student_t(confidence, count - 1) * deviation / math.sqrt(count)
    within = Interval(max(mean - half, 0.0), mean, min(mean + half, 1.0), confidence)
    return Samples(mean, deviation, count, within)


def mean_and_deviation(values: Sequence[float]) -> tuple[float, float | None]:
    """Mean and standard deviation (n - 1) of one or more finite values; None for one value.

    Sums are exact and taken about the mean. Source key: `nist-mavro`.
    """
    count = len(values)
    mean = math.fsum(values) / count
    if count == 1:
        return mean, None
    square = math.fsum((value - mean) ** 2 for value in values)
    return mean, math.sqrt(square / (count - 1))


def samples_needed(
    deviation_frac: float, pilot: int, within_frac: float, confidence: float = 0.95
) -> int:
    """How many samples in all bring the mean within +- `within_frac`, from a first few.

    deviation_frac: standard deviation of the first samples (0..1); pilot: how many those were
    (2..10000); within_frac: half width wanted, in the same unit; confidence: two-sided, 0.5..0.999.
    n = (t s / E)^2 with the first samples' degrees of freedom, never fewer than were taken.
    Raises BadInput outside those ranges. Source key: `mississippi-sample-adequacy`.
    """
    require_between("deviation_frac", deviation_frac, 0.0, 1.0)
    require_between("within_frac", within_frac, 1e-6, 1.0)
    require_between("confidence", confidence, 0.5, 0.999)
    require_count("pilot", pilot, 2, MOST_SAMPLES)
    ratio = student_t(confidence, pilot - 1) * deviation_frac / within_frac
    return max(pilot, math.ceil(ratio**2 - 1e-9))


def with_volatiles(oven_frac: float) -> Interval | None:
    """What oven-dried silage may truly hold, volatiles counted in; never applied by itself.

    oven_frac: dry matter of fermented silage by oven, 0..1. None outside 0.15 to 0.50, where our
    memory of the correction does not reach. Source key: `volatile-loss-memory`.
    """
    require_between("oven_frac", oven_frac, 0.0, 1.0)
    if not _VOLATILE_FROM_FRAC <= oven_frac <= _VOLATILE_TO_FRAC:
        return None
    best = 0.0208 + 0.975 * oven_frac
    low, high = oven_frac + _VOLATILE_LOW_FRAC, oven_frac + _VOLATILE_HIGH_FRAC
    return Interval(min(low, best), best, max(high, best))


def fresh_mass_kg(dry_kg: float, moisture_frac: float) -> float:
    """Fresh mass that holds so much dry matter (kg, 0..1e6) at a moisture of 0..0.95.

    Source key: `georgia-sb58`.
    """
    require_between("dry_kg", dry_kg, 0.0, _MOST_KG)
    require_between("moisture_frac", moisture_frac, 0.0, 0.95)
    return dry_kg / (1.0 - moisture_frac)


def mass_at_moisture_kg(mass_kg: float, moisture_frac: float, wanted_frac: float) -> float:
    """The mass of the same crop at another moisture: dry matter stays, water goes or comes.

    mass_kg: 0..1e6 at `moisture_frac`; wanted_frac: the other moisture; both 0..0.95, wet basis.
    Source key: `ward-moisture`.
    """
    require_between("mass_kg", mass_kg, 0.0, _MOST_KG)
    require_between("moisture_frac", moisture_frac, 0.0, 0.95)
    return fresh_mass_kg(mass_kg * (1.0 - moisture_frac), wanted_frac)
