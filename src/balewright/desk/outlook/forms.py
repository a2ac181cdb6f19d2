"""The form beside the pictures: the conditions of a job, and what else moves the answers."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from django import forms
from django.http import QueryDict

from balewright.desk.sheet.forms import MORE_FIELDS, ConditionsForm
from balewright.desk.sheet.refilled import PERCENT, refill
from balewright.desk.wording import words
from balewright.flows.outlook import Asked, Field, Money, Store
from balewright.plan.film.event_text import read_events
from balewright.plan.film.events import Happening
from balewright.plan.keeping.climate import CLIMATES
from balewright.plan.sheet.sheet import Conditions
from balewright.quantities.errors import BadInput

MOST_MONEY: Final = 1e9
TICKED: Final = ("dusty", "stony")
SHEET_FIELDS: Final = (
    *("crop", "moisture", "windrow", "speed", "slope", "dusty", "stony", "film_width"),
    *("film_thickness", "film_roll", "stretch", "net_roll", "storage", "bales"),
    *(*MORE_FIELDS, "neck_in"),
)
"""What a setup sheet is asked with as well."""
WHOLE: Final = frozenset({"crop", "moisture", "windrow", "speed", "slope", "storage", "bales"})
"""What every whole form has; an address with less is a change of the machine's own conditions."""
PARTS: Final[dict[str, tuple[str, ...]]] = {
    "crop": ("crop", "moisture", "windrow", "speed", "slope", "storage", "bales", *TICKED),
    "bale": ("diameter", "wrap_turns", "film_width", "film_thickness", "film_roll", "stretch",
             "net_roll", "happened"),
    "store": ("climate", "month", "waited"),
    "field": ("gathered", "run", "turn", "change"),
    "prices": ("film_price", "net_price", "fuel_price", "wage", "feed_price"),
    "owning": ("machine_price", "tractor_price", "tractor_power", "tractor_hours", "years",
               "interest", "shelter", "season"),
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
    gathered = Figure(0.5, 40, unit="m")
    run = Figure(10, 10_000, unit="m")
    turn = Figure(0, 600, unit="s")
    change = Figure(0, 60, unit="min")

    happened = forms.CharField(required=False, max_length=300)
    climate = forms.ChoiceField()
    month = forms.ChoiceField()
    waited = Figure(0, 240, unit="h")

    film_price = Figure(0, MOST_MONEY)
    net_price = Figure(0, MOST_MONEY)
    fuel_price = Figure(0, MOST_MONEY)
    wage = Figure(0, MOST_MONEY)
    feed_price = Figure(0, 100_000)
    machine_price = Figure(0, MOST_MONEY)
    tractor_price = Figure(0, MOST_MONEY)
    tractor_power = Figure(5, 1000, unit="kw")
    tractor_hours = Figure(1, 8760, unit="h")
    years = Figure(0.5, 60)
    interest = Figure(0, 100, unit="percent")
    shelter = Figure(0, 100, unit="percent")
    season = Figure(1, 200_000)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name, keys in (("climate", CLIMATES), ("month", map(str, range(1, 13)))):
            choices = [(key, words(f"outlook.field.{name}.{key}")) for key in keys]
            self.choose(name, choices, label=words(f"outlook.field.{name}"))
        for name in MORE_FIELDS:  # of the sheet: kept as they are, not asked here
            self.fields[name].widget = forms.HiddenInput()
        happened = self.fields["happened"]
        happened.label = words("outlook.field.happened")
        happened.help_text = words("outlook.field.happened.hint")
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

    def _money(self) -> Money:
        given = self.cleaned_data
        interest, shelter = given["interest"], given["shelter"]
        return Money(
            film_money=given["film_price"],
            binding_money=given["net_price"],
            fuel_money_l=given["fuel_price"],
            wage_money_h=given["wage"],
            dm_money_t=given["feed_price"],
            machine_money=given["machine_price"],
            tractor_money=given["tractor_price"],
            tractor_kw=given["tractor_power"],
            tractor_h=given["tractor_hours"],
            years=given["years"],
            interest_frac=None if interest is None else interest / PERCENT,
            tih_frac=None if shelter is None else shelter / PERCENT,
            bales_year=given["season"],
        )

    def _is_wrong(self, names: tuple[str, ...]) -> bool:
        return any(name in self.errors for name in names)

    def clean_happened(self) -> tuple[Happening, ...]:
        """The events that were written, with commas between."""
        lines = [line for line in re.split("[,;]", self.cleaned_data["happened"]) if line.strip()]
        try:
            return read_events(lines)
        except BadInput as error:
            raise forms.ValidationError(
                [words("sheet.fault", need=one.need, cure=one.cure) for one in error.faults[:1]]
            ) from error

    def asked(self) -> Asked:
        """The question in SI; only after `is_valid()`."""
        given = self.cleaned_data
        return Asked(
            conditions=self.conditions(),
            diameter_m=given["diameter"],
            wrap_turns=given["wrap_turns"],
            events=given["happened"],
            money=self._money(),
            store=Store(
                CLIMATES[given["climate"]],
                start_month=int(given["month"]),
                waited_h=given["waited"],
            ),
            field=Field(
                gathered_m=given["gathered"],
                run_m=given["run"],
                turn_s=given["turn"],
                change_s=None if given["change"] is None else given["change"] * 60.0,
            ),
        )


def filled(conditions: Conditions, query: QueryDict, prices: Mapping[str, str]) -> dict[str, Any]:
    """The form's values: the machine's own conditions, the person's prices, and over both what
    the address says.

    A box that is not ticked is not sent at all, and a sheet without additive or film says nothing
    of them, so what a whole form leaves out is not filled in.
    """
    own = {name: value for name, value in refill(conditions).items() if value is not None}
    if query.keys() >= WHOLE:
        own = {}
    elif "crop" in query:
        own = {name: value for name, value in own.items() if name not in TICKED}
    assumed = {"climate": conditions.climate or Store().climate.name, "month": Store().start_month}
    return {**own, **assumed, **prices, **query.dict()}


def prices_in(query: QueryDict) -> dict[str, str]:
    """The prices that an address gives, and the width raked together, which a hectare's cost
    needs; empty fields are none.
    """
    names = (*PARTS["prices"], *PARTS["owning"], "gathered")
    return {name: str(query[name]) for name in names if query.get(name)}
