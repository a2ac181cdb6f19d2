"""Telling that a control was swapped between two bales."""

from __future__ import annotations

from typing import Any

from django import forms

from balewright.desk.wording import words
from balewright.flows.tell_swap import NOTE_LENGTH

MOST: int = 10_000_000


class SwapForm(forms.Form):
    """The old control's last number, the new one's first, and why."""

    use_required_attribute = False
    last_no = forms.IntegerField(min_value=0, max_value=MOST)
    first_no = forms.IntegerField(min_value=0, max_value=MOST)
    note = forms.CharField(max_length=NOTE_LENGTH, required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name, field in self.fields.items():
            field.label = words(f"counts.{name}")
        self.fields["note"].help_text = words("counts.note.hint")
