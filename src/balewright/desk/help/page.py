"""Help, cautions, a map of the desk and the licence; open to everybody, also without a sign-in."""

from __future__ import annotations

from typing import Final

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from balewright.desk.access import Deed, deeds_of
from balewright.findings.finding import Weight

SITE: Final = (
    ("today", Deed.SEE),
    ("machines", Deed.SEE),
    ("fleet", Deed.SEE),
    ("cases", Deed.SEE),
    ("network", Deed.SEE),
    ("lessons", Deed.SEE),
    ("sheet", Deed.MAKE_SHEET),
    ("intake", Deed.TAKE_IN),
    ("columns", Deed.TAKE_IN),
    ("senders", Deed.MANAGE_SENDERS),
    ("book", Deed.SEE),
    ("misplaced", Deed.SEE),
    ("fields", Deed.SEE),
    ("rolls", Deed.SEE),
    ("people", Deed.ADD_PERSON),
    ("health", Deed.LOOK_AFTER),
    ("prices", Deed.LOOK_AFTER),
    ("service_costs", Deed.LOOK_AFTER),
    ("personal", Deed.LOOK_AFTER),
)
"""Each page that stands by itself, and the deed that opens it."""


@require_safe
@login_not_required
def show_help(request: HttpRequest) -> HttpResponse:
    """One page, cautions first; the map leads to whatever the reader may open."""
    person = getattr(request, "user", None)
    deeds = frozenset() if person is None else deeds_of(person)
    site = [(page, f"{page}.title", deed in deeds) for page, deed in SITE]
    weights = [weight.value for weight in Weight]
    return render(request, "help.html", {"site": site, "weights": weights})
