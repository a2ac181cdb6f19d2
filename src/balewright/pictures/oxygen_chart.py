"""Oxygen through whole film, month by month, in different climates."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Final

from balewright.pictures.plot import SERIES, Axis, Plot, legend, picture, words
from balewright.plan.keeping.climate import Climate, Stay
from balewright.plan.keeping.oxygen import Cover, dose_mol_m2
from balewright.quantities.interval import Interval
from balewright.quantities.reason import Reason, ReasonValue, because

Say = Callable[[Reason], str]

_HIGH: Final = 218.0
_LAST: Final = 18


def draw_oxygen(cover: Cover, layers: int, climates: Sequence[Climate], say: Say) -> str:
    """Oxygen that has come through `layers` by each month of 18 from June, a line a climate, SVG.

    climates: one to five; the field of the first shows the spread of its permeability. say: a
    reason (`keeping.oxygen.*`) to a sentence.
    """

    def said(key: str, **values: ReasonValue) -> str:
        return say(because(f"keeping.oxygen.{key}", **values))

    grown = {one.name: _grown(cover, layers, one) for one in climates}
    most = max(doses[-1].high for doses in grown.values())
    plot = Plot(
        Axis(0.0, float(_LAST), said("x")),
        Axis(0.0, most, said("y")),
        said("heading", layers=layers),
        _HIGH,
    )
    first = grown[climates[0].name]
    drawn = [
        plot.frame(),
        plot.band(
            [(month, one.low) for month, one in enumerate(first)],
            [(month, one.high) for month, one in enumerate(first)],
            SERIES[0],
        ),
    ]
    for colour, doses in zip(SERIES, grown.values(), strict=False):
        drawn.append(plot.line([(month, one.best) for month, one in enumerate(doses)], colour))
    entries = [(colour, one.name) for colour, one in zip(SERIES, climates, strict=False)]
    drawn.append(legend(_HIGH + 18.0, entries))
    bottom = _HIGH + 18.0 + 16.0 * len(entries)
    drawn.append(words(4, bottom + 2.0, said("spread", climate=climates[0].name)))
    told = "; ".join(
        said("told", climate=name, dose=f"{doses[12].best:.1f}") for name, doses in grown.items()
    )
    return picture(bottom + 16.0, said("title", layers=layers), told, *drawn)


def _grown(cover: Cover, layers: int, climate: Climate) -> list[Interval]:
    return [
        dose_mol_m2(cover, layers, Stay(climate, 6, float(month))) for month in range(_LAST + 1)
    ]
