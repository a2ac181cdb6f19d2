"""The film each bale got by its own record, and the newest bale that can be drawn from it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from balewright.findings.film import Film, count_film
from balewright.findings.layers import is_short
from balewright.findings.planned import PlannedBale, plan_of
from balewright.findings.watched import Bools, Floats, Watched, watch_as_given
from balewright.plan.film.layers import Bale, LayerCount, Wrapping, count_layers
from balewright.plan.machine import Machine
from balewright.plan.sheet.sheet import Sheet
from balewright.records.bales import BaleTable


@dataclass(frozen=True)
class FilmBale:
    """One bale as its record tells it: number (None unknown), what it got, layers wanted; sized:
    whether the diameter is its own, not the planned one.
    """

    bale_no: int | None
    bale: Bale
    wrapping: Wrapping
    count: LayerCount
    need: int
    sized: bool


@dataclass(frozen=True, eq=False)
class RecordedFilm:
    """Layers per bale, each array (bales,), in the order of the table.

    thinnest: at the thinnest spot of the round side; short_frac: share of it short; wanted: by the
    sheet in force; all NaN where it cannot be told. short: whether that is more than a sliver, by
    the rule findings use. newest: the last bale with its own turns and its own diameter; where no
    bale of the machine has both, the last one with its own turns, at the planned diameter; else
    None.
    """

    thinnest: Floats
    short_frac: Floats
    wanted: Floats
    short: Bools
    newest: FilmBale | None


def record_film(
    bales: BaleTable, machine: Machine, sheets: Mapping[str, Sheet], last: int
) -> RecordedFilm:
    """Film of the last `last` of these bales, oldest first as they stand in the table.

    bales: of one machine, all of them, because what is usual for it is learnt from all. A bale
    whose diameter was not sensed is counted at the planned one.
    """
    watched = watch_as_given(bales, machine, plan_of(sheets, machine))
    thinnest, short_frac, wanted = (np.full(bales.rows, np.nan) for _ in range(3))
    short = np.zeros(bales.rows, dtype=np.bool_)
    drawn: list[tuple[bool, int, FilmBale]] = []
    for plan, rows in watched.by_plan():
        if plan.layers is None or plan.need_layers is None:
            continue
        film = count_film(watched, plan, rows)
        known = film.told
        thinnest[known], short_frac[known] = film.thinnest[known], film.short_frac[known]
        wanted[rows] = plan.need_layers
        short |= is_short(plan, film)
        drawn += _newest(watched, plan, film)
    shown = slice(max(0, bales.rows - last), None)
    newest = max(drawn, key=lambda one: one[:2])[2] if drawn else None
    return RecordedFilm(thinnest[shown], short_frac[shown], wanted[shown], short[shown], newest)


def _newest(
    watched: Watched, plan: PlannedBale, film: Film
) -> Iterator[tuple[bool, int, FilmBale]]:
    """The last bale under this sheet that can be drawn, with whether it is sized and its row."""
    turned = np.isfinite(watched.floats("wrap_turns"))
    fit = np.flatnonzero(film.told & turned & (film.steps[2].max(axis=1) >= 1))
    if not len(fit):
        return
    own = fit[film.sized[fit]]
    row = int(own[-1] if len(own) else fit[-1])
    sized, laid = bool(film.sized[row]), film.laid(row)
    if laid is None:
        return
    bale = Bale(laid.diameter_m, plan.bale.length_m)
    wrapping = plan.wrapping(laid.diameter_m, laid.strip_m, laid.turns)
    number, need = watched.bales.cell(row, "bale_no"), plan.need_layers or 1
    count = count_layers(bale, wrapping)
    yield sized, row, FilmBale(number, bale, wrapping, count, need, sized)
