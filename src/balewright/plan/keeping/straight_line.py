"""A straight line through measured points, with what it leaves open.

Used for a probe's calibration and for the run of a bale's temperature. Sums are taken about the
means and added exactly, so that large numbers do not eat small differences.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from scipy.special import stdtrit

from balewright.quantities.errors import BadInput, Fault
from balewright.quantities.interval import Interval

LEAST_POINTS = 3
"""Two points leave nothing to judge the line by."""


@dataclass(frozen=True)
class Line:
    """y = intercept + slope x, fitted by least squares; in the units of its points.

    residual: standard deviation about the line; mean_x, spread_x: mean of x and sum of squares
    about it; spread_y: the same for y; points: how many. Source key: `montgomery-propellant`.
    """

    slope: float
    intercept: float
    residual: float
    points: int
    mean_x: float
    spread_x: float
    spread_y: float

    @property
    def freedom(self) -> int:
        """Degrees of freedom left: points less two."""
        return self.points - 2

    @property
    def slope_error(self) -> float:
        """Standard error of the slope."""
        return self.residual / math.sqrt(self.spread_x)

    @property
    def intercept_error(self) -> float:
        """Standard error of the intercept."""
        return self.residual * math.sqrt(1.0 / self.points + self.mean_x**2 / self.spread_x)

    @property
    def explained_frac(self) -> float:
        """R squared: share of y's spread that the line explains; 1 where y does not vary."""
        if self.spread_y == 0.0:
            return 1.0
        return self.slope**2 * self.spread_x / self.spread_y

    def at(self, x: float) -> float:
        """The line's y at x."""
        return self.intercept + self.slope * x

    def mean_error(self, x: float) -> float:
        """Standard error of the line itself at x."""
        return self.residual * math.sqrt(1.0 / self.points + (x - self.mean_x) ** 2 / self.spread_x)

    def new_error(self, x: float) -> float:
        """Standard error of one new measurement about the line at x."""
        return math.hypot(self.residual, self.mean_error(x))

    def predict(self, x: float, confidence: float) -> Interval:
        """Where one new measurement at x lies, with that confidence (0.5..0.999)."""
        best, half = self.at(x), student_t(confidence, self.freedom) * self.new_error(x)
        return Interval(best - half, best, best + half, confidence)

    def slope_within(self, confidence: float) -> Interval:
        """The slope with its confidence interval (0.5..0.999)."""
        half = student_t(confidence, self.freedom) * self.slope_error
        return Interval(self.slope - half, self.slope, self.slope + half, confidence)


def student_t(confidence: float, freedom: int) -> float:
    """Student's t that leaves (1 - confidence)/2 on each side, for that many degrees of freedom."""
    return float(stdtrit(freedom, 0.5 + confidence / 2.0))


def fit_line(points: Sequence[tuple[float, float]]) -> Line:
    """The least-squares line through (x, y) points.

    points: three or more, finite, x not all the same. Raises BadInput otherwise.
    Source key: `montgomery-propellant`.
    """
    count = len(points)
    if count < LEAST_POINTS:
        raise BadInput(
            Fault("points", f"{LEAST_POINTS} points or more", f"{count}", "Measure more of them.")
        )
    if not all(math.isfinite(number) for point in points for number in point):
        raise BadInput(Fault("points", "finite numbers", repr(points), "Leave out the unknown."))
    if min(x for x, _ in points) == max(x for x, _ in points):
        raise BadInput(
            Fault("points", "points at different places", "all at one", "Spread them out.")
        )
    mean_x = math.fsum(x for x, _ in points) / count
    mean_y = math.fsum(y for _, y in points) / count
    spread_x = math.fsum((x - mean_x) ** 2 for x, _ in points)
    spread_xy = math.fsum((x - mean_x) * (y - mean_y) for x, y in points)
    slope = spread_xy / spread_x
    left = math.fsum((y - mean_y - slope * (x - mean_x)) ** 2 for x, y in points)
    return Line(
        slope=slope,
        intercept=mean_y - slope * mean_x,
        residual=math.sqrt(left / (count - 2)),
        points=count,
        mean_x=mean_x,
        spread_x=spread_x,
        spread_y=math.fsum((y - mean_y) ** 2 for _, y in points),
    )
