"""For whom a sheet is taken along: language and units; for a terminal: whose bales, and where."""

from __future__ import annotations

from typing import Any, Final

from django import forms

from balewright.cards.task_data import LONGEST, TaskNames
from balewright.desk.wording import words
from balewright.quantities.si import M2_PER_HA
from balewright.words.languages import LANGUAGES, SOURCE, tongue
from balewright.words.reader import Reader, Units

NAMES: Final = ("customer", "farm", "field", "worker")
_MOST_HA: Final = 10_000.0


class ReaderForm(forms.Form):
    """Language and units of a copy; English and metric where nothing is said."""

    use_required_attribute = False
    language = forms.ChoiceField(required=False)
    units = forms.ChoiceField(required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        choices = {
            "language": [(code, tongue(code).own_name) for code in LANGUAGES],
            "units": [(each.value, words(f"files.units.{each.value}")) for each in Units],
        }
        for name, field in self.fields.items():
            field.label = words(f"files.{name}")
            if isinstance(field, forms.ChoiceField):
                field.choices = choices[name]

    def reader(self) -> Reader:
        """Who reads the copy; only after `is_valid()`."""
        given = self.cleaned_data
        return Reader(given["language"] or SOURCE, Units(given["units"] or Units.METRIC.value))


class TaskForm(ReaderForm):
    """A reader, and what task data names."""

    customer = forms.CharField(max_length=LONGEST, required=False)
    farm = forms.CharField(max_length=LONGEST, required=False)
    field = forms.CharField(max_length=LONGEST, required=False)
    field_ha = forms.FloatField(min_value=0, max_value=_MOST_HA, required=False)
    worker = forms.CharField(max_length=LONGEST, required=False)
    pressure = forms.BooleanField(required=False)

    def job(self) -> TaskNames:
        """Whose bales and where; only after `is_valid()`. Raises BadInput for names with signs
        that cannot be written."""
        given = self.cleaned_data
        named = {name: given[name] or None for name in NAMES}
        return TaskNames(**named, field_m2=(given["field_ha"] or 0.0) * M2_PER_HA)
