"""A device for one machine of the register."""

from __future__ import annotations

from typing import Any

from django import forms

from balewright.desk.wording import words
from balewright.desk.workplace import the_workplace
from balewright.flows.senders import LONGEST_LABEL


class SenderForm(forms.Form):
    """Whose records it sends, and which device it is."""

    use_required_attribute = False
    machine = forms.ChoiceField()
    label = forms.CharField(max_length=LONGEST_LABEL)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name, field in self.fields.items():
            field.label = words(f"senders.{name}")
            field.help_text = words(f"senders.{name}.hint")
        machine = self.fields["machine"]
        assert isinstance(machine, forms.ChoiceField)
        machine.choices = [
            (one.serial, f"{one.name} ({one.serial})")
            for one in the_workplace().register.load_machines()
        ]
