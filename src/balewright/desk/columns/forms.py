"""What is asked of a whole table: its letters, signs, days, zone and machine; and files."""

from __future__ import annotations

from typing import Any

from django import forms

from balewright.desk.wording import words
from balewright.desk.workplace import the_workplace
from balewright.flows.guess_columns import MACHINES_OWN, SIGNS, Guess, zone_names
from balewright.flows.keep_column_map import MOST_BYTES

NAME_LENGTH = 120


def pairs(name: str, *first: tuple[str, str]) -> list[tuple[str, str]]:
    """The choices of one question, in words."""
    said = [(one, words(f"columns.{name}.{_plain(one)}")) for one in SIGNS[name]]
    return [*first, *said]


def _plain(sign: str) -> str:
    known = {".": "point", ",": "comma", " ": "blank", "'": "apostrophe", "": "none"}
    return known.get(sign, sign.replace("-", "_").replace(" ", "_"))


class LookForm(forms.Form):
    """How the file is looked at; asked by address, so that it can be gone back to."""

    use_required_attribute = False
    encoding = forms.ChoiceField(required=False)
    sheet = forms.ChoiceField(required=False)
    head_row = forms.IntegerField(required=False, min_value=1, max_value=1000)

    def __init__(self, sheets: tuple[str, ...], *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name, field in self.fields.items():
            field.label = words(f"columns.{name}")
        if sheets:
            del self.fields["encoding"]
            self.fields["sheet"] = forms.ChoiceField(
                required=False,
                choices=[(one, one) for one in sheets],
                label=words("columns.sheet"),
            )
        else:
            del self.fields["sheet"]
            self.fields["encoding"] = forms.ChoiceField(
                required=False, choices=pairs("encoding"), label=words("columns.encoding")
            )


class WholeForm(forms.Form):
    """What holds for the whole table; what the table leaves open must be answered to keep it."""

    use_required_attribute = False
    name = forms.CharField(max_length=NAME_LENGTH, required=False)
    decimal = forms.ChoiceField()
    thousands = forms.ChoiceField(required=False)
    day_order = forms.ChoiceField()
    zone = forms.ChoiceField()
    twice = forms.ChoiceField()
    machine = forms.ChoiceField(required=False)
    letters = forms.BooleanField(required=False)

    def __init__(self, seen: Guess, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        asked = {one.key.rpartition(".")[2] for one in seen.questions}
        none = ("", words("columns.choose"))
        registered = the_workplace().register.load_machines()
        near = sorted({one.zone for one in registered})
        zones = [(one, one) for one in (*near, *(z for z in zone_names() if z not in near))]
        own = (MACHINES_OWN, words("columns.zone.machine"))
        machines = [(one.serial, f"{one.name} ({one.serial})") for one in registered]
        choices = {
            "decimal": pairs("decimal", *([none] if "decimal" in asked else [])),
            "thousands": pairs("thousands"),
            "day_order": pairs("day_order", *([none] if "day_order" in asked else [])),
            "zone": [*([none] if "zone" in asked else []), own, *zones],
            "twice": pairs("twice"),
            "machine": [("", words("columns.machine.none")), *machines],
        }
        for name, field in self.fields.items():
            field.label = words(f"columns.{name}")
            if isinstance(field, forms.ChoiceField):
                field.choices = choices[name]
                field.error_messages["required"] = words("columns.answer")
        self.fields["twice"].help_text = words("columns.twice.hint")
        self.fields["name"].help_text = words("columns.name.hint")
        if "encoding" not in asked:
            del self.fields["letters"]

    def clean_letters(self) -> bool:
        """Nobody but a person can say that letters look right."""
        if not self.cleaned_data["letters"]:
            raise forms.ValidationError(words("columns.letters.needed"))
        return True

    def whole(self) -> dict[str, Any]:
        """The answers given so far, for a look; what is open is not in it."""
        found = {
            name: self.data.get(name)
            for name in ("decimal", "thousands", "day_order", "zone", "twice", "machine", "name")
        }
        for name in ("decimal", "day_order", "zone", "twice", "machine", "name"):
            found[name] = found[name] or None
        return found


class TableForm(forms.Form):
    """A table to explain."""

    use_required_attribute = False
    table = forms.FileField(max_length=200)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["table"].label = words("columns.table")
        self.fields["table"].error_messages["required"] = words("columns.table.none")
        self.fields["table"].error_messages["empty"] = words("columns.table.empty")


class MapForm(forms.Form):
    """A map that somebody else made."""

    use_required_attribute = False
    map = forms.FileField(max_length=200)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["map"].label = words("columns.map_file")
        self.fields["map"].error_messages["required"] = words("columns.map_file.none")

    def clean_map(self) -> Any:
        """A map is a short text: a large file is none, and is not read."""
        given = self.cleaned_data["map"]
        if given.size > MOST_BYTES:
            raise forms.ValidationError(words("columns.map_file.large", size_bytes=MOST_BYTES))
        return given


def first_answers(seen: Guess) -> dict[str, Any]:
    """What the form shows at first: the guess, and nothing where the table leaves it open."""
    column_map = seen.column_map
    asked = {one.key.rpartition(".")[2] for one in seen.questions}
    return {
        "name": column_map.name,
        "decimal": "" if "decimal" in asked else column_map.decimal,
        "thousands": column_map.thousands,
        "day_order": "" if "day_order" in asked else column_map.day_order,
        "zone": "" if "zone" in asked else column_map.zone,
        "twice": column_map.twice.value,
        "machine": column_map.machine or "",
    }
