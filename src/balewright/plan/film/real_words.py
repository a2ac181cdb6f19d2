"""Where a spot of a real bale is, as a reason that can be said in words."""

from __future__ import annotations

import math
from typing import Final

from balewright.plan.film.real_count import Side, Spot
from balewright.plan.film.shape import Shape
from balewright.quantities.reason import Reason, because
from balewright.quantities.si import M_PER_MM

_MIDDLE_M: Final = 0.005
"""Nearer to the middle than this is the middle."""
_TURN_DEG: Final = 360.0


def place_words(shape: Shape, spot: Spot) -> Reason:
    """Where the spot is: side, how far along or out, how far round from the first strip."""
    round_m = spot.place_turn * 2.0 * math.pi * spot.radius_m
    if spot.side is Side.ROUND:
        if abs(spot.along_m) < _MIDDLE_M:
            return because("real.place.middle", round_m=round_m)
        key = "body_left" if spot.along_m < 0.0 else "body_right"
        return because(f"real.place.{key}", along_mm=abs(spot.along_m) / M_PER_MM, round_m=round_m)
    left = spot.side in (Side.LEFT_SHOULDER, Side.LEFT_FLAT)
    if spot.side in (Side.LEFT_SHOULDER, Side.RIGHT_SHOULDER):
        return because(f"real.place.shoulder_{'left' if left else 'right'}", round_m=round_m)
    side, degrees = (1 if left else 2), spot.place_turn * _TURN_DEG
    if spot.radius_m < _MIDDLE_M:
        return because("real.place.centre", side=side)
    if shape.flat_radius_m(side - 1) - spot.radius_m < _MIDDLE_M:
        return because("real.place.rim", side=side, degrees_deg=degrees)
    out_mm = spot.radius_m / M_PER_MM
    return because("real.place.flat", side=side, out_mm=out_mm, degrees_deg=degrees)
