"""What of the book is asked for."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django import forms

from balewright.desk.wording import words
from balewright.flows.read_book import BookQuery


class BookForm(forms.Form):
    """Customer, job, machine, from and to; empty means all."""

    use_required_attribute = False
    customer = forms.ChoiceField(required=False)
    job = forms.ChoiceField(required=False)
    machine = forms.ChoiceField(required=False)
    since = forms.DateField(required=False, widget=forms.DateInput(attrs={"type": "date"}))
    until = forms.DateField(required=False, widget=forms.DateInput(attrs={"type": "date"}))

    def __init__(self, known: dict[str, Sequence[tuple[str, str]]], *args: Any) -> None:
        super().__init__(*args)
        for name, field in self.fields.items():
            field.label = words(f"book.{name}")
            if isinstance(field, forms.ChoiceField):
                field.choices = [("", words("book.all")), *known[name]]

    def clean(self) -> dict[str, Any]:
        """A span that does not end before it begins."""
        cleaned = super().clean() or {}
        since, until = cleaned.get("since"), cleaned.get("until")
        if since and until and until < since:
            self.add_error("until", words("book.until.wrong"))
        return cleaned

    def query(self) -> BookQuery:
        """The question; only after `is_valid()`."""
        given = self.cleaned_data
        return BookQuery(
            customer=given["customer"] or None,
            job=given["job"] or None,
            machine=given["machine"] or None,
            since_day=given["since"],
            until_day=given["until"],
        )
