"""The form's values for conditions that somebody gave before: the way back from SI."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Final

from balewright.desk.sheet.fields import write_readings
from balewright.plan.film.strip import DEFAULT_NECK_IN, Film
from balewright.plan.sheet.sheet import Additive, Conditions
from balewright.quantities.si import KM_H_PER_M_S, M_PER_MM, M_PER_UM

PERCENT: Final = 100.0
_FEWEST_DIGITS, _MOST_DIGITS = 6, 17


def from_percent(shown: float) -> float:
    """A share from per cent, as every field of the form has it."""
    return shown / PERCENT


def from_km_h(shown: float) -> float:
    """Metres a second from km/h."""
    return shown / KM_H_PER_M_S


def from_mm(shown: float) -> float:
    """Metres from millimetres."""
    return shown * M_PER_MM


def from_um(shown: float) -> float:
    """Metres from micrometres."""
    return shown * M_PER_UM


def refill(conditions: Conditions) -> dict[str, Any]:
    """The form's values for conditions that a kept sheet was made for: the form makes the same
    conditions of them; None for what was not said.
    """
    return {
        "crop": conditions.crop.value,
        "moisture": _shown(conditions.moisture_frac, from_percent),
        "windrow": _shown(conditions.windrow_kg_m),
        "speed": _shown(conditions.speed_m_s, from_km_h),
        "slope": _shown(conditions.slope_frac, from_percent),
        "dusty": conditions.dusty,
        "stony": conditions.stony,
        **_film(conditions.film),
        "net_roll": _shown(conditions.net_roll_m),
        "storage": _shown(conditions.storage_months),
        "bales": conditions.bales,
        "climate_kind": conditions.climate,
        "binding_kind": conditions.binding and conditions.binding.value,
        "rolls_left": " ".join(str(_shown(left_m)) for left_m in conditions.rolls_left_m) or None,
        "row_width": _shown(conditions.row_width_m),
        "spread": _shown(conditions.diameter_spread_m, from_mm),
        "readings": write_readings(conditions.gate_readings) or None,
        **_additive(conditions.additive),
        "weighed": conditions.weighed,
    }


def _film(film: Film | None) -> dict[str, str | None]:
    """Four numbers of the label; how it narrows only where it is not what is usual."""
    if film is None:
        names = ("film_width", "film_thickness", "film_roll", "stretch", "neck_in")
        return dict.fromkeys(names)
    usual = film.neck_in_exponent == DEFAULT_NECK_IN
    return {
        "film_width": _shown(film.width_m, from_mm),
        "film_thickness": _shown(film.thickness_m, from_um),
        "film_roll": _shown(film.roll_m),
        "stretch": _shown(film.pre_stretch_frac, from_percent),
        "neck_in": None if usual else _shown(film.neck_in_exponent),
    }


def _additive(additive: Additive | None) -> dict[str, str | None]:
    if additive is None:
        return dict.fromkeys(("additive", "acid_active", "acid_density", "tank"))
    acid = additive.acid
    return {
        "additive": _shown(additive.rate_l_t),
        "acid_active": None if acid is None else _shown(acid.active_frac, from_percent),
        "acid_density": None if acid is None else _shown(acid.density_kg_l),
        "tank": _shown(additive.tank_l),
    }


def _as_it_is(shown: float) -> float:
    return shown


def _shown(value: float | None, back: Callable[[float], float] = _as_it_is) -> str | None:
    """The shortest digits that the form turns into the very value again."""
    if value is None:
        return None
    rough = value / back(1.0)
    for digits in range(_FEWEST_DIGITS, _MOST_DIGITS):
        text = f"{rough:.{digits}g}"
        if back(float(text)) == value:
            return text
    return f"{rough:.{_MOST_DIGITS}g}"
