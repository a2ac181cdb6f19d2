"""Links to a case: one that guides on a phone, one that only shows it. And the case on paper."""

from __future__ import annotations

from typing import cast

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils.safestring import mark_safe
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from balewright.cards.qr import code_svg
from balewright.desk.access import Deed, is_loopback, needs
from balewright.desk.cases.forms import ShareForm
from balewright.desk.cases.page import case_page, load
from balewright.desk.wording import words
from balewright.desk.workplace import the_workplace
from balewright.flows.case_paper import print_case
from balewright.flows.share_case import ShareCase, share_case, withdraw_case_link
from balewright.store.case_entries import CaseLinkKind

_PAGES = {CaseLinkKind.GUIDE: "case_phone", CaseLinkKind.READ: "case_read"}


@never_cache
@require_POST
@needs(Deed.KEEP_CASES)
def share(request: HttpRequest, key: str) -> HttpResponse:
    """Make a link. It stands in the answer to its form, once: only its hash is kept."""
    load(key)
    form = ShareForm(request.POST)
    if not form.is_valid():
        return case_page(request, key, ("share", form))
    given = form.cleaned_data
    kind = CaseLinkKind.GUIDE if given["kind"] == "guide" else CaseLinkKind.READ
    made = share_case(
        the_workplace(),
        ShareCase(key, request.user.get_username(), given["days"], kind, given["note"],
                  given["kind"] == "claim"),
    )  # fmt: skip
    address = request.build_absolute_uri(reverse(_PAGES[kind], args=[made.token]))
    shown = {
        "address": address,
        "code": mark_safe(code_svg(address)),  # noqa: S308  squares drawn by us
        "until": made.entry.valid_until,
        "is_near": is_loopback(request.get_host().rsplit(":", 1)[0]),
        "is_open": not request.is_secure(),
        "guides": kind is CaseLinkKind.GUIDE,
    }
    return case_page(request, key, more={"made": shown})


@require_POST
@needs(Deed.KEEP_CASES)
def withdraw(request: HttpRequest, key: str, link_id: int) -> HttpResponse:
    """End a link for good."""
    load(key)
    if withdraw_case_link(the_workplace(), key, link_id):
        messages.success(request, words("links.withdrawn.done"))
    return cast(HttpResponse, redirect(reverse("case", args=[key]) + "#share"))


@require_safe
@needs(Deed.SEE)
def send_pdf(request: HttpRequest, key: str) -> HttpResponse:
    """The case on paper."""
    load(key)
    made = print_case(the_workplace(), key, "en", "claim" in request.GET)
    answer = HttpResponse(made, content_type="application/pdf")
    answer.headers["Content-Disposition"] = f'inline; filename="case-{key}.pdf"'
    return answer
