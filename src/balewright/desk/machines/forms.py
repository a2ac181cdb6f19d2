"""Adding a machine to the register."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final
from zoneinfo import available_timezones

from django import forms

from balewright.desk.wording import words
from balewright.store.entries import MachineEntry

SERIAL: Final = r"^[A-Za-z0-9][A-Za-z0-9 ._-]*\Z"


class MachineForm(forms.Form):
    """Serial, name, make, time zone, whose it is."""

    use_required_attribute = False
    serial = forms.RegexField(SERIAL, max_length=100)
    name = forms.CharField(max_length=200)
    profile_key = forms.ChoiceField()
    zone = forms.CharField(max_length=64, initial="UTC")
    customer = forms.CharField(max_length=200, required=False)

    def __init__(
        self, makes: Sequence[tuple[str, str]], taken: frozenset[str], *args: Any, **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        self._taken = taken
        for name, field in self.fields.items():
            field.label = words(f"machines.{name}")
        for name in ("serial", "zone"):
            self.fields[name].help_text = words(f"machines.{name}.hint")
        self.fields["serial"].error_messages["invalid"] = words("machines.serial.wrong")
        self.fields["zone"].widget.attrs["list"] = "zones"
        make = self.fields["profile_key"]
        assert isinstance(make, forms.ChoiceField)
        make.choices = list(makes)

    def clean_serial(self) -> str:
        """A serial names one machine for ever."""
        serial: str = self.cleaned_data["serial"]
        if serial in self._taken:
            raise forms.ValidationError(words("machines.serial.taken"))
        return serial

    def clean_zone(self) -> str:
        """A zone that the time zone data knows."""
        zone: str = self.cleaned_data["zone"]
        if zone not in available_timezones():
            raise forms.ValidationError(words("machines.zone.wrong"))
        return zone

    def entry(self) -> MachineEntry:
        """The machine; only after `is_valid()`."""
        given = self.cleaned_data
        return MachineEntry(
            serial=given["serial"],
            name=given["name"],
            profile_key=given["profile_key"],
            zone=given["zone"],
            customer=given["customer"] or None,
        )
