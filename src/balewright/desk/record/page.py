"""What was really set on a machine on a day, from its bales, beside the sheet in force."""

from __future__ import annotations

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from balewright.desk.access import Deed, needs
from balewright.desk.record.forms import AskedForm
from balewright.desk.record.shown import group_record
from balewright.desk.workplace import the_workplace
from balewright.flows.sheet_from_record import Asked, list_recorded_days, sheet_from_record

DAYS_SHOWN = 12


@require_safe
@needs(Deed.SEE)
def show_record(request: HttpRequest, serial: str) -> HttpResponse:
    """The newest day where none is asked for."""
    workplace = the_workplace()
    entry = workplace.register.load_machine(serial)
    if entry is None:
        raise Http404(serial)
    days = list_recorded_days(workplace, serial)
    form = AskedForm(request.GET) if set(request.GET) & {"day", "first", "last"} else AskedForm()
    asked = form.asked() if form.is_bound and form.is_valid() else None
    if asked is None and days and not form.errors:
        asked = Asked(day=days[0].day)
        form.initial["day"] = days[0].day.isoformat()
    found = sheet_from_record(workplace, serial, asked) if asked is not None else None
    context = {
        "entry": entry,
        "form": form,
        "asked": asked,
        "found": found,
        "groups": group_record(found) if found is not None and found.bales else [],
        "days": days[:DAYS_SHOWN],
    }
    return render(request, "record.html", context, status=422 if form.errors else 200)
