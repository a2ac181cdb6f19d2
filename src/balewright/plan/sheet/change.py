"""One condition of a job changed by its name: what "what if" means before any sheet is made."""

from __future__ import annotations

from dataclasses import replace
from difflib import get_close_matches
from enum import StrEnum
from typing import Any, Final, TypeVar

from balewright.plan.crop import Crop
from balewright.plan.machine import BindingKind
from balewright.plan.sheet.sheet import Additive, Conditions
from balewright.quantities.checks import require_between
from balewright.quantities.errors import BadInput, Fault

Given = float | int | str | bool | None
Word = TypeVar("Word", bound=StrEnum)

NUMBERS: Final = (
    *("moisture_frac", "windrow_kg_m", "speed_m_s", "slope_frac"),
    *("storage_months", "bales", "net_roll_m", "row_width_m"),
)
FLAGS: Final = ("dusty", "stony", "weighed")
FILM: Final = {
    "film_width_m": "width_m",
    "film_thickness_m": "thickness_m",
    "film_roll_m": "roll_m",
    "film_pre_stretch_frac": "pre_stretch_frac",
}
"""Of a roll's label: the name of the condition, and of the field of `Film`."""
MAY_BE_LEFT_OUT: Final = (
    *("net_roll_m", "row_width_m", "climate", "binding"),
    *("additive_rate_l_t", *FILM),
)
CHANGEABLE: Final = (
    "crop", *NUMBERS, *FLAGS, *FILM, "climate", "additive_rate_l_t", "binding",
)  # fmt: skip
"""Every condition that can be asked about by its name."""
_LABEL: Final = {
    "film_width_m": (0.05, 1.5),
    "film_thickness_m": (5e-6, 1e-4),
    "film_roll_m": (1.0, 20_000.0),
    "film_pre_stretch_frac": (0.0, 2.0),
}
"""Bounds of a film's label, as `Film` has them; those of all else are the sheet's own."""


def asked_of(conditions: Conditions) -> dict[str, Given | tuple[object, ...]]:
    """Everything a sheet was asked for, flat, by name, in the order of CHANGEABLE, and after it
    what can be told but not changed by one number.
    """
    found: dict[str, Given | tuple[object, ...]] = {}
    film, additive = conditions.film, conditions.additive
    for name in CHANGEABLE:
        if name in FILM:
            found[name] = None if film is None else getattr(film, FILM[name])
        elif name == "additive_rate_l_t":
            found[name] = None if additive is None else additive.rate_l_t
        else:
            value = getattr(conditions, name)
            found[name] = str(value) if isinstance(value, StrEnum) else value
    found["film_neck_in_exponent"] = None if film is None else film.neck_in_exponent
    acid = None if additive is None else additive.acid
    found["additive_active_frac"] = None if acid is None else acid.active_frac
    found["additive_density_kg_l"] = None if acid is None else acid.density_kg_l
    found["additive_tank_l"] = None if additive is None else additive.tank_l
    for name in ("rolls_left_m", "gate_readings", "diameter_spread_m"):
        found[name] = getattr(conditions, name)
    return found


def change_condition(conditions: Conditions, name: str, value: Given) -> Conditions:
    """The same job with one condition changed.

    name: one of CHANGEABLE; value: in the unit its name ends in, a word for crop, climate and
    binding, True or False for dusty, stony and weighed; None leaves out what may be left out, and
    for any number of the film's label the whole roll. Whether a number can be used at all is
    judged where the sheet is made. Raises BadInput for a name that is not known, a value of
    another kind, and a part of a label where no film is named.
    """
    if name not in CHANGEABLE:
        near = get_close_matches(name, CHANGEABLE, n=1)
        cure = f"Did you mean {near[0]}?" if near else "Change one of these."
        raise BadInput(Fault("change", f"one of {', '.join(CHANGEABLE)}", repr(name), cure))
    if value is None and name not in MAY_BE_LEFT_OUT:
        cure = "Give a value; only what a job can do without may be left out."
        raise BadInput(Fault(name, "a value", "none", cure))
    if name in FILM:
        return _film(conditions, name, value)
    if name == "additive_rate_l_t":
        return replace(conditions, additive=_additive(conditions, name, value))
    if name == "crop":
        return replace(conditions, crop=_word(Crop, name, value))
    if name == "binding":
        asked = None if value is None else _word(BindingKind, name, value)
        return replace(conditions, binding=asked)
    if name == "climate":
        return replace(conditions, climate=None if value is None else str(value))
    changed: dict[str, Any] = {name: value}
    if name in FLAGS:
        _check_flag(name, value)
    elif value is not None:
        changed = {name: _number(name, value)}
    return replace(conditions, **changed)


def _film(conditions: Conditions, name: str, value: Given) -> Conditions:
    if value is None:
        return replace(conditions, film=None)
    if conditions.film is None:
        need = "a roll of film to change"
        raise BadInput(Fault(name, need, "none", "Name the whole roll in the conditions first."))
    number = require_between(name, float(_number(name, value)), *_LABEL[name])
    changed: dict[str, Any] = {FILM[name]: number}
    return replace(conditions, film=replace(conditions.film, **changed))


def _additive(conditions: Conditions, name: str, value: Given) -> Additive | None:
    if value is None:
        return None
    tank_l = None if conditions.additive is None else conditions.additive.tank_l
    return Additive(rate_l_t=float(_number(name, value)), tank_l=tank_l)


_FAR: Final = 1e15
"""No number of a sheet is so large; a whole number may be too long for a float."""


def _number(name: str, value: Given) -> float | int:
    if not isinstance(value, int | float) or isinstance(value, bool) or not abs(value) < _FAR:
        raise BadInput(Fault(name, "a number", repr(value), "The name ends in its unit."))
    if name != "bales":
        return value
    if value != int(value):
        raise BadInput(Fault(name, "a whole number", repr(value), "Count whole bales."))
    return int(value)


def _check_flag(name: str, value: Given) -> None:
    if not isinstance(value, bool):
        raise BadInput(Fault(name, "yes or no", repr(value), "Say which of the two."))


def _word(kind: type[Word], name: str, value: Given) -> Word:
    known = [word.value for word in kind]
    if value not in known:
        need = f"one of {', '.join(known)}"
        raise BadInput(Fault(name, need, repr(value), "Choose the one that is nearest."))
    return kind(value)
