"""The form of the page Service costs; anything may be left empty."""

from __future__ import annotations

from typing import Any, Final

from django import forms

from balewright.desk.wording import words
from balewright.flows.service_costs import MOST

PARTS: Final = {
    "hours": ("hour_money", "operator_hour_money", "workshop_hour_money"),
    "way": ("travel_h", "travel_money", "haul_h", "haul_money"),
    "waiting": ("part_days", "standing_money_h", "bale_money", "swap_money", "swap_h"),
}
_HINTS: Final = ("hour_money", "travel_h", "standing_money_h", "bale_money", "swap_money")


class ServiceCostsForm(forms.Form):
    """A number for each cost."""

    use_required_attribute = False

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        wrong = words("service_costs.wrong", high=f"{MOST:,.0f}".replace(",", " "))
        for name in (one for names in PARTS.values() for one in names):
            widget = forms.NumberInput(attrs={"step": "any", "inputmode": "decimal"})
            field = forms.FloatField(min_value=0.0, max_value=MOST, required=False, widget=widget)
            field.error_messages.update(invalid=wrong, min_value=wrong, max_value=wrong)
            field.label = words(f"service_costs.{name}")
            if name in _HINTS:
                field.help_text = words(f"service_costs.{name}.hint")
            self.fields[name] = field

    @property
    def parts(self) -> dict[str, list[forms.BoundField]]:
        """The fields under their headings."""
        return {
            words(f"service_costs.{key}"): [self[one] for one in names]
            for key, names in PARTS.items()
        }

    @property
    def known(self) -> dict[str, float]:
        """What somebody gave, once it is valid."""
        return {name: one for name, one in self.cleaned_data.items() if one is not None}
