"""What needs attention, most urgent first."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from balewright.desk.access import Deed, needs


@require_safe
@needs(Deed.SEE)
def show_today(request: HttpRequest) -> HttpResponse:
    """Nothing is in the register yet."""
    return render(request, "today.html", {"count": 0, "fleet": 0, "items": ()})
