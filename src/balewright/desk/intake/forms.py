"""The upload form: several files at once, each within the limit."""

from __future__ import annotations

from typing import Any

from django import forms
from django.conf import settings
from django.core.files.uploadedfile import UploadedFile

from balewright.desk.wording import words
from balewright.desk.workplace import the_workplace
from balewright.flows.told_begin import read_begin
from balewright.quantities.errors import BadInput


class ManyFilesInput(forms.ClearableFileInput):
    """A chooser that takes several files."""

    allow_multiple_selected = True


class ManyFiles(forms.FileField):
    """Each chosen file is checked; the value is a list."""

    def clean(self, data: Any, initial: Any = None) -> list[UploadedFile[Any]]:
        """The files; an error names the first that cannot be taken."""
        files = data if isinstance(data, list | tuple) else [data] if data else []
        if not files:
            raise forms.ValidationError(words("intake.none"), code="required")
        if len(files) > settings.UPLOAD_FILES:
            raise forms.ValidationError(words("intake.too_many", count=settings.UPLOAD_FILES))
        return [super(ManyFiles, self).clean(file, initial) for file in files]


class IntakeForm(forms.Form):
    """The files, and whose they are where they do not say."""

    use_required_attribute = False
    chosen = ManyFiles(widget=ManyFilesInput, max_length=200)
    machine = forms.ChoiceField(required=False)
    map = forms.ChoiceField(required=False)
    begins = forms.CharField(
        required=False, max_length=40, widget=forms.TextInput({"type": "datetime-local"})
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field = self.fields["chosen"]
        field.label = words("intake.files")
        field.help_text = words("intake.files.hint", count=settings.UPLOAD_FILES)
        field.error_messages["empty"] = words("intake.empty")
        self.most_files: int = settings.UPLOAD_FILES
        machine = self.fields["machine"]
        assert isinstance(machine, forms.ChoiceField)
        machine.label = words("intake.machine")
        machine.help_text = words("intake.machine.hint")
        known = the_workplace().register.load_machines()
        machine.choices = [
            ("", words("intake.machine.none")),
            *((one.serial, f"{one.name} ({one.serial})") for one in known),
        ]
        by = self.fields["map"]
        assert isinstance(by, forms.ChoiceField)
        by.label = words("intake.map")
        by.help_text = words("intake.map.hint")
        maps = [entry.map for entry in the_workplace().register.load_maps()]
        by.choices = [("", words("intake.map.none")), *((one.key, one.name) for one in maps)]
        self.fields["begins"].label = words("intake.begins")
        self.fields["begins"].help_text = words("intake.begins.hint")

    def clean_begins(self) -> int | None:
        """UTC microseconds, by the clock of the machine that was chosen."""
        machine = self.cleaned_data.get("machine") or None
        try:
            return read_begin(the_workplace(), self.cleaned_data["begins"], machine)
        except BadInput as error:
            raise forms.ValidationError([str(fault) for fault in error.faults]) from error
