"""Which bales to list, and what to put right of one."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django import forms

from balewright.desk.bale.shown import column_choices
from balewright.desk.wording import words
from balewright.flows.correct_bales import TEXT_LENGTH, WHY_LENGTH
from balewright.flows.list_bales import BaleQuery


class ListForm(forms.Form):
    """Number, day and job, each left out for all."""

    use_required_attribute = False
    number = forms.IntegerField(
        required=False,
        min_value=0,
        max_value=10_000_000,
        widget=forms.TextInput(attrs={"inputmode": "numeric", "autocomplete": "off"}),
    )
    day = forms.DateField(required=False, widget=forms.DateInput(attrs={"type": "date"}))
    job = forms.ChoiceField(required=False)

    def __init__(self, jobs: Sequence[str], *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name, field in self.fields.items():
            field.label = words(f"bale.list.{name}")
        job = self.fields["job"]
        assert isinstance(job, forms.ChoiceField)
        job.choices = [("", words("bale.list.any")), *((word, word) for word in jobs)]

    def query(self) -> BaleQuery:
        """What is asked for; all of it where the form is wrong."""
        if not self.is_valid():
            return BaleQuery()
        given = self.cleaned_data
        return BaleQuery(given["number"], given["day"], given["job"] or None)


class CorrectForm(forms.Form):
    """One column, what should stand there, and how that is known."""

    use_required_attribute = False
    column = forms.ChoiceField()
    value = forms.CharField(required=False, max_length=TEXT_LENGTH)
    why = forms.CharField(
        max_length=WHY_LENGTH, widget=forms.Textarea(attrs={"rows": 2, "autocomplete": "off"})
    )
    mark = forms.CharField(max_length=64, widget=forms.HiddenInput())

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name in ("column", "value", "why"):
            self.fields[name].label = words(f"bale.form.{name}")
        self.fields["value"].help_text = words("bale.form.value.hint")
        self.fields["why"].help_text = words("bale.form.why.hint")
        column = self.fields["column"]
        assert isinstance(column, forms.ChoiceField)
        column.choices = column_choices()
