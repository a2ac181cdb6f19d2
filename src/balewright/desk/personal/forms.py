"""Forms of the page Personal data: the rule of originals, whom to look for, and being sure."""

from __future__ import annotations

from datetime import UTC, date, datetime
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from balewright.desk.wording import words
from balewright.flows.erase_personal import Erasing, ErasureKind
from balewright.flows.keep_originals import LONGEST_DAYS, SHORTEST_DAYS


class RuleForm(forms.Form):
    """How long originals are kept; empty is for good."""

    use_required_attribute = False
    days = forms.IntegerField(required=False, min_value=SHORTEST_DAYS, max_value=LONGEST_DAYS)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field = self.fields["days"]
        field.label = words("personal.days")
        field.help_text = words("personal.days.hint")
        wrong = words("personal.days.wrong")
        field.error_messages.update(invalid=wrong, min_value=wrong, max_value=wrong)


class AskForm(forms.Form):
    """Whom or what to look for."""

    use_required_attribute = False
    kind = forms.ChoiceField()
    subject = forms.CharField(max_length=200, required=False)
    before = forms.DateField(required=False, widget=forms.DateInput(attrs={"type": "date"}))

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name, field in self.fields.items():
            field.label = words(f"personal.{name}")
        self.fields["subject"].help_text = words("personal.subject.hint")
        self.fields["subject"].widget.attrs["autocomplete"] = "off"
        self.fields["before"].help_text = words("personal.before.hint")
        kind = self.fields["kind"]
        assert isinstance(kind, forms.ChoiceField)
        kind.choices = [(one.value, words(f"personal.kind.{one.value}")) for one in ErasureKind]

    def clean(self) -> dict[str, Any]:
        """A name is needed for all but positions: nothing would mean everybody."""
        cleaned = super().clean() or {}
        if cleaned.get("kind") != ErasureKind.POSITIONS and not cleaned.get("subject"):
            self.add_error("subject", words("personal.subject.wrong"))
        return cleaned

    @property
    def asked(self) -> Erasing:
        """What the form asks for, once it is valid."""
        given = self.cleaned_data
        kind = ErasureKind(given["kind"])
        before = given["before"] if kind is ErasureKind.POSITIONS else None
        return Erasing(kind, given["subject"], None if before is None else _us(before))


class SureForm(AskForm):
    """The same once more, with the word that says one is sure."""

    sure = forms.CharField(required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name in ("kind", "subject", "before"):
            self.fields[name].widget = forms.HiddenInput()
        self.fields["sure"].widget.attrs["autocomplete"] = "off"

    def clean_sure(self) -> str:
        """The word, in capitals."""
        given: str = self.cleaned_data["sure"]
        if given.strip() != words("personal.erase.word"):
            raise ValidationError(words("personal.erase.wrong"))
        return given


def _us(day: date) -> int:
    return int(datetime(day.year, day.month, day.day, tzinfo=UTC).timestamp()) * 1_000_000
