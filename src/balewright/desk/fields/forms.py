"""A GeoJSON file, and a field's name where it has none."""

from __future__ import annotations

from typing import Any, Final

from django import forms

from balewright.desk.wording import words

MAX_BYTES: Final = 20_000_000


class OutlineForm(forms.Form):
    """One file of outlines."""

    use_required_attribute = False
    file = forms.FileField(allow_empty_file=True)
    field = forms.CharField(max_length=200, required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name, field in self.fields.items():
            field.label = words(f"fields.{name}")
            field.help_text = words(f"fields.{name}.hint")
        self.fields["file"].error_messages["required"] = words("fields.no_file")
        self.fields["file"].widget.attrs["accept"] = ".geojson,.json,application/geo+json"

    def clean_file(self) -> Any:
        """No more than GeoJSON of many fields needs."""
        given = self.cleaned_data["file"]
        if given.size > MAX_BYTES:
            raise forms.ValidationError(words("fields.too_large", size_bytes=MAX_BYTES))
        return given
