"""A moisture probe against the oven: its calibration, and what a reading then means.

A probe shows how a bale conducts, not how wet it is: density, crop and preservative all move it.
Pairs of probe and oven readings from the same bales turn it into a measurement with an honest
error; without them a reading is a hint.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from balewright.plan.keeping.straight_line import Line, fit_line
from balewright.quantities.checks import require_between
from balewright.quantities.errors import BadInput, Fault
from balewright.quantities.interval import Interval

LEAST_PAIRS: Final = 5
"""Fewer pairs than this give an interval too wide to help (ours)."""


@dataclass(frozen=True)
class ProbePair:
    """One bale measured both ways, moisture 0..1 wet basis."""

    probe_frac: float
    oven_frac: float


@dataclass(frozen=True)
class Calibration:
    """A probe's line (oven over probe) and the readings it was made from.

    from_frac, to_frac: lowest and highest probe reading of the pairs; nothing is said outside.
    """

    line: Line
    from_frac: float
    to_frac: float

    def bias_frac(self) -> float:
        """How much the probe reads above the oven in the middle of its pairs."""
        return self.line.mean_x - self.line.at(self.line.mean_x)

    def moisture_frac(self, reading_frac: float, confidence: float = 0.95) -> Interval | None:
        """What one reading (0..1) says about a bale, as a prediction interval.

        confidence: 0.5..0.999. None for a reading outside the pairs: a line is not carried on
        beyond what it was made from. Source key: `montgomery-propellant`.
        """
        require_between("reading_frac", reading_frac, 0.0, 1.0)
        require_between("confidence", confidence, 0.5, 0.999)
        if not self.from_frac <= reading_frac <= self.to_frac:
            return None
        said = self.line.predict(reading_frac, confidence)
        low, best, high = (min(max(end, 0.0), 1.0) for end in (said.low, said.best, said.high))
        return Interval(low, best, high, confidence)


def calibrate_probe(pairs: Sequence[ProbePair]) -> Calibration:
    """The calibration of a probe from bales measured both ways.

    pairs: five or more, 0..1 each, at different readings. Raises BadInput otherwise, and where the
    line does not rise: a probe that reads less in wetter bales is no probe.
    Source key: `nist-norris`.
    """
    if len(pairs) < LEAST_PAIRS:
        need = f"{LEAST_PAIRS} pairs or more"
        raise BadInput(Fault("pairs", need, f"{len(pairs)}", "Measure more bales both ways."))
    for pair in pairs:
        require_between("probe_frac", pair.probe_frac, 0.0, 1.0)
        require_between("oven_frac", pair.oven_frac, 0.0, 1.0)
    line = fit_line([(pair.probe_frac, pair.oven_frac) for pair in pairs])
    if line.slope <= 0.0:
        need = "pairs in which the probe rises with the oven"
        raise BadInput(Fault("pairs", need, f"a slope of {line.slope:.3g}", "Check the pairs."))
    readings = [pair.probe_frac for pair in pairs]
    return Calibration(line, min(readings), max(readings))
