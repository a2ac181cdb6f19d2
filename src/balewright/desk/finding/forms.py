"""Setting a finding aside: why, and until when."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

from django import forms

from balewright.desk.wording import words
from balewright.flows.set_aside_finding import LONGEST_REASON


class AsideForm(forms.Form):
    """A reason, and a day to come where it shall be told again by itself."""

    use_required_attribute = False
    reason = forms.CharField(max_length=LONGEST_REASON, widget=forms.Textarea(attrs={"rows": 3}))
    until = forms.DateField(required=False, widget=forms.DateInput(attrs={"type": "date"}))

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        reason, until = self.fields["reason"], self.fields["until"]
        reason.label = words("finding.aside.reason")
        reason.help_text = words("finding.aside.reason.hint", longest=LONGEST_REASON)
        wrong = words("finding.aside.reason.wrong", longest=LONGEST_REASON)
        reason.error_messages.update(required=wrong, max_length=wrong)
        until.label = words("finding.aside.until")
        until.help_text = words("finding.aside.until.hint")
        until.error_messages.update(invalid=words("finding.aside.until.wrong"))

    @property
    def until_at(self) -> datetime | None:
        """The end of the day given, UTC."""
        day = self.cleaned_data.get("until")
        if day is None:
            return None
        return datetime(day.year, day.month, day.day, tzinfo=UTC) + timedelta(days=1)
