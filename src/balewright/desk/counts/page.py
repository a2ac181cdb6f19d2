"""One machine's counts, and telling that its control was swapped."""

from __future__ import annotations

from typing import Final, cast

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST, require_safe

from balewright.desk.access import Deed, needs
from balewright.desk.counts.forms import SwapForm
from balewright.desk.counts.shown import show_counts, show_rolls
from balewright.desk.wording import words
from balewright.desk.workplace import the_workplace
from balewright.flows.account_counts import CountsTold, account_counts
from balewright.flows.read_rolls import read_rolls
from balewright.flows.strike_number import strike_number
from balewright.flows.tell_swap import SwapAsked, SwapTold, take_swap_back, tell_swap
from balewright.quantities.errors import BadInput
from balewright.records.counts.account import LifetimeCount

MOST_DIGITS: Final = 12


@require_safe
@needs(Deed.SEE)
def show_page(request: HttpRequest, serial: str) -> HttpResponse:
    """The account, the sums, what was told, the rolls."""
    return _page(request, _told(serial), SwapForm())


@require_POST
@needs(Deed.CORRECT)
def keep_swap(request: HttpRequest, serial: str) -> HttpResponse:
    """Keep that the control was swapped between two numbers."""
    told, form = _told(serial), SwapForm(request.POST)
    if form.is_valid():
        given = form.cleaned_data
        by = request.user.get_username()
        asked = SwapAsked(serial, given["last_no"], given["first_no"], given["note"], by)
        try:
            return _kept(request, serial, tell_swap(the_workplace(), asked))
        except BadInput as error:
            for fault in error.faults:
                form.add_error("first_no", words("settings.fault", fault=str(fault)))
    return _page(request, told, form, 422)


@require_POST
@needs(Deed.CORRECT)
def take_back(request: HttpRequest, serial: str, at_us: int) -> HttpResponse:
    """Take back what was told of a swap."""
    _told(serial)
    try:
        told = take_swap_back(the_workplace(), serial, at_us, request.user.get_username())
    except BadInput as error:
        messages.warning(request, str(error), extra_tags="note")
        return cast(HttpResponse, redirect("counts", serial=serial))
    return _kept(request, serial, told)


@require_POST
@needs(Deed.CORRECT)
def strike(request: HttpRequest, serial: str) -> HttpResponse:
    """Strike a number that is no count: its bales stay, their number unknown."""
    _told(serial)
    given = request.POST.get("number", "")
    try:
        number = int(given) if given.isdecimal() and len(given) < MOST_DIGITS else -1
        struck = strike_number(the_workplace(), serial, number, request.user.get_username())
    except BadInput as error:
        messages.warning(request, str(error), extra_tags="note")
    else:
        messages.success(request, words("counts.struck", bales=struck.bales))
    return cast(HttpResponse, redirect("counts", serial=serial))


def _told(serial: str) -> CountsTold:
    try:
        return account_counts(the_workplace(), serial)
    except BadInput as error:
        raise Http404(serial) from error


def _kept(request: HttpRequest, serial: str, told: SwapTold) -> HttpResponse:
    before, after = (_lifetime(one) for one in (told.before, told.after))
    messages.success(request, words("counts.kept", before=before, after=after))
    return cast(HttpResponse, redirect("counts", serial=serial))


def _lifetime(count: LifetimeCount) -> str:
    bales = "–" if count.bales is None else f"{count.bales}"
    return words("counts.least", bales=bales) if count.at_least else bales


def _page(
    request: HttpRequest, told: CountsTold, form: SwapForm, status: int = 200
) -> HttpResponse:
    rolls = read_rolls(the_workplace(), told.entry.serial)
    context = {
        "entry": told.entry,
        "in_register": bool(told.entry.profile_key),
        "form": form,
        "lifetime": _lifetime(told.account.lifetime),
        "rolls": rolls,
        "ranges": show_rolls(rolls),
        **show_counts(told),
    }
    return render(request, "counts.html", context, status=status)
