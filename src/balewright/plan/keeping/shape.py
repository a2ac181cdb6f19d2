"""How much of a bale lies near its film."""

from __future__ import annotations

import math

from balewright.plan.film.strip import Bale
from balewright.quantities.checks import require_between, require_count


def surface_m2(bale: Bale) -> float:
    """Round side and both flat sides of the cylinder, m2. Source key: `geometry`."""
    return math.pi * bale.diameter_m * (bale.length_m + bale.diameter_m / 2.0)


def volume_m3(bale: Bale) -> float:
    """Volume of the cylinder, m3. Source key: `geometry`."""
    return math.pi * bale.diameter_m**2 / 4.0 * bale.length_m


def share_within(bale: Bale, depth_m: float, *, ends: bool = True) -> float:
    """Share of the volume that lies within `depth_m` (0 to 3) of the surface.

    ends: whether the flat sides count as surface too. Source key: `geometry`.
    """
    require_between("depth_m", depth_m, 0.0, 3.0)
    across = max(0.0, 1.0 - 2.0 * depth_m / bale.diameter_m)
    along = max(0.0, 1.0 - 2.0 * depth_m / bale.length_m) if ends else 1.0
    return 1.0 - across**2 * along


def contact_per_m(bale: Bale) -> float:
    """Square metres of film against each cubic metre of crop, 1/m. Source key: `geometry`."""
    return surface_m2(bale) / volume_m3(bale)


def film_kg(bale: Bale, layer_m: float, layers: int, kg_m3: float = 925.0) -> float:
    """Film for `layers` (0 to 40) on the round side, kg.

    layer_m: laid thickness, 2e-6 to 100e-6; kg_m3: density of film. Strips cross on the flat
    sides, so those get twice the layers; that film is counted. Source key: `geometry`.
    """
    require_between("layer_m", layer_m, 2e-6, 100e-6)
    require_count("layers", layers, 0, 40)
    laid_m2 = layers * math.pi * bale.diameter_m * (bale.diameter_m + bale.length_m)
    return laid_m2 * layer_m * kg_m3
