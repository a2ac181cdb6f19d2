"""What a machine would give: five pictures for the conditions of its sheet, or for others."""

from __future__ import annotations

from dataclasses import replace
from typing import Any, Final
from urllib.parse import urlencode

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_safe

from balewright.desk.access import Deed, needs
from balewright.desk.outlook.cards import draw_cards
from balewright.desk.outlook.forms import SHEET_FIELDS, OutlookForm, filled, prices_in
from balewright.desk.sheet.forms import told_beside
from balewright.desk.workplace import the_workplace
from balewright.flows.choose_conditions import Chosen, choose_conditions
from balewright.flows.look_ahead import look_ahead
from balewright.quantities.errors import BadInput, Fault
from balewright.words.sheet_words import conditions_of

PRICES: Final = "outlook_prices"
"""Where a sign-in's prices are kept; they end with it."""


@require_safe
@needs(Deed.SEE)
def show_outlook(request: HttpRequest, serial: str) -> HttpResponse:
    """The form and its pictures; without a script the button sends it to this same page."""
    return render(request, "outlook.html", _shown(request, serial))


@require_safe
@needs(Deed.SEE)
def show_pictures(request: HttpRequest, serial: str) -> HttpResponse:
    """The pictures alone: for the machine's page, and for the form as it is filled in."""
    if not getattr(request, "htmx", False):
        return show_outlook(request, serial)
    shown = {**_shown(request, serial), "beside_form": bool(request.GET)}
    answer = render(request, "outlook_pictures.html", shown)
    if request.GET:
        place = reverse("outlook", args=[serial])
        answer.headers["HX-Replace-Url"] = f"{place}?{request.GET.urlencode()}"
    return answer


def _shown(request: HttpRequest, serial: str) -> dict[str, Any]:
    workplace = the_workplace()
    entry = workplace.register.load_machine(serial)
    if entry is None:
        raise Http404(serial)
    try:
        chosen = choose_conditions(workplace, serial)
    except BadInput as error:
        raise Http404(str(error)) from error
    form = OutlookForm(filled(chosen.conditions, request.GET, request.session.get(PRICES, {})))
    changed = any(name in form.fields for name in request.GET)
    # Only what was typed into the form here: an address somebody passed on changes nothing.
    if getattr(request, "htmx", False) and "crop" in request.GET and form.is_valid():
        _remember(request)
    return {
        "entry": entry,
        "form": form,
        "chosen": chosen,
        "changed": changed,
        "remembered": bool(request.session.get(PRICES)) and not changed,
        **_answers(chosen, form),
        "parts": form.parts(),
        "beside_form": True,
        "again": _sheet_query(serial, form),
    }


def _remember(request: HttpRequest) -> None:
    """Keep a whole form's prices for this sign-in, so that other machines are told in money too."""
    prices = prices_in(request.GET)
    if request.session.get(PRICES, {}) != prices:
        request.session[PRICES] = prices


def _answers(chosen: Chosen, form: OutlookForm) -> dict[str, Any]:
    """The cards, or what keeps them from being drawn."""
    if not form.is_valid():
        return {"cards": None, "faults": ()}
    try:
        asked = replace(form.asked(), recorded=chosen.recorded)
        outlook = look_ahead(chosen.machine, asked)
    except BadInput as error:
        left: tuple[Fault, ...] = told_beside(form, error.faults)
        return {"cards": None, "faults": left}
    return {"cards": draw_cards(outlook), "conditions": conditions_of(outlook.sheet), "faults": ()}


def _sheet_query(serial: str, form: OutlookForm) -> str:
    """The same conditions for a setup sheet."""
    given = {name: form.data[name] for name in SHEET_FIELDS if form.data.get(name)}
    return urlencode({"machine": f"machine:{serial}", **given})
