"""Prices of the house. For managers."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any, cast

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from balewright.desk.access import Deed, needs
from balewright.desk.prices.forms import PricesForm
from balewright.desk.wording import words
from balewright.desk.workplace import the_workplace
from balewright.flows.house_prices import PRICES, house_prices, set_house_prices


@require_http_methods(["GET", "HEAD", "POST"])
@needs(Deed.LOOK_AFTER)
def show_prices(request: HttpRequest) -> HttpResponse:
    """The prices in force, in a form that sets others."""
    workplace = the_workplace()
    if request.method != "POST":
        return _page(request, PricesForm(initial=asdict(house_prices(workplace))))
    form = PricesForm(request.POST)
    if not form.is_valid():
        return _page(request, form, 422)
    set_house_prices(workplace, form.prices, request.user.get_username())
    messages.success(request, words("prices.done"))
    return cast(HttpResponse, redirect("prices"))


def _page(request: HttpRequest, form: PricesForm, status: int = 200) -> HttpResponse:
    context: dict[str, Any] = {"form": form, "last": _last()}
    return render(request, "prices.html", context, status=status)


def _last() -> str:
    """When and by whom they were set last, "" where never."""
    kept = the_workplace().register.load_rule(PRICES)
    if kept is None:
        return ""
    day = f"{kept.set_at:%Y-%m-%d}"
    return (
        words("prices.last", day=day)
        if kept.set_by is None
        else words("prices.last_by", day=day, by=kept.set_by)
    )
