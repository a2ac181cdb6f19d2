"""What one layer more takes and what it saves, without a price: film against dry matter lost."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final

from balewright.pictures.plot import BLUE, ORANGE, Axis, Plot, legend, picture, words
from balewright.plan.keeping.keep import Kept, School
from balewright.plan.keeping.least_cost import FEWEST_LAYERS
from balewright.quantities.reason import Reason, ReasonValue, because

Say = Callable[[Reason], str]

_COLOURS: Final = {School.WELL_MADE: BLUE, School.BARRIER_TRIALS: ORANGE}
_HIGH: Final = 230.0
_APART: Final = 13.0
"""Numbers of layers nearer than this would run into each other."""


@dataclass(frozen=True)
class LayerTrade:
    """One number of layers: film_kg on a bale, and how the bale keeps under it."""

    film_kg: float
    kept: Kept


def draw_layer_trade(trades: Sequence[LayerTrade], layers: int, dm_kg: float, say: Say) -> str:
    """Dry matter lost over film used, both a tonne of dry matter, one point a layer.

    trades: rising in layers, those under four left out; layers: the ones that are set; dm_kg: of
    a bale; say: a reason (`trade.*`) to a sentence. Bands run over what each school leaves open.
    """

    def said(key: str, **values: ReasonValue) -> str:
        return say(because(f"trade.{key}", **values))

    shown = [one for one in trades if one.kept.layers >= FEWEST_LAYERS]
    film = [one.film_kg * 1000.0 / dm_kg for one in shown]
    most = max(one.kept.total_frac.high for one in shown)
    plot = Plot(
        Axis(0.9 * film[0], film[-1] + 0.1 * film[0], said("film")),
        Axis(0.0, 100.0 * min(1.0, most * 1.1), said("lost")),
        said("title"),
        _HIGH,
    )
    parts = [plot.frame()]
    for school, colour in _COLOURS.items():
        totals = [one.kept.of(school).total_frac for one in shown]
        ends = [
            [(x, 100.0 * getattr(total, end)) for x, total in zip(film, totals, strict=True)]
            for end in ("low", "best", "high")
        ]
        parts += [plot.band(ends[0], ends[2], colour), plot.line(ends[1], colour)]
        for one, (x, y) in zip(shown, ends[1], strict=True):
            if one.kept.layers == layers:
                parts.append(plot.mark(x, y, colour))
    parts += _numbers(plot, shown, film, layers)
    entries = [
        (colour, said(f"school.{school.name.lower()}")) for school, colour in _COLOURS.items()
    ]
    parts += [legend(_HIGH + 16.0, entries), words(4, _HIGH + 52.0, said("band"))]
    told = "; ".join(
        said(
            "point",
            layers=one.kept.layers,
            film_kg=x,
            low_frac=one.kept.of(School.WELL_MADE).total_frac.best,
            high_frac=one.kept.of(School.BARRIER_TRIALS).total_frac.best,
        )
        for one, x in zip(shown, film, strict=True)
    )
    return picture(_HIGH + 58.0, said("title"), f"{told}.", *parts)


def _numbers(
    plot: Plot, shown: Sequence[LayerTrade], film: Sequence[float], layers: int
) -> list[str]:
    """Layers above the upper line, the set ones in bold, as many as do not run together."""
    parts, last = [], -_APART
    for one, x in zip(shown, film, strict=True):
        above = max(one.kept.of(school).total_frac.best for school in School)
        across, up = plot.at(x, 100.0 * above)
        is_set = one.kept.layers == layers
        if across - last >= _APART or is_set:
            weight = "700" if is_set else "400"
            parts.append(
                words(across, up - 9, f"{one.kept.layers}", anchor="middle", weight=weight)
            )
            last = across
    return parts
