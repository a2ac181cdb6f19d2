"""What if one condition were another, and two kept sheets side by side."""

from __future__ import annotations

from dataclasses import replace
from typing import Any, Final, cast
from urllib.parse import urlencode

from django.http import Http404, HttpRequest, HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_safe

from balewright.desk.access import Deed, needs
from balewright.desk.beside.forms import WhatIfForm
from balewright.desk.beside.shown import show
from balewright.desk.outlook.forms import OutlookForm, filled
from balewright.desk.outlook.page import PRICES
from balewright.desk.sheet.forms import SheetForm
from balewright.desk.sheet.refilled import refill
from balewright.desk.sheet.whom import FLEET, MAKE, machine_choices, request_of
from balewright.desk.wording import words
from balewright.desk.workplace import the_workplace
from balewright.flows.choose_conditions import choose_conditions
from balewright.flows.make_sheet import load_sheet, make_sheet
from balewright.flows.outlook import Asked
from balewright.flows.set_beside import set_beside
from balewright.flows.what_if import what_if
from balewright.plan.machine import Machine
from balewright.plan.sheet.sheet import Conditions, Sheet
from balewright.quantities.errors import BadInput, NotAnswerable
from balewright.words.sheet_words import conditions_of, machine_of

_LISTED: Final = 100
"""So many kept sheets can be picked from a list, the newest; others by their address."""


@require_safe
@needs(Deed.MAKE_SHEET)
def ask_form(request: HttpRequest) -> HttpResponse:
    """What if, of the conditions that stand in the sheet's form."""
    form = SheetForm(machine_choices(), request.GET)
    is_live = bool(getattr(request, "htmx", False))
    row: dict[str, Any] = {"place": reverse("sheet.what_if"), "live": is_live}
    if not form.is_valid():
        return _answer(request, {**row, "waiting": True})
    try:
        sheet = make_sheet(the_workplace(), request_of(form))
    except (BadInput, NotAnswerable):
        return _answer(request, {**row, "waiting": True})
    sent = [(name, value) for name, value in request.GET.items() if name in form.fields]
    row |= {"hidden": [] if is_live else sent, "back": f"{reverse('sheet')}?{urlencode(sent)}"}
    return _answer(request, {**row, **_asked(request, sheet)})


@require_safe
@needs(Deed.SEE)
def ask_kept(request: HttpRequest, sheet_id: str) -> HttpResponse:
    """What if, of the conditions of a kept sheet, by the rules of today."""
    sheet = _kept(sheet_id)
    context = {
        "place": reverse("sheet.kept.what_if", args=[sheet_id]),
        "hidden": [],
        "back": reverse("sheet.kept", args=[sheet_id]),
    }
    return _answer(request, {**context, **_asked(request, sheet)})


@require_safe
@needs(Deed.SEE)
def choose_other(request: HttpRequest, sheet_id: str) -> HttpResponse:
    """Pick the sheet to set beside this one; one that is not there is told beside its field."""
    sheet, other = _kept(sheet_id), request.GET.get("other", "").strip()
    wrong = None
    if other:
        if the_workplace().register.load_sheet(other) is not None:
            place = redirect("sheet.beside", sheet_id=sheet_id, other_id=other)
            return cast(HttpResponse, place)
        wrong = words("beside.no_such", id=other)
    context = {"sheet": sheet, "sheet_id": sheet_id, "others": _others(sheet_id, sheet),
               "wrong": wrong, "other": other, "machine": machine_of(sheet)}  # fmt: skip
    return render(request, "beside_choose.html", context, status=422 if wrong else 200)


@require_safe
@needs(Deed.SEE)
def show_beside(request: HttpRequest, sheet_id: str, other_id: str) -> HttpResponse:
    """Two kept sheets as they were made, the second against the first."""
    one, other = _kept(sheet_id), _kept(other_id)
    profiles = the_workplace().profiles
    machines = (profiles.get(one.profile_key), profiles.get(other.profile_key))
    context = {
        "shown": show(set_beside(one, other, machines)),
        "pair": [_side(sheet_id, one), _side(other_id, other)],
        "first": words("beside.first"),
        "second": words("beside.second"),
    }
    return render(request, "beside.html", context)


def _asked(request: HttpRequest, sheet: Sheet) -> dict[str, Any]:
    """The row, and what its change does, or what is wrong with it."""
    machine = the_workplace().profiles.get(sheet.profile_key)
    if machine is None:
        return {"no_profile": True}
    form = WhatIfForm(sheet.conditions, machine, request.GET.dict())
    context: dict[str, Any] = {"form": form, "first": words("beside.now"),
                               "second": words("beside.then")}  # fmt: skip
    if not form.what_now or not form.is_valid():
        return context
    try:
        asked = _question(request, sheet, machine)
        beside = what_if(machine, asked, [form.change()])
    except BadInput as error:
        form.tell_beside(error.faults)
        return context
    except NotAnswerable as error:
        form.add_error("what", str(error))
        return context
    return context | {"shown": show(beside), "make": _make(sheet, beside.other.conditions)}


def _question(request: HttpRequest, sheet: Sheet, machine: Machine) -> Asked:
    """The job with the person's own prices and how this machine's bales differ, as its pictures
    have them."""
    prices = OutlookForm(filled(sheet.conditions, QueryDict(), request.session.get(PRICES, {})))
    asked = Asked(sheet.conditions)
    if prices.is_valid():
        asked = replace(prices.asked(), conditions=sheet.conditions)
    if sheet.machine_serial is None:
        return asked
    try:
        chosen = choose_conditions(the_workplace(), sheet.machine_serial)
    except BadInput:
        return asked
    same = chosen.machine.key == machine.key
    return replace(asked, recorded=chosen.recorded) if same else asked


def _make(sheet: Sheet, conditions: Conditions) -> str:
    """Query of a sheet for the changed conditions."""
    whom = f"{FLEET}{sheet.machine_serial}" if sheet.machine_serial else MAKE + sheet.profile_key
    known = {name: value for name, value in refill(conditions).items()
             if value not in (None, False, "")}  # fmt: skip
    return urlencode({"machine": whom, **known})


def _answer(request: HttpRequest, context: dict[str, Any]) -> HttpResponse:
    """The answer alone for a row that is there, the row too where it is loaded, else a page."""
    if not getattr(request, "htmx", False):
        return render(request, "what_if.html", context)
    page = "what_if_answer.html" if "what" in request.GET else "what_if_row.html"
    return render(request, page, context)


def _side(sheet_id: str, sheet: Sheet) -> dict[str, Any]:
    made = the_workplace().register.load_sheet(sheet_id)
    return {
        "id": sheet_id,
        "machine": machine_of(sheet),
        "conditions": conditions_of(sheet),
        "day": "" if made is None else f"{made.made_at:%Y-%m-%d}",
    }


def _others(sheet_id: str, sheet: Sheet) -> list[tuple[str, str]]:
    """Kept sheets to pick from: those of the same machine first, the newest first."""
    entries = the_workplace().register.load_sheets()
    own = [entry for entry in entries if entry.machine == sheet.machine_serial]
    rest = [entry for entry in entries if entry.machine != sheet.machine_serial]
    found: list[tuple[str, str]] = []
    for entry in [*own, *rest]:
        if entry.id == sheet_id or len(found) == _LISTED:
            continue
        try:
            kept = load_sheet(the_workplace(), entry.id)
        except BadInput:
            continue
        label = words("beside.listed", machine=entry.machine or kept.profile_title,
                      crop=conditions_of(kept)[0], day=f"{entry.made_at:%Y-%m-%d}")  # fmt: skip
        found.append((entry.id, label))
    return found


def _kept(sheet_id: str) -> Sheet:
    try:
        return load_sheet(the_workplace(), sheet_id)
    except BadInput as error:
        raise Http404(str(error)) from error
