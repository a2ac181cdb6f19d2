"""The sign-in form: Django's own, with our words."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib.auth.forms import AuthenticationForm

from balewright.desk.wording import words


class SignInForm(AuthenticationForm):
    """Name and password; one message for every failure, so that names cannot be guessed."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["username"].label = words("sign_in.name")
        self.fields["password"].label = words("sign_in.password")
        self.error_messages = {
            "invalid_login": words("sign_in.wrong"),
            "inactive": words("sign_in.wrong"),
        }

    def get_invalid_login_error(self) -> forms.ValidationError:
        """The same sentence whether the name or the password is wrong."""
        return forms.ValidationError(words("sign_in.wrong"), code="invalid_login")
