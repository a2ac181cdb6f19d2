"""The form beside the pictures: the conditions of a job, and what else moves the answers."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

from django import forms
from django.http import QueryDict

from balewright.desk.sheet.forms import ConditionsForm, refill
from balewright.desk.wording import words
from balewright.flows.outlook import Asked
from balewright.plan.sheet import Conditions

TICKED: Final = ("dusty", "stony")
SHEET_FIELDS: Final = (
    *("crop", "moisture", "windrow", "speed", "slope", "dusty", "stony", "film_width"),
    *("film_thickness", "film_roll", "stretch", "net_roll", "storage", "bales"),
)
"""What a setup sheet is asked with as well."""
PARTS: Final[dict[str, tuple[str, ...]]] = {
    "crop": ("crop", "moisture", "windrow", "speed", "slope", "storage", "bales", *TICKED),
    "bale": ("diameter", "wrap_turns", "film_width", "film_thickness", "film_roll", "stretch",
             "net_roll"),
}  # fmt: skip


class Figure(forms.FloatField):
    """A number that may be left empty; unit: key of its unit, None for a count."""

    def __init__(self, low: float, high: float, unit: str | None = None) -> None:
        widget = forms.NumberInput(attrs={"step": "any", "inputmode": "decimal"})
        super().__init__(min_value=low, max_value=high, required=False, widget=widget)
        self.unit = unit


@dataclass(frozen=True)
class Part:
    """Fields that belong together under one heading."""

    key: str
    fields: list[forms.BoundField]
    open: bool


class OutlookForm(ConditionsForm):
    """Conditions, and a diameter and turns to look at instead of the sheet's own."""

    diameter = Figure(0.6, 2.5, unit="m")
    wrap_turns = Figure(1, 100)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name, field in self.fields.items():
            if isinstance(field, Figure):
                label = words(f"outlook.field.{name}")
                unit = field.unit and words(f"unit.{field.unit}")
                said = words("sheet.amount", name=label, unit=unit) if unit else label
                field.label, field.help_text = said, words(f"outlook.field.{name}.hint")

    def parts(self) -> list[Part]:
        """The fields in groups; one with a fault in it stands open."""
        return [
            Part(key, [self[name] for name in names], not place or self._is_wrong(names))
            for place, (key, names) in enumerate(PARTS.items())
        ]

    def _is_wrong(self, names: tuple[str, ...]) -> bool:
        return any(name in self.errors for name in names)

    def asked(self) -> Asked:
        """The question in SI; only after `is_valid()`."""
        given = self.cleaned_data
        return Asked(
            conditions=self.conditions(),
            diameter_m=given["diameter"],
            wrap_turns=given["wrap_turns"],
        )


def filled(conditions: Conditions, query: QueryDict) -> dict[str, Any]:
    """The form's values: the machine's own conditions with what the address says over them.

    A box that is not ticked is not sent at all, so what a whole form leaves out is not filled in.
    """
    own = {name: value for name, value in refill(conditions).items() if value is not None}
    if "crop" in query:
        own = {name: value for name, value in own.items() if name not in TICKED}
    return {**own, **query.dict()}
