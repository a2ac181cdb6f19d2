"""Bales of a batch, for when it is called back, and batches that break more than the rest."""

from __future__ import annotations

from typing import Any, Final

from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from balewright.desk.access import Deed, needs
from balewright.desk.paging import page_of
from balewright.desk.wording import words
from balewright.desk.workplace import the_workplace
from balewright.findings.rolls_compared import RollCompared
from balewright.flows.kept_batches import batches_worse
from balewright.flows.read_rolls import BatchTold, find_batch
from balewright.records.events import EventKind
from balewright.words.counting import say_runs

_KINDS = {"film": EventKind.FILM_ROLL_CHANGED, "net": EventKind.NET_ROLL_CHANGED}

HUNDRED: Final = 100.0
MOST_SURE: Final = 1_000_000


class BatchForm(forms.Form):
    """A batch, and whether of film or of net."""

    use_required_attribute = False
    batch = forms.CharField(max_length=100)
    kind = forms.ChoiceField(required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name, field in self.fields.items():
            field.label = words(f"rolls.{name}")
        self.fields["batch"].help_text = words("rolls.batch.hint")
        kind = self.fields["kind"]
        assert isinstance(kind, forms.ChoiceField)
        kind.choices = [
            ("", words("rolls.both")),
            *((key, words(f"rolls.{key}")) for key in _KINDS),
        ]


@require_safe
@needs(Deed.SEE)
def show_rolls(request: HttpRequest) -> HttpResponse:
    """Lines by machine, roll and job, fifty a page, and their sum."""
    form = BatchForm(request.GET if "batch" in request.GET else None)
    found = BatchTold((), 0)
    if form.is_valid():
        given = form.cleaned_data
        found = find_batch(the_workplace(), given["batch"], _KINDS.get(given["kind"]))
    lines, pages = page_of(request, found.lines)
    entries = {entry.serial: entry for entry in the_workplace().register.load_machines()}
    shown: list[dict[str, Any]] = []
    for line in lines:
        entry = entries.get(line.machine)
        name, zone = (entry.name, entry.zone) if entry else (line.machine, "UTC")
        shown.append({"line": line, "name": name, "zone": zone, "numbers": say_runs(line.numbers)})
    context = {
        "form": form,
        "asked": form.is_bound,
        "lines": shown,
        "pages": pages,
        "found": found,
        "worse": [_worse(one) for one in batches_worse(the_workplace())],
    }
    return render(request, "rolls.html", context, status=422 if form.errors else 200)


def _worse(one: RollCompared) -> dict[str, Any]:
    """A batch that breaks more, in words."""
    rate, times = one.breaks_bale, one.times
    ends = {"best": rate.best, "low": rate.low, "high": rate.high}
    often = words("rolls.worse.times.only")
    if times is not None:
        often = _said("times", best=times.best, low=times.low, high=times.high)
    sure = words("rolls.worse.sure.most")
    if one.chance_frac > 1 / MOST_SURE:
        sure = words("rolls.worse.sure.said", count=round(1 / one.chance_frac))
    return {
        "name": one.name,
        "bales": one.bales,
        "rate": _said("rate", **{key: HUNDRED * end for key, end in ends.items()}),
        "times": often,
        "sure": sure,
    }


def _said(key: str, **ends: float) -> str:
    return words(f"rolls.worse.{key}.said", **{end: f"{value:.1f}" for end, value in ends.items()})
