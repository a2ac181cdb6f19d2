"""A machine's bales, and one of them with its sources, contradictions and corrections."""

from __future__ import annotations

import secrets
from typing import Any

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST, require_safe

from balewright.desk.access import Deed, needs
from balewright.desk.bale.forms import CorrectForm, ListForm
from balewright.desk.bale.shown import group_values, show_corrections, show_sources
from balewright.desk.paging import ROWS
from balewright.desk.wording import words
from balewright.desk.workplace import the_workplace
from balewright.flows.correct_bales import Asked, correct_bales, withdraw_correction
from balewright.flows.list_bales import list_bales
from balewright.quantities.errors import BadInput
from balewright.records.traced import TracedBale
from balewright.store.entries import MachineEntry


@require_safe
@needs(Deed.SEE)
def show_bales(request: HttpRequest, serial: str) -> HttpResponse:
    """Bales of a machine, the newest first, fifty a page."""
    workplace = the_workplace()
    every = list_bales(workplace, serial, ListForm((), {}).query(), 0, 0)
    if not every.total and workplace.register.load_machine(serial) is None:
        raise Http404(serial)
    form = ListForm(every.jobs, request.GET if {*request.GET} & {"number", "day", "job"} else None)
    query = form.query()
    total = list_bales(workplace, serial, query, 0, 0).total
    page = Paginator(range(total), ROWS).get_page(request.GET.get("page"))
    found = list_bales(workplace, serial, query, (page.number - 1) * ROWS, ROWS)
    kept = request.GET.copy()
    kept.pop("page", None)
    context = {
        **_of_machine(serial),
        "form": form,
        "found": found,
        "pages": {"page": page, "query": kept.urlencode()},
    }
    return render(request, "bales.html", context, status=422 if form.errors else 200)


@require_safe
@needs(Deed.SEE)
def show_bale(request: HttpRequest, serial: str, key: str) -> HttpResponse:
    """One bale; an old key leads to the one it has now."""
    bale = _bale(serial, key)
    if bale.key != key:
        return redirect("bale", serial=serial, key=bale.key)
    return _page(request, bale, CorrectForm(initial={"mark": secrets.token_hex(12)}))


@require_POST
@needs(Deed.CORRECT)
def correct(request: HttpRequest, serial: str, key: str) -> HttpResponse:
    """Put one value right; what is wrong stands beside its field."""
    bale, form = _bale(serial, key), CorrectForm(request.POST)
    if form.is_valid():
        given = form.cleaned_data
        asked = Asked(
            machine=serial,
            bales=(bale.key,),
            column=given["column"],
            value=given["value"],
            why=given["why"],
            by=request.user.get_username(),
            mark=given["mark"],
        )
        try:
            correct_bales(the_workplace(), asked)
        except BadInput as error:
            for fault in error.faults:
                field = "why" if fault.place == "why" else "value"
                form.add_error(field, words("bale.form.fault", fault=str(fault)))
        else:
            messages.success(request, words("bale.corrected"))
            return _back(bale)
    return _page(request, bale, form, 422)


@require_POST
@needs(Deed.CORRECT)
def take_back(request: HttpRequest, serial: str, key: str) -> HttpResponse:
    """Take a correction of this bale back."""
    bale = _bale(serial, key)
    asked = request.POST.get("correction", "")
    if asked not in {one.key for one in bale.corrections}:
        raise Http404(asked)
    why = request.POST.get("why", "").strip() or words("bale.back.unsaid")
    try:
        withdraw_correction(the_workplace(), asked, why[:500], request.user.get_username())
    except BadInput:
        messages.info(request, words("bale.back.gone"))
    else:
        messages.success(request, words("bale.back.done"))
    return _back(bale)


def _back(bale: TracedBale) -> HttpResponse:
    """To the bale under the key it has now: a number that was put right changes it."""
    journal = the_workplace().journal
    found = (journal.read_bale(bale.machine, name) for name in bale.answers_to)
    now = next((one for one in found if one is not None), bale)
    return redirect("bale", serial=bale.machine, key=now.key)


def _bale(serial: str, key: str) -> TracedBale:
    found = the_workplace().journal.read_bale(serial, key)
    if found is None:
        raise Http404(key)
    return found


def _of_machine(serial: str) -> dict[str, Any]:
    entry: MachineEntry | None = the_workplace().register.load_machine(serial)
    zone = "UTC" if entry is None else entry.zone
    return {"serial": serial, "entry": entry, "zone": zone}


def _page(
    request: HttpRequest, bale: TracedBale, form: CorrectForm, status: int = 200
) -> HttpResponse:
    about, number = _of_machine(bale.machine), bale.value("bale_no")
    context = {
        **about,
        "bale": bale,
        "number": None if number is None else str(number),
        "form": form,
        "sources": show_sources(bale),
        "groups": group_values(bale, about["zone"]),
        "corrections": show_corrections(bale, about["zone"]),
    }
    return render(request, "bale.html", context, status=status)
