"""The setup sheet: a form with a live result, the kept sheets and their A5 cards."""

from __future__ import annotations

from typing import Any, cast

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST, require_safe

from balewright.cards.sheet_pdf import sheet_pdf
from balewright.desk.access import Deed, needs
from balewright.desk.feedback.answers import answer_form
from balewright.desk.feedback.shown import told_of_sheet
from balewright.desk.film.picture import picture_film
from balewright.desk.sheet.forms import FIRST, SheetForm, told_beside
from balewright.desk.sheet.lines import group_lines, list_sources
from balewright.desk.sheet.refilled import refill
from balewright.desk.sheet.whom import FLEET, MAKE, machine_choices, request_of
from balewright.desk.wording import words
from balewright.desk.workplace import the_workplace
from balewright.flows.make_sheet import keep_sheet, load_sheet, make_sheet
from balewright.plan.sheet.sheet import Sheet
from balewright.quantities.errors import BadInput, NotAnswerable


def _shown(sheet: Sheet) -> dict[str, Any]:
    machine = the_workplace().profiles.get(sheet.profile_key)
    return {
        "sheet": sheet,
        "groups": group_lines(sheet, machine),
        "sources": list_sources(sheet),
        "film": picture_film(sheet, machine) if machine else None,
    }


def _result(form: SheetForm) -> dict[str, Any]:
    """The sheet, or what keeps it from being made."""
    if not form.is_valid():
        return {"sheet": None, "faults": None}
    try:
        return _shown(make_sheet(the_workplace(), request_of(form)))
    except BadInput as error:
        return {"sheet": None, "faults": told_beside(form, error.faults)}
    except NotAnswerable as error:
        return {"sheet": None, "faults": None, "not_answerable": str(error)}


@require_safe
@needs(Deed.MAKE_SHEET)
def fill_form(request: HttpRequest) -> HttpResponse:
    """The form with its result; without a script the button sends it to this same page."""
    machines = machine_choices()
    first = {**FIRST, "machine": machines[0][1][0][0] if machines else ""}
    wanted = request.GET.get("machine")
    if wanted is not None and set(request.GET) == {"machine"}:
        first["machine"] = f"{FLEET}{wanted}"
    asked = "crop" in request.GET
    form = SheetForm(machines, request.GET if asked else first)
    return render(request, "sheet.html", {"form": form, "live": True, **_result(form)})


@require_safe
@needs(Deed.MAKE_SHEET)
def show_result(request: HttpRequest) -> HttpResponse:
    """The result alone, or as a card when the card was asked for; the page without a script."""
    form = SheetForm(machine_choices(), request.GET)
    result = _result(form)
    if "card" in request.GET and result["sheet"] is not None:
        return _card(result["sheet"])
    page = "sheet_result.html" if getattr(request, "htmx", False) else "sheet.html"
    return render(request, page, {"form": form, "live": True, **result})


@require_POST
@needs(Deed.MAKE_SHEET)
def keep(request: HttpRequest) -> HttpResponse:
    """Make the sheet once more from the sent fields, keep it and go to it."""
    form = SheetForm(machine_choices(), request.POST)
    result = _result(form)
    if result["sheet"] is None:
        return render(request, "sheet.html", {"form": form, "live": True, **result}, status=422)
    sheet_id = keep_sheet(the_workplace(), result["sheet"])
    messages.success(request, words("sheet.kept"))
    return cast(HttpResponse, redirect("sheet.kept", sheet_id=sheet_id))


@require_safe
@needs(Deed.SEE)
def show_kept(request: HttpRequest, sheet_id: str) -> HttpResponse:
    """A kept sheet."""
    sheet = _kept(sheet_id)
    again = refill(sheet.conditions)
    if sheet.spread_bales is not None:  # nobody gave it: by then there may be more bales
        again["spread"] = None
    context = {**_shown(sheet), "sheet_id": sheet_id, "again": _query(sheet, again)}
    context |= {"told": told_of_sheet(sheet_id, sheet), **answer_form(sheet)}
    return render(request, "sheet_kept.html", context)


def _kept(sheet_id: str) -> Sheet:
    try:
        return load_sheet(the_workplace(), sheet_id)
    except BadInput as error:
        raise Http404(str(error)) from error


def _query(sheet: Sheet, again: dict[str, Any]) -> list[tuple[str, Any]]:
    whom = f"{FLEET}{sheet.machine_serial}" if sheet.machine_serial else MAKE + sheet.profile_key
    known = {name: value for name, value in again.items() if value not in (None, False)}
    return [("machine", whom), *known.items()]


def _card(sheet: Sheet) -> HttpResponse:
    answer = HttpResponse(sheet_pdf(sheet), content_type="application/pdf")
    name = f"sheet-{sheet.machine_serial or sheet.profile_key}.pdf"
    answer.headers["Content-Disposition"] = f'inline; filename="{name}"'
    return answer
