"""How a machine's own bales differ in diameter, as far as its journal tells."""

from __future__ import annotations

from typing import Final

import numpy as np

from balewright.flows.workplace import Workplace
from balewright.plan.film.recorded_spread import RecordedSpread, recorded_spread
from balewright.records.bales import BaleTable

COLUMNS: Final = ("sheet", "status", "diameter_m", "diameter_how")
"""What has to be read of the bales."""
LAST_BALES: Final = 200
_LEAST_M, _MOST_M = 0.001, 0.3
"""Bales that never differ by a millimetre were not measured; by more than 0.3 m, not well."""


def diameters_of_sheet(bales: BaleTable, sheet_id: str | None) -> RecordedSpread | None:
    """Among the last 200 bales of that sheet (of none: those that name none).

    bales: with COLUMNS, oldest first. Left out: a diameter that is only nominal, and a bale that
    is no ordinary one (test, burst, wrapped again). None where fewer than five are left, and where
    they differ so little or so much that nobody measured them.
    """
    named = bales.mask("sheet").astype(np.bool_)
    of_it = ~named if sheet_id is None else named & (bales.column("sheet") == sheet_id)
    odd = bales.mask("status") & (bales.column("status") != "ok")
    nominal = bales.mask("diameter_how") & (bales.column("diameter_how") == "nominal")
    known = of_it & ~(odd | nominal).astype(np.bool_) & bales.mask("diameter_m")
    found = recorded_spread(bales.floats("diameter_m")[known.astype(np.bool_)][-LAST_BALES:])
    if found is None or not _LEAST_M <= found.deviation.best <= _MOST_M:
        return None
    return found


def recorded_diameters(workplace: Workplace, serial: str) -> RecordedSpread | None:
    """Among a machine's last bales of the sheet that its newest bale with one names; of all of
    them where none names one. None as in `diameters_of_sheet`.
    """
    bales = workplace.journal.read_bales(serial, COLUMNS)
    named = bales.column("sheet")[bales.mask("sheet")]
    return diameters_of_sheet(bales, str(named[-1]) if len(named) else None)
