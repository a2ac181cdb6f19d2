"""One condition and the value it would have, in the units and bounds of the sheet's own form."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from copy import deepcopy
from typing import Any, Final

from django import forms

from balewright.desk.sheet.forms import FIELD_OF, FILM_FIELDS, ConditionsForm
from balewright.desk.sheet.refilled import refill
from balewright.desk.wording import words
from balewright.plan.machine import Machine
from balewright.plan.sheet.change import Given, asked_of
from balewright.plan.sheet.sheet import Conditions
from balewright.quantities.errors import Fault
from balewright.quantities.si import M_PER_MM

NAMES: Final = {
    "moisture": "moisture_frac",
    "crop": "crop",
    "windrow": "windrow_kg_m",
    "speed": "speed_m_s",
    "slope": "slope_frac",
    "dusty": "dusty",
    "stony": "stony",
    "film_width": "film_width_m",
    "film_thickness": "film_thickness_m",
    "film_roll": "film_roll_m",
    "stretch": "film_pre_stretch_frac",
    "net_roll": "net_roll_m",
    "storage": "storage_months",
    "climate_kind": "climate",
    "binding_kind": "binding",
    "bales": "bales",
    "row_width": "row_width_m",
    "additive": "additive_rate_l_t",
    "weighed": "weighed",
}
"""Fields of the sheet's form, in the order in which they are offered, and what they change."""
FLAGS: Final = ("dusty", "stony", "weighed")
_OFFERED: Final[dict[str, Sequence[float]]] = {
    "speed": (9.0, 14.0), "slope": (3.0, 15.0), "windrow": (3.0, 6.0), "film_width": (750.0, 500.0),
    "film_thickness": (25.0, 30.0), "film_roll": (1500.0, 1800.0), "stretch": (70.0, 55.0),
    "net_roll": (3000.0, 2000.0), "storage": (10.0, 4.0), "bales": (200.0, 400.0),
    "row_width": (1.2, 0.9), "additive": (2.0, 4.0),
}  # fmt: skip
"""Two usual values of each number: the one further from the job's own is tried first."""
_MOISTURE: Final[dict[bool, Sequence[float]]] = {True: (40.0, 65.0), False: (14.0, 22.0)}


class WhatIfForm(forms.Form):
    """Which condition, and the value it would have.

    The value's field is named after its condition, so that a value never goes to another one;
    where it was not sent a usual value is tried, so that an answer shows at once.
    """

    use_required_attribute = False
    auto_id = "what_%s"
    what = forms.ChoiceField(required=False)

    def __init__(self, base: Conditions, machine: Machine, sent: Mapping[str, str]) -> None:
        self.base, self._sent = base, sent
        self.what_now = sent.get("what", "")
        self.to_name = f"to_{self.what_now}"
        given: dict[str, Any] = {"what": self.what_now}
        own = ConditionsForm(refill(base))
        self._own = own
        has_field = self.what_now in NAMES and self.what_now not in FLAGS
        if has_field:
            self.was_sent = self.to_name in sent
            tried = _tried(self.what_now, base, machine)
            given[self.to_name] = sent[self.to_name] if self.was_sent else tried
        super().__init__(given, auto_id="what_%s")
        what = self.fields["what"]
        assert isinstance(what, forms.ChoiceField)
        what.label = words("beside.what")
        what.choices = [("", words("beside.choose")), *_choices(own, base)]
        if has_field:
            self.fields[self.to_name] = deepcopy(own.fields[self.what_now])

    was_sent = True

    @property
    def to(self) -> forms.BoundField | None:
        """The field of the value; None where nothing is chosen, or only yes and no are there."""
        return self[self.to_name] if self.to_name in self.fields else None

    def change(self) -> tuple[str, Given]:
        """(name, value) in SI; only after `is_valid()`, and where something is chosen."""
        name = NAMES[self.what_now]
        if self.what_now in FLAGS:
            return name, not asked_of(self.base)[name]
        value = self.cleaned_data[self.to_name]
        if value in (None, ""):
            return name, None
        changed = ConditionsForm({**refill(self.base), self.what_now: value})
        if not changed.is_valid():
            return name, value
        found = asked_of(changed.conditions())[name]
        assert not isinstance(found, tuple)
        return name, found

    def tell_beside(self, faults: tuple[Fault, ...]) -> None:
        """Tell each fault beside the field that made it, naming what else it touches."""
        for fault in faults:
            own = FIELD_OF.get(fault.place) == self.what_now or fault.place == NAMES.get(
                self.what_now
            )
            key = "sheet.fault" if own else "beside.fault"
            said = words(key, need=fault.need, cure=fault.cure)
            self.add_error(self.to_name if self.to else "what", said)


def _choices(own: ConditionsForm, base: Conditions) -> list[tuple[str, str]]:
    """Every condition but what there is no roll for; yes or no by what it would become."""
    flat = asked_of(base)
    found = []
    for name, changes in NAMES.items():
        if name in FILM_FIELDS and base.film is None:
            continue
        label = str(own.fields[name].label).partition(",")[0]
        if name in FLAGS:
            label = words(f"beside.{'no' if flat[changes] else 'yes'}_{name}")
        found.append((name, label))
    return found


def _tried(name: str, base: Conditions, machine: Machine) -> str:
    """A value worth trying: another one than the job has, and one that is usual."""
    own = refill(base)[name]
    if name == "crop":
        wraps, dry = ("grass silage", "haylage"), ("hay", "straw")
        usual, less_usual = wraps if base.crop.is_wrapped else dry
        return less_usual if own == usual else usual
    if name == "climate_kind":
        return "warm-dry" if own != "warm-dry" else "cool-moist"
    if name == "binding_kind":
        others = [one.kind.value for one in machine.bindings if one.kind.value != own]
        return next(reversed(others), "")
    usual_values = _MOISTURE[base.crop.is_wrapped] if name == "moisture" else _OFFERED[name]
    if name == "film_width" and machine.wrapper is not None:
        fits = machine.wrapper.film_width_m
        usual_values = [fits.clamp(mm * M_PER_MM) / M_PER_MM for mm in usual_values]
    if own in (None, ""):
        return f"{usual_values[0]:g}"
    return f"{max(usual_values, key=lambda value: abs(value - float(own))):g}"
