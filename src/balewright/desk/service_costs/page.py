"""Service costs of the house. For managers."""

from __future__ import annotations

from typing import cast

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from balewright.desk.access import Deed, needs
from balewright.desk.service_costs.forms import ServiceCostsForm
from balewright.desk.wording import words
from balewright.desk.workplace import the_workplace
from balewright.flows.house_prices import house_prices
from balewright.flows.service_costs import SERVICE_COSTS, set_service_costs


@require_http_methods(["GET", "HEAD", "POST"])
@needs(Deed.LOOK_AFTER)
def show_service_costs(request: HttpRequest) -> HttpResponse:
    """The costs in force, in a form that sets others."""
    workplace = the_workplace()
    kept = workplace.register.load_rule(SERVICE_COSTS)
    if request.method != "POST":
        return _page(request, ServiceCostsForm(initial={} if kept is None else dict(kept.body)))
    form = ServiceCostsForm(request.POST)
    if not form.is_valid():
        return _page(request, form, 422)
    set_service_costs(workplace, form.known, request.user.get_username())
    messages.success(request, words("service_costs.done"))
    return cast(HttpResponse, redirect("service_costs"))


def _page(request: HttpRequest, form: ServiceCostsForm, status: int = 200) -> HttpResponse:
    workplace = the_workplace()
    kept, prices = workplace.register.load_rule(SERVICE_COSTS), house_prices(workplace)
    last = ""
    if kept is not None:
        day = f"{kept.set_at:%Y-%m-%d}"
        last = (
            words("prices.last", day=day)
            if kept.set_by is None
            else words("prices.last_by", day=day, by=kept.set_by)
        )
    context = {"form": form, "last": last, "currency": prices.currency}
    return render(request, "service_costs.html", context, status=status)
