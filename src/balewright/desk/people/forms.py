"""Adding a person, or giving one another role or password."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib.auth import get_user_model, password_validation
from django.core.exceptions import ValidationError

from balewright.desk.access import DEMO_PERSON, Role
from balewright.desk.wording import words


class PersonForm(forms.Form):
    """A name that is known gets the role and password; a new one is added."""

    use_required_attribute = False
    name = forms.RegexField(r"^[\w.@+-]+\Z", max_length=150)
    role = forms.ChoiceField()
    password = forms.CharField(widget=forms.PasswordInput, required=False, strip=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name, field in self.fields.items():
            field.label = words(f"people.{name}")
            field.help_text = words(f"people.{name}.hint")
        self.fields["name"].error_messages["invalid"] = words("people.name.wrong")
        self.fields["name"].widget.attrs["autocomplete"] = "off"
        self.fields["password"].widget.attrs["autocomplete"] = "new-password"
        role = self.fields["role"]
        assert isinstance(role, forms.ChoiceField)
        role.choices = [(role.value, words(f"role.{role.value}")) for role in Role]

    def clean_name(self) -> str:
        """The demo's own person has no password and keeps none."""
        name: str = self.cleaned_data["name"]
        if name == DEMO_PERSON:
            raise ValidationError(words("people.name.demo"))
        return name

    def clean(self) -> dict[str, Any]:
        """A new person needs a password; any password must be a good one."""
        cleaned = super().clean() or {}
        name, password = cleaned.get("name"), cleaned.get("password")
        known = get_user_model().objects.filter(username=name).first() if name else None
        if name and known is None and not password:
            self.add_error("password", words("people.password.missing"))
        if password:
            try:
                password_validation.validate_password(password, known)
            except ValidationError as error:
                self.add_error("password", error)
        return cleaned
