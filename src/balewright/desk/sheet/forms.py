"""The setup-sheet form: what people say in per cent and km/h becomes conditions in SI."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any, Final

from django import forms

from balewright.desk.sheet.fields import Amount, Lengths, Readings
from balewright.desk.sheet.refilled import from_km_h, from_mm, from_percent, from_um
from balewright.desk.wording import words
from balewright.plan.crop import Crop
from balewright.plan.film.strip import DEFAULT_NECK_IN, Film
from balewright.plan.keeping.additive import Product
from balewright.plan.keeping.climate import CLIMATES
from balewright.plan.machine import BindingKind
from balewright.plan.sheet.sheet import Additive, Conditions
from balewright.quantities.errors import Fault

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
    "additive": "additive",
    "additive.rate_l_t": "additive",
    "additive.tank_l": "tank",
    "gate_readings": "readings",
    "binding": "binding_kind",
    "rolls_left_m": "rolls_left",
    "rolls_left_m[0]": "rolls_left",
    "rolls_left_m[1]": "rolls_left",
    "diameter_m": "diameter",
    "wrap_turns": "wrap_turns",
}
"""Which field a fault of the conditions belongs beside."""
MORE_FIELDS: Final = (
    *("climate_kind", "binding_kind", "row_width", "rolls_left", "spread", "readings", "additive"),
    *("acid_active", "acid_density", "tank", "weighed"),
)
"""What nobody has to say."""
ACID_FIELDS: Final = ("acid_active", "acid_density")
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

_NUMBERED: Final = re.compile(r"gate_readings\[(\d+)\]")

Choices = Sequence[tuple[str, Sequence[tuple[str, str]]]]


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
    binding_kind = forms.ChoiceField(required=False)
    rolls_left = Lengths()
    row_width = Amount("row_width", "m", 0.2, 6, required=False)
    spread = Amount("spread", "mm", 0, 300, required=False)
    readings = Readings()
    additive = Amount("additive", "l_t", 0.001, 200, required=False)
    acid_active = Amount("acid_active", "percent", 5, 100, required=False)
    acid_density = Amount("acid_density", "kg_l", 0.7, 1.6, required=False)
    tank = Amount("tank", "l", 1, 5000, required=False)
    weighed = forms.BooleanField(required=False)
    neck_in = forms.FloatField(required=False, min_value=0, max_value=0.5, widget=forms.HiddenInput)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.choose("crop", [(crop.value, words(f"crop.{crop.name.lower()}")) for crop in Crop])
        kinds = [(name, words(f"outlook.field.climate.{name}")) for name in CLIMATES]
        self.choose("climate_kind", [("", words("sheet.climate_kind.unknown")), *kinds])
        kinds = [(kind.value, words(f"sheet.binding_kind.{kind.value}")) for kind in BindingKind]
        self.choose("binding_kind", [("", words("sheet.binding_kind.unknown")), *kinds])
        for name in ("dusty", "stony", "bales", "weighed"):
            self.fields[name].label = words(f"sheet.{name}")
        for name in ("moisture", "slope", "stretch", "net_roll", "climate_kind", "spread",
                     *ACID_FIELDS, "tank"):  # fmt: skip
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
        """All of a roll's four numbers or none of them; one additive, as one label has it."""
        cleaned = super().clean() or {}
        known = [cleaned.get(name) is not None for name in FILM_FIELDS]
        entered = all(name not in self.errors for name in FILM_FIELDS)
        if entered and any(known) and not all(known):
            for name, is_known in zip(FILM_FIELDS, known, strict=True):
                if not is_known:
                    self.add_error(name, words("sheet.film_missing"))
        self._check_additive(cleaned)
        return cleaned

    def _check_additive(self, cleaned: dict[str, Any]) -> None:
        names = ("additive", *ACID_FIELDS)
        if any(name in self.errors for name in names):
            return
        rate, *acid = (cleaned.get(name) is not None for name in names)
        if rate and any(acid):
            self.add_error("additive", words("sheet.additive.both"))
        elif any(acid) and not all(acid):
            lacks = ACID_FIELDS[acid.index(False)]
            self.add_error(lacks, words("sheet.acid_missing"))
        elif cleaned.get("tank") is not None and not rate and not any(acid):
            self.add_error("tank", words("sheet.tank.alone"))

    def conditions(self) -> Conditions:
        """The conditions in SI; only after `is_valid()`."""
        given = self.cleaned_data
        return Conditions(
            crop=Crop(given["crop"]),
            moisture_frac=from_percent(given["moisture"]),
            windrow_kg_m=given["windrow"],
            speed_m_s=from_km_h(given["speed"]),
            slope_frac=from_percent(given["slope"]),
            dusty=given["dusty"],
            stony=given["stony"],
            film=self._film(),
            net_roll_m=given["net_roll"],
            storage_months=given["storage"],
            bales=given["bales"],
            climate=given["climate_kind"] or None,
            rolls_left_m=given["rolls_left"],
            row_width_m=given["row_width"],
            diameter_spread_m=None if given["spread"] is None else from_mm(given["spread"]),
            gate_readings=given["readings"],
            binding=BindingKind(given["binding_kind"]) if given["binding_kind"] else None,
            additive=self._additive(),
            weighed=given["weighed"],
        )

    def _film(self) -> Film | None:
        given = self.cleaned_data
        if given["film_width"] is None:
            return None
        return Film(
            width_m=from_mm(given["film_width"]),
            thickness_m=from_um(given["film_thickness"]),
            roll_m=given["film_roll"],
            pre_stretch_frac=from_percent(given["stretch"]),
            neck_in_exponent=DEFAULT_NECK_IN if given["neck_in"] is None else given["neck_in"],
        )

    def _additive(self) -> Additive | None:
        given = self.cleaned_data
        rate_l_t, active, tank_l = given["additive"], given["acid_active"], given["tank"]
        if rate_l_t is not None:
            return Additive(rate_l_t=rate_l_t, tank_l=tank_l)
        if active is None:
            return None
        acid = Product(from_percent(active), given["acid_density"])
        return Additive(acid=acid, tank_l=tank_l)


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
        reading = _NUMBERED.match(fault.place)
        name = FIELD_OF.get("gate_readings" if reading else fault.place)
        if name in form.fields:
            told = words("sheet.fault", need=fault.need, cure=fault.cure)
            if reading:
                told = words("sheet.readings.fault", number=int(reading[1]) + 1, fault=told)
            form.add_error(name, told)
        else:
            left.append(fault)
    return tuple(left)
