"""What rests on the user, the machine or ourselves."""

from __future__ import annotations

from typing import Final

from balewright.quantities.source import Source, Strength

ENTRIES: Final[tuple[Source, ...]] = (
    Source("practice", Strength.PRACTICE, "Common practice of the trade, no source."),
    Source("profile", Strength.STANDARD, "The machine's own profile."),
    Source("label", Strength.STANDARD, "The label of the film or net roll, as given by the user."),
    Source("geometry", Strength.DERIVED, "Geometry of a strip on a cylinder; docs/models/film.md."),
    Source("given", Strength.STANDARD, "Given by the user for this job."),
    Source("assumed", Strength.ASSUMED, "Our own assumption; change it where you know better."),
)
