"""The setup-sheet form: what people say in per cent and km/h becomes conditions in SI."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any, Final

from django import forms

from balewright.desk.wording import words
from balewright.plan.crop import Crop
from balewright.plan.film.strip import Film
from balewright.plan.keeping.climate import CLIMATES
from balewright.plan.sheet.sheet import Additive, Conditions
from balewright.quantities.errors import Fault
from balewright.quantities.si import KM_H_PER_M_S, M_PER_MM, M_PER_UM

PERCENT: Final = 100.0
FILM_FIELDS: Final = ("film_width", "film_thickness", "film_roll", "stretch")
FIELD_OF: Final = {
    "moisture_frac": "moisture",
    "windrow_kg_m": "windrow",
    "speed_m_s": "speed",
    "slope_frac": "slope",
    "film_width_m": "film_width",
    "net_roll_m": "net_roll",
    "storage_months": "storage",
    "bales": "bales",
    "climate": "climate_kind",
    "row_width_m": "row_width",
    "diameter_spread_m": "spread",
    "additive.rate_l_t": "additive",
    "rolls_left_m": "rolls_left",
    "rolls_left_m[0]": "rolls_left",
    "rolls_left_m[1]": "rolls_left",
    "diameter_m": "diameter",
    "wrap_turns": "wrap_turns",
}
"""Which field a fault of the conditions belongs beside."""
MORE_FIELDS: Final = (
    *("climate_kind", "row_width", "rolls_left", "spread", "additive", "weighed"),
)
"""What nobody has to say."""
FIRST: Final = {
    "crop": Crop.GRASS_SILAGE.value,
    "moisture": 55,
    "windrow": 4,
    "speed": 9,
    "slope": 3,
    "film_width": 750,
    "film_thickness": 25,
    "film_roll": 1500,
    "stretch": 70,
    "net_roll": 3000,
    "storage": 10,
    "bales": 200,
}
"""What stands in a new form, so that a first sheet shows at once."""

_LENGTHS: Final = re.compile(r"[;,\s]+")
"""Between two lengths: a comma, a semicolon or a space."""

Choices = Sequence[tuple[str, Sequence[tuple[str, str]]]]


class Amount(forms.FloatField):
    """A number with its unit in its label."""

    def __init__(self, key: str, unit: str, low: float, high: float, **kwargs: Any) -> None:
        super().__init__(
            label=words("sheet.amount", name=words(f"sheet.{key}"), unit=words(f"unit.{unit}")),
            min_value=low,
            max_value=high,
            widget=forms.NumberInput(attrs={"step": "any", "inputmode": "decimal"}),
            **kwargs,
        )


class Lengths(forms.CharField):
    """What is left on each roll, in metres: "900 1500"; empty for new ones."""

    def __init__(self) -> None:
        label = words("sheet.amount", name=words("sheet.rolls_left"), unit=words("unit.m"))
        super().__init__(
            label=label, help_text=words("sheet.rolls_left.hint"), required=False, max_length=60
        )

    def clean(self, value: Any) -> tuple[float, ...]:
        """Numbers; that they fit the machine is judged where the sheet is made."""
        parts = [part for part in _LENGTHS.split(super().clean(value).strip()) if part]
        try:
            return tuple(float(part) for part in parts)
        except ValueError:
            raise forms.ValidationError(words("sheet.rolls_left.wrong")) from None


class ConditionsForm(forms.Form):
    """The conditions of a job; bounds are those of the values they become."""

    use_required_attribute = False
    crop = forms.ChoiceField()
    moisture = Amount("moisture", "percent", 0, 100)
    windrow = Amount("windrow", "kg_m", 0.1, 30)
    speed = Amount("speed", "km_h", 0.5, 30)
    slope = Amount("slope", "percent", 0, 100)
    dusty = forms.BooleanField(required=False)
    stony = forms.BooleanField(required=False)
    film_width = Amount("film_width", "mm", 50, 1500, required=False)
    film_thickness = Amount("film_thickness", "um", 5, 100, required=False)
    film_roll = Amount("film_roll", "m", 1, 20_000, required=False)
    stretch = Amount("stretch", "percent", 0, 200, required=False)
    net_roll = Amount("net_roll", "m", 1, 20_000, required=False)
    storage = Amount("storage", "months", 0, 60)
    bales = forms.IntegerField(min_value=1, max_value=1_000_000)
    climate_kind = forms.ChoiceField(required=False)
    rolls_left = Lengths()
    row_width = Amount("row_width", "m", 0.2, 6, required=False)
    spread = Amount("spread", "mm", 0, 300, required=False)
    additive = Amount("additive", "l_t", 0.001, 200, required=False)
    weighed = forms.BooleanField(required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.choose("crop", [(crop.value, words(f"crop.{crop.name.lower()}")) for crop in Crop])
        kinds = [(name, words(f"outlook.field.climate.{name}")) for name in CLIMATES]
        self.choose("climate_kind", [("", words("sheet.climate_kind.unknown")), *kinds])
        for name in ("dusty", "stony", "bales", "weighed"):
            self.fields[name].label = words(f"sheet.{name}")
        for name in ("moisture", "slope", "stretch", "net_roll", "climate_kind", "spread"):
            self.fields[name].help_text = words(f"sheet.{name}.hint")

    @property
    def has_more(self) -> bool:
        """Whether something of what nobody has to say is said, or wrong."""
        return any(self[name].value() or self[name].errors for name in MORE_FIELDS)

    def choose(self, name: str, choices: Any, label: str | None = None) -> None:
        """Give a field of choices what can be chosen, and its label (the sheet's own)."""
        field = self.fields[name]
        assert isinstance(field, forms.ChoiceField)
        field.label = label or words(f"sheet.{name}")
        field.choices = choices

    def clean(self) -> dict[str, Any]:
        """All of a roll's four numbers or none of them."""
        cleaned = super().clean() or {}
        known = [cleaned.get(name) is not None for name in FILM_FIELDS]
        entered = all(name not in self.errors for name in FILM_FIELDS)
        if entered and any(known) and not all(known):
            for name, is_known in zip(FILM_FIELDS, known, strict=True):
                if not is_known:
                    self.add_error(name, words("sheet.film_missing"))
        return cleaned

    def conditions(self) -> Conditions:
        """The conditions in SI; only after `is_valid()`."""
        given = self.cleaned_data
        return Conditions(
            crop=Crop(given["crop"]),
            moisture_frac=given["moisture"] / PERCENT,
            windrow_kg_m=given["windrow"],
            speed_m_s=given["speed"] / KM_H_PER_M_S,
            slope_frac=given["slope"] / PERCENT,
            dusty=given["dusty"],
            stony=given["stony"],
            film=self._film(),
            net_roll_m=given["net_roll"],
            storage_months=given["storage"],
            bales=given["bales"],
            climate=given["climate_kind"] or None,
            rolls_left_m=given["rolls_left"],
            row_width_m=given["row_width"],
            diameter_spread_m=_times(given["spread"], M_PER_MM),
            additive=None if given["additive"] is None else Additive(rate_l_t=given["additive"]),
            weighed=given["weighed"],
        )

    def _film(self) -> Film | None:
        given = self.cleaned_data
        if given["film_width"] is None:
            return None
        return Film(
            width_m=given["film_width"] * M_PER_MM,
            thickness_m=given["film_thickness"] * M_PER_UM,
            roll_m=given["film_roll"],
            pre_stretch_frac=given["stretch"] / PERCENT,
        )


class SheetForm(ConditionsForm):
    """For whom, and the conditions."""

    machine = forms.ChoiceField()

    def __init__(self, machines: Choices, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.choose("machine", machines)


def told_beside(form: forms.Form, faults: Sequence[Fault]) -> tuple[Fault, ...]:
    """Tell each fault beside its field; those that belong to none."""
    left = []
    for fault in faults:
        name = FIELD_OF.get(fault.place)
        if name in form.fields:
            form.add_error(name, words("sheet.fault", need=fault.need, cure=fault.cure))
        else:
            left.append(fault)
    return tuple(left)


def refill(conditions: Conditions) -> dict[str, Any]:
    """The form's values for conditions that a kept sheet was made for."""
    film = conditions.film
    return {
        "crop": conditions.crop.value,
        "moisture": _tidy(conditions.moisture_frac * PERCENT),
        "windrow": _tidy(conditions.windrow_kg_m),
        "speed": _tidy(conditions.speed_m_s * KM_H_PER_M_S),
        "slope": _tidy(conditions.slope_frac * PERCENT),
        "dusty": conditions.dusty,
        "stony": conditions.stony,
        "film_width": film and _tidy(film.width_m / M_PER_MM),
        "film_thickness": film and _tidy(film.thickness_m / M_PER_UM),
        "film_roll": film and _tidy(film.roll_m),
        "stretch": film and _tidy(film.pre_stretch_frac * PERCENT),
        "net_roll": conditions.net_roll_m,
        "storage": _tidy(conditions.storage_months),
        "bales": conditions.bales,
        "climate_kind": conditions.climate,
        "rolls_left": " ".join(map(_tidy, conditions.rolls_left_m)),
        "row_width": conditions.row_width_m,
        "spread": _tidy_or_none(_times(conditions.diameter_spread_m, 1.0 / M_PER_MM)),
        "additive": conditions.additive and conditions.additive.rate_l_t,
        "weighed": conditions.weighed,
    }


def _times(value: float | None, factor: float) -> float | None:
    return None if value is None else value * factor


def _tidy_or_none(value: float | None) -> str | None:
    return None if value is None else _tidy(value)


def _tidy(value: float) -> str:
    return f"{value:.6g}"
