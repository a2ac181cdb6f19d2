"""Where the film of a sheet lies on its bale: the unrolled map and the bale that can be turned."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.utils.safestring import SafeString, mark_safe

from balewright.findings.planned import PlannedBale
from balewright.pictures.layer_map import draw_layer_map
from balewright.pictures.turnable import turnable_bale
from balewright.plan.machine import Machine
from balewright.plan.sheet import Sheet
from balewright.words.say import say


@dataclass(frozen=True)
class FilmPicture:
    """map: an SVG of our own making; turnable: data for the canvas."""

    map: SafeString
    turnable: dict[str, Any]


def picture_film(sheet: Sheet, machine: Machine) -> FilmPicture | None:
    """Both pictures, None where the sheet wants no film or cannot tell its turns."""
    planned = PlannedBale("", sheet, machine)
    count, need = planned.layers, planned.need_layers
    if count is None or need is None:
        return None
    drawn = draw_layer_map(planned.bale, count, need, say)
    turnable = turnable_bale(planned.bale, count, need, say)
    return FilmPicture(mark_safe(drawn), turnable)  # noqa: S308  drawn by pictures, words escaped
