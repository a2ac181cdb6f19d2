"""Outlines of fields, so that a bale's place says which field it lies in."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Outline:
    """A field's boundary.

    field, farm, customer: as a file or a person names them; source: hash of the file, None for
    what somebody entered; rings: outer rings and holes, each as (latitude, longitude) pairs in
    WGS 84 degrees, closed or not: a place is inside where an odd number of rings goes round it.
    """

    field: str
    rings: tuple[tuple[tuple[float, float], ...], ...]
    farm: str | None = None
    customer: str | None = None
    source: str | None = None
