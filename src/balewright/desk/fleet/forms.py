"""What comparing people is for."""

from __future__ import annotations

from typing import Any

from django import forms

from balewright.desk.wording import words
from balewright.flows.compare_people import LONGEST_PURPOSE


class PurposeForm(forms.Form):
    """The purpose, in words that those it is about would be told."""

    use_required_attribute = False
    purpose = forms.CharField(max_length=LONGEST_PURPOSE, widget=forms.Textarea(attrs={"rows": 3}))

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field = self.fields["purpose"]
        field.label = words("fleet.people.purpose")
        field.help_text = words("fleet.people.purpose.hint")
        wrong = words("fleet.people.purpose.wrong", longest=LONGEST_PURPOSE)
        field.error_messages.update(required=wrong, max_length=wrong)
