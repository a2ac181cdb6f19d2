"""Bales that lie in another job's field: proposals, accepting one, taking it back."""

from __future__ import annotations

from typing import Any, Final, cast

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.http import urlencode
from django.utils.safestring import SafeString, mark_safe
from django.views.decorators.http import require_POST, require_safe

from balewright.desk.access import Deed, needs
from balewright.desk.paging import page_of
from balewright.desk.reading import say_here
from balewright.desk.wording import words
from balewright.desk.workplace import the_workplace
from balewright.flows.accept_split import (
    SplitAsked,
    accept_split,
    accepted_splits,
    take_split_back,
)
from balewright.flows.find_misplaced_bales import MisplacedTold, Split, find_misplaced_bales
from balewright.flows.look_at_split import look_at_split
from balewright.pictures.field_map import draw_field
from balewright.quantities.errors import BadInput
from balewright.quantities.reason import because
from balewright.words.counting import headline, placed_by_time, say_runs

_ACCEPTED: Final = 20
_LOOKS: Final = {"clear": "cost", "likely": "note", "weak": ""}


@require_safe
@needs(Deed.SEE)
def show_misplaced(request: HttpRequest) -> HttpResponse:
    """Every proposal, of one machine where the address names one."""
    serial = request.GET.get("machine") or None
    try:
        told = find_misplaced_bales(the_workplace(), serial)
    except BadInput as error:
        raise Http404(serial) from error
    return _page(request, told, serial)


@require_POST
@needs(Deed.CORRECT)
def accept(request: HttpRequest, key: str) -> HttpResponse:
    """Put the bales of one proposal under a job."""
    serial = request.POST.get("machine") or None
    by = request.user.get_username()
    asked = SplitAsked(key, request.POST.get("job") or None, serial, by)
    try:
        kept = accept_split(the_workplace(), asked)
    except BadInput as error:
        told = find_misplaced_bales(the_workplace(), serial)
        return _page(request, told, serial, "; ".join(str(fault) for fault in error.faults))
    said = words("misplaced.done", bales=kept.split.found.bales, job=kept.job)
    messages.success(request, said)
    return _back_to(request, serial)


@require_POST
@needs(Deed.CORRECT)
def take_back(request: HttpRequest, key: str) -> HttpResponse:
    """Let the bales of an accepted split stand as their files say again."""
    try:
        take_split_back(the_workplace(), key, request.user.get_username())
    except BadInput as error:
        messages.warning(request, str(error), extra_tags="note")
    else:
        messages.success(request, words("misplaced.undone"))
    return _back_to(request, request.POST.get("machine") or None)


def _back_to(request: HttpRequest, serial: str | None) -> HttpResponse:
    del request
    query = f"?{urlencode({'machine': serial})}" if serial else ""
    return cast(HttpResponse, redirect(reverse("misplaced") + query))


def _page(
    request: HttpRequest, told: MisplacedTold, serial: str | None, wrong: str = ""
) -> HttpResponse:
    workplace = the_workplace()
    splits, pages = page_of(request, told.splits)
    names = {entry.serial: entry.name for entry in workplace.register.load_machines()}
    accepted = accepted_splits(workplace, serial)[:_ACCEPTED]
    context = {
        "told": told,
        "splits": [_shown(split) for split in splits],
        "pages": pages,
        "serial": serial,
        "name": names.get(serial or "", serial),
        "wrong": wrong,
        "accepted": [(one, names.get(one.machine, one.machine)) for one in accepted],
    }
    return render(request, "misplaced.html", context, status=422 if wrong else 200)


def _shown(split: Split) -> dict[str, Any]:
    found = split.found
    drawn = look_at_split(the_workplace(), split)
    picture: SafeString | str = mark_safe(draw_field(drawn, say_here))  # noqa: S308  escaped there
    return {
        "split": split,
        "found": found,
        "look": _LOOKS[found.sure.value],
        "sure": say_here(because(f"misplaced.sure.{found.sure.value}")),
        "says": say_here(headline(found)),
        "numbers": say_runs(split.numbers),
        "why": [say_here(one) for one in (*found.why, *placed_by_time(found))],
        "picture": picture,
    }
