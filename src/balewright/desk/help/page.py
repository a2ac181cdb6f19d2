"""Help, cautions and the licence; open to everybody, also without a sign-in."""

from __future__ import annotations

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from balewright.findings.finding import Weight


@require_safe
@login_not_required
def show_help(request: HttpRequest) -> HttpResponse:
    """One page, cautions first."""
    pages = ("today", "machines", "sheet", "intake", "book")
    weights = [weight.value for weight in Weight]
    return render(request, "help.html", {"pages": pages, "weights": weights})
