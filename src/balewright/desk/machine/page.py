"""One machine: counters, findings, work due, its bales as charts and rows, its film."""

from __future__ import annotations

from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from balewright.desk.access import Deed, needs
from balewright.desk.feedback.shown import told_of_machine
from balewright.desk.film.picture import picture_recorded
from balewright.desk.machine import bales as shown
from balewright.desk.machine.findings import charts_shown, choices, findings_shown
from balewright.desk.paging import page_of
from balewright.desk.wording import words
from balewright.desk.workplace import the_workplace
from balewright.flows.machine_readings import machine_readings
from balewright.flows.review_machine import review_machine
from balewright.plan.machine import Machine
from balewright.words.times import zone_named


@require_safe
@needs(Deed.SEE)
def show_machine(request: HttpRequest, serial: str) -> HttpResponse:
    """Everything known of it, findings first."""
    workplace = the_workplace()
    if workplace.register.load_machine(serial) is None:
        raise Http404(serial)
    review = review_machine(workplace, serial)
    zone = zone_named(review.entry.zone)
    chart = shown.chart(review, zone)
    rows, pages = page_of(request, shown.rows_newest_first(review.bales, chart))
    readings = machine_readings(workplace, serial, review.episodes, request.GET.get("measure", ""))
    context = {
        "review": review,
        "told": findings_shown(review.episodes),
        "watched": charts_shown(readings),
        "measures": choices(readings),
        "is_asked": bool(request.GET.get("measure")),
        "profile": _describe(review.machine),
        "chart": {"rows": chart.rows, "specs": chart.specs} if review.bales.rows else None,
        "columns": [(name, words(f"column.{name}")) for name in chart.specs],
        "rows": rows,
        "pages": pages,
        "opened": "page" in request.GET,
        "told_sheets": told_of_machine(serial, zone),
        "kept_sheets": workplace.register.load_sheets(serial)[:5],
        "got": picture_recorded(review.film.newest) if review.film.newest else None,
    }
    return render(request, "machine.html", context)


def _describe(machine: Machine) -> list[tuple[str, str]]:
    """The profile in a few words."""
    chamber, wrapper = machine.chamber, machine.wrapper
    told: list[tuple[str, dict[str, Any]]] = [
        (f"chamber.{chamber.kind.value}", {"width_m": chamber.width_m}),
        ("binding", {"kinds": ", ".join(binding.kind.value for binding in machine.bindings)}),
    ]
    if wrapper is None:
        told.append(("wrapper.none", {}))
    else:
        told.append(("wrapper", {"kind": wrapper.kind.value, "dispensers": wrapper.dispensers}))
    told.append(("sensors", {"count": len(machine.sensors)}))
    return [
        (words(f"machine.{key.split('.')[0]}"), words(f"machine.says.{key}", **values))
        for key, values in told
    ]
