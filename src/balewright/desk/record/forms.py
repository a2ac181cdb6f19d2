"""Which bales: those of a day, or from one number to another."""

from __future__ import annotations

from typing import Any

from django import forms

from balewright.desk.wording import words
from balewright.flows.sheet_from_record import Asked


class AskedForm(forms.Form):
    """A day, or two bale numbers; the numbers win where both stand."""

    use_required_attribute = False
    day = forms.DateField(required=False, widget=forms.DateInput(attrs={"type": "date"}))
    first = forms.IntegerField(min_value=0, max_value=10_000_000, required=False)
    last = forms.IntegerField(min_value=0, max_value=10_000_000, required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name, field in self.fields.items():
            field.label = words(f"record.{name}")

    def clean(self) -> dict[str, Any]:
        """Both numbers or neither, the lower one first."""
        cleaned = super().clean() or {}
        first, last = cleaned.get("first"), cleaned.get("last")
        if self.errors:
            return cleaned
        if (first is None) != (last is None):
            self.add_error("last" if last is None else "first", words("record.both"))
        elif first is not None and last is not None and first > last:
            self.add_error("last", words("record.order"))
        return cleaned

    def asked(self) -> Asked | None:
        """What is asked for, None where nothing is; only after `is_valid()`."""
        given = self.cleaned_data
        if given["first"] is not None:
            return Asked(first_bale=given["first"], last_bale=given["last"])
        return Asked(day=given["day"]) if given["day"] is not None else None
