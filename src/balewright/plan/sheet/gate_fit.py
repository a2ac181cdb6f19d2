"""Which size setting brings a full chamber to its opening: fitted to a few readings.

A gate goes on opening between the moment the machine calls the chamber full and the moment crop
stops, the further the more crop comes in. So what is fitted is the overshoot (opening less
setting) against the feed rate: a straight line, or a mean where readings show no rise.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from balewright.plan.keeping.straight_line import LEAST_POINTS, Line, fit_line, student_t
from balewright.plan.sheet.sheet import GateReading, Row
from balewright.quantities.checks import require_between
from balewright.quantities.errors import BadInput, Fault
from balewright.quantities.interval import Interval
from balewright.quantities.si import KM_H_PER_M_S

ROW_KG_M: Final = {Row.LIGHT: 1.75, Row.MIDDLE: 3.75, Row.HEAVY: 6.5}
"""What a row of that look weighs (assumed; only the order is sure)."""
CONFIDENCE: Final = 0.95
_MM: Final = (0.0, 300.0)
_T_H: Final = (0.1, 500.0)


@dataclass(frozen=True)
class GateFit:
    """What the readings say.

    line: overshoot (mm) against feed rate (t/h), None where they show no rise with it; mean_mm,
    deviation_mm: of the overshoot over all readings; seen_t_h: lowest and highest feed rate read.
    """

    readings: int
    line: Line | None
    mean_mm: float
    deviation_mm: float
    seen_t_h: tuple[float, float]

    def overshoot_mm(self, feed_t_h: float) -> Interval:
        """How much further than set the gate opens for one more bale, with 95 %."""
        require_between("feed_t_h", feed_t_h, *_T_H)
        if self.line is not None:
            return self.line.predict(feed_t_h, CONFIDENCE)
        spread_mm = self.deviation_mm * math.sqrt(1.0 + 1.0 / self.readings)
        half_mm = student_t(CONFIDENCE, self.readings - 1) * spread_mm
        return Interval(self.mean_mm - half_mm, self.mean_mm, self.mean_mm + half_mm, CONFIDENCE)

    def setting_mm(self, target_mm: float, feed_t_h: float) -> Interval:
        """The size setting that brings a full chamber to `target_mm` (0..300) at this feed rate
        (0.1..500 t/h). `best` never rises with the feed rate.
        """
        require_between("target_mm", target_mm, *_MM)
        over = self.overshoot_mm(feed_t_h)
        ends = (target_mm - over.high, target_mm - over.best, target_mm - over.low)
        return Interval(*ends, CONFIDENCE)

    def has_seen(self, feed_t_h: float) -> bool:
        """Whether this feed rate lies among those read; beyond them the line is drawn on."""
        return self.seen_t_h[0] <= feed_t_h <= self.seen_t_h[1]


def reading_feed_t_h(reading: GateReading, speed_m_s: float) -> float:
    """The feed rate of a reading; from how heavy the row looked at this speed where not known."""
    if reading.feed_t_h is not None:
        return reading.feed_t_h
    if reading.row is None:
        need = "a feed rate, or how heavy the row looked"
        raise BadInput(Fault("gate_readings", need, "neither", "Say light, middle or heavy."))
    require_between("speed_m_s", speed_m_s, 0.1, 10.0)
    return ROW_KG_M[reading.row] * speed_m_s * KM_H_PER_M_S


def fit_gate(readings: Sequence[GateReading], speed_m_s: float) -> GateFit | None:
    """The overshoot of the gate against the feed rate; None for fewer than three readings.

    readings: openings and settings in mm (0..300), feed rate in t/h (0.1..500) or the row's look;
    speed_m_s: (0.1..10) at which rows were looked at. Least squares. A line that falls is not
    believed, because more crop cannot close a gate: the mean stands instead. Raises BadInput for
    numbers outside. Valid for one machine in one crop, near the feed rates read.
    Source key: `montgomery-propellant` for the line, `practice` for the direction.
    """
    points = []
    for number, reading in enumerate(readings):
        place = f"gate_readings[{number}]"
        opening_mm = require_between(f"{place}.opening_mm", reading.opening_mm, *_MM)
        setting_mm = require_between(f"{place}.setting_mm", reading.setting_mm, *_MM)
        feed_t_h = reading_feed_t_h(reading, speed_m_s)
        require_between(f"{place}.feed_t_h", feed_t_h, *_T_H)
        points.append((feed_t_h, opening_mm - setting_mm))
    if len(points) < LEAST_POINTS:
        return None
    feeds = [feed_t_h for feed_t_h, _ in points]
    low_t_h, high_t_h = min(feeds), max(feeds)
    mean_mm = math.fsum(over_mm for _, over_mm in points) / len(points)
    squares = math.fsum((over_mm - mean_mm) ** 2 for _, over_mm in points)
    line = fit_line(points) if low_t_h < high_t_h else None
    return GateFit(
        readings=len(points),
        line=line if line is not None and line.slope > 0.0 else None,
        mean_mm=mean_mm,
        deviation_mm=math.sqrt(squares / (len(points) - 1)),
        seen_t_h=(low_t_h, high_t_h),
    )
