"""What needs attention, most urgent first."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from balewright.desk.access import Deed, needs
from balewright.desk.paging import page_of
from balewright.desk.workplace import the_workplace
from balewright.flows.read_today import read_today


@require_safe
@needs(Deed.SEE)
def show_today(request: HttpRequest) -> HttpResponse:
    """One plain sentence each, linked to its machine."""
    today = read_today(the_workplace())
    rows, pages = page_of(request, today.items)
    context = {
        "items": rows,
        "pages": pages,
        "count": len(today.items),
        "machines": today.machines,
        "fleet": today.fleet,
    }
    return render(request, "today.html", context)
