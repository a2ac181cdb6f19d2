"""Sums of a rate and of a sensor's steps in plain Python, written again from what they mean."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np


@dataclass
class PlainRate:
    """events of bales: the guess; what waits and what was learnt of late stand beside it."""

    events: float
    bales: float
    limits: tuple[float, float]
    learning: int

    def walk(self, counts: np.ndarray, groups: np.ndarray) -> tuple[int, int]:
        """Place and number of the sum that first tells, (-1, 0) for none; nothing explains."""
        sums, gains = [0.0, 0.0], [0.0, 0.0]
        waiting, recent, judged = [0.0, 0.0], [0.0, 0.0], 0
        for at, count in enumerate(counts):
            if groups[at]:
                gains = [0.0, 0.0]
            if math.isnan(count):
                continue
            rate = (self.events + 0.8 * math.sqrt(self.events) + 0.5) / self.bales
            judges = judged >= self.learning and self.events >= 5
            waiting = [waiting[0] + count, waiting[1] + 1]
            told = 0
            for which, times in enumerate((3.0, 6.0)):
                if not judges:
                    break
                limit = math.log(rate) + self.limits[which]
                gain = min(count * math.log(times) - rate * (times - 1), 0.6 * limit - gains[which])
                if sums[which] <= 0:
                    gains[which] = 0.0
                sums[which] = max(0.0, sums[which] + gain)
                gains[which] = max(0.0, gains[which] + gain)
                if sums[which] > limit and not told:
                    told = which + 1
            if max(sums) <= 0:
                recent = [recent[0] + waiting[0], recent[1] + waiting[1]]
                waiting = [0.0, 0.0]
                if recent[1] >= (1000 if judges else 0):
                    self.events, self.bales = self.events + recent[0], self.bales + recent[1]
                    recent = [0.0, 0.0]
            judged += 1
            if told:
                return at, told
        return -1, 0
