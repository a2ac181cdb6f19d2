"""The form of the page Prices; anything may be left empty."""

from __future__ import annotations

from typing import Any, Final

from django import forms

from balewright.desk.wording import words
from balewright.flows.house_prices import CURRENCY_LENGTH, NUMBERS, HousePrices

PARTS: Final = {
    "film": ("film_roll_money", "film_roll_m", "binding_roll_money", "binding_roll_m"),
    "work": ("fuel_money_l", "additive_money_l", "hour_money", "bale_money", "currency"),
}
_HINTS: Final = ("hour_money", "bale_money")


class PricesForm(forms.Form):
    """A number for each price, and the currency's name."""

    use_required_attribute = False
    currency = forms.CharField(max_length=CURRENCY_LENGTH, required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name, (low, high) in NUMBERS.items():
            widget = forms.NumberInput(attrs={"step": "any", "inputmode": "decimal"})
            field = forms.FloatField(min_value=low, max_value=high, required=False, widget=widget)
            wrong = words("prices.wrong", low=f"{low:g}", high=f"{high:,.0f}".replace(",", " "))
            field.error_messages.update(invalid=wrong, min_value=wrong, max_value=wrong)
            if name in _HINTS:
                field.help_text = words(f"prices.{name}.hint")
            self.fields[name] = field
        for name, any_field in self.fields.items():
            any_field.label = words(f"prices.{name}")
        self.fields["currency"].help_text = words("prices.currency.hint", most=CURRENCY_LENGTH)

    def clean(self) -> dict[str, Any]:
        """A roll's price says nothing without its metres."""
        cleaned = super().clean() or {}
        for money, metres in (PARTS["film"][:2], PARTS["film"][2:]):
            if cleaned.get(money) is not None and metres in cleaned and cleaned[metres] is None:
                self.add_error(metres, words("prices.wrong.metres"))
        return cleaned

    @property
    def parts(self) -> dict[str, list[forms.BoundField]]:
        """The fields under their headings."""
        return {
            words(f"prices.{key}"): [self[one] for one in names] for key, names in PARTS.items()
        }

    @property
    def prices(self) -> HousePrices:
        """What the form says, once it is valid."""
        return HousePrices(**self.cleaned_data)
