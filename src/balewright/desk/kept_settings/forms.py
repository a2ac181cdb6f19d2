"""Settings that are typed in, pasted, or taken from a kept sheet."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django import forms

from balewright.desk.wording import words
from balewright.flows.keep_settings import NOTE_LENGTH, Pairs
from balewright.flows.read_settings import read_settings
from balewright.quantities.errors import BadInput


class KeepForm(forms.Form):
    """A list of names and values, or a sheet; and why it is kept."""

    use_required_attribute = False
    listed = forms.CharField(
        required=False,
        max_length=100_000,
        widget=forms.Textarea(attrs={"rows": 8, "spellcheck": "false", "autocomplete": "off"}),
    )
    sheet = forms.ChoiceField(required=False)
    note = forms.CharField(max_length=NOTE_LENGTH, required=False)

    def __init__(self, sheets: Sequence[tuple[str, str]], *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name, field in self.fields.items():
            field.label = words(f"settings.{name}")
        self.fields["listed"].help_text = words("settings.listed.hint")
        self.fields["note"].help_text = words("settings.note.hint")
        sheet = self.fields["sheet"]
        assert isinstance(sheet, forms.ChoiceField)
        sheet.choices = [("", words("settings.sheet.none")), *sheets]
        self.pairs: Pairs = ()

    def clean(self) -> dict[str, Any]:
        """Exactly one of the two; what is wrong with a list stands beside it."""
        cleaned = super().clean() or {}
        listed, sheet = cleaned.get("listed", "").strip(), cleaned.get("sheet")
        if bool(listed) == bool(sheet):
            self.add_error("listed", words("settings.one"))
        elif listed:
            try:
                self.pairs = read_settings(listed)
            except BadInput as error:
                for fault in error.faults:
                    self.add_error("listed", words("settings.fault", fault=str(fault)))
        return cleaned
