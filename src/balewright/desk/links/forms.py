"""A new link: how long, with the machine's name or without, and a word above the sheet."""

from __future__ import annotations

from typing import Any, Final

from django import forms

from balewright.desk.wording import words
from balewright.flows.share_sheet import LONGEST_DAYS, NOTE_LENGTH

USUAL_DAYS: Final = 14


class LinkForm(forms.Form):
    """What the maker of a link decides."""

    use_required_attribute = False
    days = forms.IntegerField(min_value=1, max_value=LONGEST_DAYS, initial=USUAL_DAYS)
    note = forms.CharField(max_length=NOTE_LENGTH, required=False)
    names_machine = forms.BooleanField(required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name, field in self.fields.items():
            field.label = words(f"links.{name}")
            field.help_text = words(f"links.{name}.hint")
