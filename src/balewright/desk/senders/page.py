"""Devices that send by themselves: make one, see what it handed over, end it; for managers."""

from __future__ import annotations

from typing import Any, Final, cast

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST

from balewright.desk.access import Deed, is_loopback, needs
from balewright.desk.senders.forms import SenderForm
from balewright.desk.wording import words
from balewright.desk.workplace import the_workplace
from balewright.flows.senders import make_sender, withdraw_sender

SHOWN_DELIVERIES: Final = 5


@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
@needs(Deed.MANAGE_SENDERS)
def show_senders(request: HttpRequest) -> HttpResponse:
    """Every sender, and one form. A token is shown in the answer to its form, once: only its hash
    is kept.
    """
    form = SenderForm(request.POST) if request.method == "POST" else SenderForm()
    made = _make(request, form) if form.is_bound and form.is_valid() else None
    register = the_workplace().register
    lines = [
        (sender, register.load_deliveries(sender.key, SHOWN_DELIVERIES))
        for sender in register.load_senders()
    ]
    context = {
        "form": SenderForm() if made else form,
        "made": made,
        "lines": lines,
        "has_machines": bool(register.load_machines()),
    }
    return render(request, "senders.html", context, status=422 if form.errors else 200)


@require_POST
@needs(Deed.MANAGE_SENDERS)
def withdraw(request: HttpRequest, key: str) -> HttpResponse:
    """End a sender for good."""
    if withdraw_sender(the_workplace(), key):
        messages.success(request, words("senders.withdrawn.done"))
    return cast(HttpResponse, redirect("senders"))


def _make(request: HttpRequest, form: SenderForm) -> dict[str, Any]:
    given = form.cleaned_data
    made = make_sender(
        the_workplace(), given["machine"], given["label"], request.user.get_username()
    )
    near = is_loopback(request.get_host().rsplit(":", 1)[0])
    return {
        "token": made.token,
        "entry": made.entry,
        "address": request.build_absolute_uri(reverse("door", args=[made.entry.key])),
        "is_open": not request.is_secure() and not near,
    }
