"""What is written into a case at the desk."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final

from django import forms

from balewright.cause.case.payload import Fields, fields_of
from balewright.cause.network import Network
from balewright.desk.links.forms import USUAL_DAYS
from balewright.desk.wording import words
from balewright.flows.share_sheet import LONGEST_DAYS, NOTE_LENGTH

WORDS_LENGTH: Final = 2_000
SLOTS: Final = (1, 2, 3)
"""Parts that one form takes."""
MOST_MINUTES: Final = 10_000.0


def _text(rows: int = 2) -> forms.CharField:
    return forms.CharField(
        max_length=WORDS_LENGTH, required=False, widget=forms.Textarea(attrs={"rows": rows})
    )


def _number(most: float) -> forms.FloatField:
    widget = forms.NumberInput(attrs={"step": "any", "inputmode": "decimal"})
    return forms.FloatField(min_value=0.0, max_value=most, required=False, widget=widget)


class _CaseForm(forms.Form):
    """Labels and hints from the catalogue; ids that no other form of the page has."""

    use_required_attribute = False
    about = ""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        kwargs["auto_id"] = f"{self.about}-%s"
        super().__init__(*args, **kwargs)
        for name, field in self.fields.items():
            bare = name.rstrip("123")
            field.label = words(f"cases.{self.about}.{bare}")
            if bare in self.hinted:
                field.help_text = words(f"cases.{self.about}.{bare}.hint")
            wrong = words("cases.wrong.number")
            field.error_messages.update(invalid=wrong, min_value=wrong, max_value=wrong)

    hinted: tuple[str, ...] = ()


class FoundForm(_CaseForm):
    """The cause found: one of the network, or own words."""

    about = "found"
    hinted = ("words",)
    cause = forms.ChoiceField(required=False)
    words = _text()

    def __init__(self, network: Network | None, likely: Sequence[str], *args: Any,
                 **kwargs: Any) -> None:  # fmt: skip
        super().__init__(*args, **kwargs)
        self.fields["cause"].choices = _choices(network, likely)  # type: ignore[attr-defined]

    def clean(self) -> dict[str, Any]:
        """One of both is needed."""
        cleaned = super().clean() or {}
        if not self.errors and not (cleaned.get("cause") or cleaned.get("words", "").strip()):
            self.add_error("cause", words("cases.found.wrong"))
        return cleaned

    @property
    def payload(self) -> Fields:
        """As the entry holds it."""
        given = self.cleaned_data
        return fields_of(cause=given["cause"] or None, words=given["words"].strip() or None)


class RepairForm(_CaseForm):
    """What was done, with what, how long; or that the machine was swapped."""

    about = "repair"
    hinted = ("at_bale", "travel_minutes")
    words = _text()
    minutes = _number(MOST_MINUTES)
    travel_minutes = _number(MOST_MINUTES)
    at_bale = forms.IntegerField(min_value=0, max_value=10_000_000, required=False)
    part1 = forms.CharField(max_length=80, required=False)
    count1 = _number(10_000.0)
    part2 = forms.CharField(max_length=80, required=False)
    count2 = _number(10_000.0)
    part3 = forms.CharField(max_length=80, required=False)
    count3 = _number(10_000.0)
    swapped = forms.BooleanField(required=False)
    instead = forms.CharField(max_length=80, required=False)

    def __init__(self, network: Network | None, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.network = network
        for slot in SLOTS:
            self.fields[f"part{slot}"].widget.attrs["list"] = "known-parts"

    def clean(self) -> dict[str, Any]:
        """Something must have been done."""
        cleaned = super().clean() or {}
        told = [cleaned.get("words", "").strip(), cleaned.get("swapped")]
        told += [cleaned.get(f"part{slot}") for slot in SLOTS]
        if not self.errors and not any(told):
            self.add_error("words", words("cases.repair.wrong"))
        return cleaned

    @property
    def known_parts(self) -> list[str]:
        """Names to pick from."""
        parts = () if self.network is None else self.network.parts
        return sorted(one.name.in_language("en") for one in parts)

    @property
    def parts(self) -> list[dict[str, Any]]:
        """Parts as the entry holds them: a key where the network knows the name."""
        known = {} if self.network is None else {
            one.name.in_language("en"): one.key for one in self.network.parts
        }  # fmt: skip
        found = []
        for slot in SLOTS:
            name = self.cleaned_data.get(f"part{slot}", "").strip()
            if name:
                count = self.cleaned_data.get(f"count{slot}")
                found.append(
                    {"part": known.get(name, name), "count": 1 if count is None else count}
                )
        return found

    @property
    def payload(self) -> Fields:
        """As the entry holds it."""
        given = self.cleaned_data
        told: dict[str, Any] = {"words": given["words"].strip() or None}
        told |= {name: given[name] for name in ("minutes", "at_bale")}
        if given["swapped"]:
            return fields_of(**told, instead=given["instead"].strip() or None)
        return fields_of(**told, travel_minutes=given["travel_minutes"], parts=self.parts or None)


class WordsForm(_CaseForm):
    """A few words: a note, a claim, why a case is closed or opened again."""

    words = _text()

    def __init__(self, about: str, *args: Any, needed: bool = False, **kwargs: Any) -> None:
        self.about = about
        super().__init__(*args, **kwargs)
        self.fields["words"].required = needed
        self.fields["words"].error_messages["required"] = words("cases.wrong.words")


class ShareForm(_CaseForm):
    """A link to a case."""

    about = "share"
    hinted = ("kind", "days", "note")
    kind = forms.ChoiceField()
    days = forms.IntegerField(min_value=1, max_value=LONGEST_DAYS, initial=USUAL_DAYS)
    note = forms.CharField(max_length=NOTE_LENGTH, required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["kind"].choices = [  # type: ignore[attr-defined]
            (kind, words(f"cases.share.kind.{kind}")) for kind in ("guide", "read", "claim")
        ]


def _choices(network: Network | None, likely: Sequence[str]) -> list[tuple[str, Any]]:
    """The likeliest first, then all, by where on the machine."""
    none = [("", words("cases.found.none"))]
    if network is None:
        return list(none)
    first = [network.cause_by_key[key] for key in likely if key in network.cause_by_key]
    groups: dict[str, list[tuple[str, str]]] = {}
    for one in sorted(network.causes, key=lambda cause: cause.name.in_language("en")):
        groups.setdefault(one.system.value.capitalize(), []).append(
            (one.key, one.name.in_language("en"))
        )
    likeliest = [(one.key, one.name.in_language("en")) for one in first]
    return [*none, *([(words("cases.found.likely"), likeliest)] if likeliest else []),
            *sorted(groups.items())]  # fmt: skip
