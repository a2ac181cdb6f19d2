"""Layers on a real bale by throwing points at it: nothing of the code under test is called.

Points are spread evenly over the true surface in three dimensions. Film is laid event by event: a
ring stands in space, its plane y = height + x tan(tilt); the bale turns; a strip's middle line is
where the plane meets the bale at the moment the film gets there. On the round side a point has
the strip when its way round to that line, square to the line (its slope is taken from tangents in
three dimensions and from the bale's turning), is within half a strip. On a flat side the line
is the straight one between the points where film came over the rim and left it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

SIDES = ("round", "left_shoulder", "right_shoulder", "left_flat", "right_flat")
_CHUNK = 25_000


@dataclass(frozen=True)
class Thrown:
    """A bale and how it is wrapped, in plain numbers.

    girths: (from, to, turns, start) of bands, in metres over the surface and turns; turned: turns
    of the bale by a time in wrap turns; tail: (share of the width, half turns).
    """

    left_m: float
    middle_m: float
    right_m: float
    length_m: float
    shoulder_m: float
    strip_m: float
    half_turns: int
    dispensers: int
    turned: object
    height_m: float = 0.0
    tilt_rad: float = 0.0
    skew: float = 0.0
    tail: tuple[float, int] = (1.0, 0)
    girths: tuple[tuple[float, float, float, float], ...] = ()

    def radius(self, x: np.ndarray) -> np.ndarray:
        """Radius of the whole round side at places along the axis, shoulders included."""
        half = self.length_m / 2 - self.shoulder_m
        share = np.clip(x / half, -1, 1)
        body = (
            self.middle_m
            + share * (self.right_m - self.left_m) / 2
            + share**2 * ((self.right_m + self.left_m) / 2 - self.middle_m)
        ) / 2
        past = np.maximum(0.0, np.abs(x) - half)
        drop = self.shoulder_m - np.sqrt(np.maximum(0.0, self.shoulder_m**2 - past**2))
        return body - drop


def _way_table(bale: Thrown) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Axis place, radius and way over the surface from the middle, finely from left to right."""
    half, rho = bale.length_m / 2 - bale.shoulder_m, bale.shoulder_m
    x = np.linspace(-half, half, 8001)
    r = bale.radius(x)
    if rho > 0:
        angle = np.linspace(0, math.pi / 2, 2001)[1:]
        out, down = rho * np.sin(angle), rho * (1 - np.cos(angle))
        x = np.concatenate([(-half - out)[::-1], x, half + out])
        r = np.concatenate([(r[0] - down)[::-1], r, r[-1] - down])
    way = np.concatenate([[0.0], np.cumsum(np.hypot(np.diff(x), np.diff(r)))])
    return x, r, way - np.interp(0.0, x, way)


def throw(bale: Thrown, points: int, seed: int) -> dict[str, tuple[np.ndarray, float]]:
    """For every side: layers of the points that fell on it, and the side's area."""
    random = np.random.default_rng(seed)
    x, r, way = _way_table(bale)
    rings = np.concatenate([[0.0], np.cumsum(math.pi * (r[1:] + r[:-1]) * np.diff(way))])
    rims = (r[0], r[-1])
    areas = (rings[-1], math.pi * rims[0] ** 2, math.pi * rims[1] ** 2)
    numbers = random.multinomial(points, np.array(areas) / sum(areas))
    path = 2 * (way[-1] - way[0]) + 2 * rims[0] + 2 * rims[1]
    here = np.interp(np.sort(random.uniform(0, rings[-1], numbers[0])), rings, way)
    around = random.uniform(0, 2 * math.pi, numbers[0])
    layers = np.concatenate(
        [
            _on_round(bale, (x, r, way), path, here[i : i + _CHUNK], around[i : i + _CHUNK])
            for i in range(0, numbers[0], _CHUNK)
        ]
    )
    half = bale.length_m / 2 - bale.shoulder_m
    place = np.interp(here, way, x)
    found = {
        "round": layers[np.abs(place) <= half],
        "left_shoulder": layers[place < -half],
        "right_shoulder": layers[place > half],
    }
    for side in (0, 1):
        out = rims[side] * np.sqrt(random.random(numbers[1 + side]))
        turn = random.uniform(0, 2 * math.pi, numbers[1 + side])
        flat = np.stack([out * np.cos(turn), out * np.sin(turn)]).astype(np.float32)
        found[SIDES[3 + side]] = np.concatenate(
            [
                _on_flat(bale, side, (way[-1] - way[0]) / path, rims[side], flat[:, i : i + _CHUNK])
                for i in range(0, flat.shape[1], _CHUNK)
            ]
        )
    return {name: (got, sum(areas) * len(got) / points) for name, got in found.items()}


def layers_at(bale: Thrown, side: str, along_m: float, radius_m: float, place_turn: float) -> int:
    """Layers on one point of the surface."""
    x, r, way = _way_table(bale)
    path = 2 * (way[-1] - way[0]) + 2 * r[0] + 2 * r[-1]
    angle = 2 * math.pi * place_turn
    if side.endswith("flat"):
        which = 0 if side == "left_flat" else 1
        point = radius_m * np.array([[math.cos(angle)], [math.sin(angle)]])
        share = (way[-1] - way[0]) / path
        return int(_on_flat(bale, which, share, (r[0], r[-1])[which], point)[0])
    s, around = np.interp(np.array([along_m]), x, way), np.array([angle])
    return int(_on_round(bale, (x, r, way), path, s, around)[0])


def _events(bale: Thrown):  # type: ignore[no-untyped-def]
    for half in range(bale.half_turns):
        for dispenser in range(bale.dispensers):
            width = bale.strip_m * (bale.tail[0] if half < bale.tail[1] else 1.0)
            yield half, (half + dispenser) % 2, width


def _in_space(bale: Thrown, table, s: np.ndarray, face: int) -> np.ndarray:  # type: ignore[no-untyped-def]
    """Where the ring's plane meets the bale at ways s, on one side of it: 3-D points in space."""
    place, radius = np.interp(s, table[2], table[0]), np.interp(s, table[2], table[1])
    height = bale.height_m + place * math.tan(bale.tilt_rad)
    return np.stack([place, np.sqrt(radius**2 - height**2) * (1, -1)[face], height])


def _on_round(bale: Thrown, table, path: float, s: np.ndarray, around: np.ndarray) -> np.ndarray:  # type: ignore[no-untyped-def]
    """Points are turned with the bale to the moment at which film comes to their circle."""
    radius = np.interp(s, table[2], table[1]).astype(np.float32)
    step = 1e-4
    inside = np.clip(s, table[2][0] + step, table[2][-1] - step)
    angles, leans = [], []
    for face in (0, 1):
        line = _in_space(bale, table, s, face)
        ahead, behind = (_in_space(bale, table, inside + d, face) for d in (step, -step))
        angle = np.arctan2(line[2], line[1])
        on_circle = np.cos(angle) * (ahead - behind)[2] - np.sin(angle) * (ahead - behind)[1]
        angles.append((angle / (2 * math.pi)).astype(np.float32))
        leans.append((on_circle / (2 * step)).astype(np.float32))  # metres round per metre on
    turn, early = (around / (2 * math.pi)).astype(np.float32), (s / path).astype(np.float32)
    layers = np.zeros(len(s), dtype=np.int32)
    for half, face, width in _events(bale):
        time = half / 2 + bale.skew * (-1, 1)[face] * early if bale.skew else half / 2
        apart = turn - angles[face] + bale.turned(time)  # type: ignore[operator]
        apart = np.abs(apart - np.rint(apart)) * (np.float32(2 * math.pi) * radius)
        rate = bale.turned(half / 2 + 1e-3) - bale.turned(half / 2 - 1e-3)  # type: ignore[operator]
        back = bale.skew * (-1, 1)[face] * rate / 2e-3 * 2 * math.pi / path
        lean = leans[face] - np.float32(back) * radius
        layers += apart <= np.float32(width / 2) * np.sqrt(1 + lean**2)
    for low, high, turns, start in bale.girths:
        lies = (s > low) & (s < high)
        begun = (around / (2 * math.pi) - start) % 1.0 < turns - math.floor(turns)
        layers += np.where(lies, math.floor(turns) + begun, 0).astype(np.int32)
    return layers


def _on_flat(bale: Thrown, side: int, share: float, rim: float, points: np.ndarray) -> np.ndarray:
    layers = np.zeros(points.shape[1], dtype=np.int32)
    height = bale.height_m + (-1, 1)[side] * bale.length_m / 2 * math.tan(bale.tilt_rad)
    off = math.sqrt(rim**2 - height**2)
    for half, face, width in _events(bale):
        if face != side:
            continue
        lasts = bale.skew * (0.5 - share) / 2
        line = []
        for across, early in ((off, -lasts), (-off, lasts)):
            there = across if face == 0 else -across
            back = -2 * math.pi * bale.turned(half / 2 + 0.25 + early)  # type: ignore[operator]
            cos, sin = math.cos(back), math.sin(back)
            line.append((there * cos - height * sin, there * sin + height * cos))
        (y0, z0), (y1, z1) = line
        long = math.hypot(y1 - y0, z1 - z0)
        square = np.float32((y1 - y0) / long), np.float32((z1 - z0) / long)
        apart = square[0] * points[1] - square[1] * points[0]
        apart -= np.float32(square[0] * z0 - square[1] * y0)
        layers += np.abs(apart) <= np.float32(width / 2)
    return layers
