"""Where the film of a sheet lies on its bale: the unrolled map and the bale that can be turned."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.utils.safestring import SafeString, mark_safe

from balewright.desk.reading import say_here
from balewright.findings.planned import PlannedBale
from balewright.findings.recorded import FilmBale
from balewright.pictures.layer_map import draw_layer_map
from balewright.pictures.turnable import turnable_bale
from balewright.plan.film.layers import Bale, LayerCount
from balewright.plan.machine import Machine
from balewright.plan.sheet.sheet import Sheet


@dataclass(frozen=True)
class FilmPicture:
    """map: an SVG of our own making; turnable: data for the canvas; bale_no: of the bale it was
    drawn from, None where it is a plan or has no number.
    """

    map: SafeString
    turnable: dict[str, Any]
    bale_no: int | None = None


def picture_film(sheet: Sheet, machine: Machine) -> FilmPicture | None:
    """Both pictures, None where the sheet wants no film or cannot tell its turns."""
    planned = PlannedBale("", sheet, machine)
    count, need = planned.layers, planned.need_layers
    if count is None or need is None:
        return None
    return _picture(planned.bale, count, need)


def picture_recorded(film: FilmBale) -> FilmPicture:
    """Both pictures of what one bale got, by its own record."""
    return _picture(film.bale, film.count, film.need, film.bale_no)


def _picture(bale: Bale, count: LayerCount, need: int, bale_no: int | None = None) -> FilmPicture:
    drawn = mark_safe(draw_layer_map(bale, count, need, say_here))  # noqa: S308  words escaped there
    return FilmPicture(drawn, turnable_bale(bale, count, need, say_here), bale_no)
