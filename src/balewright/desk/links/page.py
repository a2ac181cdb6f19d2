"""Links of a kept sheet: make one, see how often each was opened, end it."""

from __future__ import annotations

from typing import Any, cast

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.safestring import mark_safe
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST

from balewright.cards.qr import code_svg
from balewright.desk.access import Deed, is_loopback, needs
from balewright.desk.links.forms import LinkForm
from balewright.desk.wording import words
from balewright.desk.workplace import the_workplace
from balewright.flows.share_sheet import ShareRequest, share_sheet, withdraw_link


@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
@needs(Deed.SHARE_SHEET)
def show_links(request: HttpRequest, sheet_id: str) -> HttpResponse:
    """The links of a sheet. A new one is shown in the answer to its form, once: only its hash is
    kept, so nobody can be shown it again.
    """
    workplace = the_workplace()
    kept = workplace.register.load_sheet(sheet_id)
    if kept is None:
        raise Http404(sheet_id)
    form = LinkForm(request.POST) if request.method == "POST" else LinkForm()
    made = _make(request, sheet_id, form) if form.is_bound and form.is_valid() else None
    now = workplace.clock()
    links = [(link, link.is_good(now)) for link in workplace.register.load_links(sheet_id)]
    context = {
        "sheet_id": sheet_id,
        "machine": kept.machine,
        "crop": kept.json["conditions"]["crop"],
        "form": LinkForm() if made else form,
        "made": made,
        "links": links,
    }
    return render(request, "links.html", context, status=422 if form.errors else 200)


@require_POST
@needs(Deed.SHARE_SHEET)
def withdraw(request: HttpRequest, sheet_id: str, link_id: int) -> HttpResponse:
    """End a link for good."""
    if withdraw_link(the_workplace(), sheet_id, link_id):
        messages.success(request, words("links.withdrawn.done"))
    return cast(HttpResponse, redirect("links", sheet_id=sheet_id))


def _make(request: HttpRequest, sheet_id: str, form: LinkForm) -> dict[str, Any]:
    given = form.cleaned_data
    wanted = ShareRequest(
        sheet_id=sheet_id,
        made_by=request.user.get_username(),
        days=given["days"],
        names_machine=given["names_machine"],
        note=given["note"],
    )
    shared = share_sheet(the_workplace(), wanted)
    address = request.build_absolute_uri(reverse("shared", args=[shared.token]))
    return {
        "address": address,
        "code": mark_safe(code_svg(address)),  # noqa: S308  squares drawn by us
        "until": shared.entry.valid_until,
        "is_near": is_loopback(request.get_host().rsplit(":", 1)[0]),
        "is_open": not request.is_secure(),
    }
