"""A machine's settings as they were kept, and what moved between two of them."""

from __future__ import annotations

from typing import Any, cast

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST, require_safe

from balewright.desk.access import Deed, needs
from balewright.desk.kept_settings.forms import KeepForm
from balewright.desk.kept_settings.shown import show_compared, show_kept
from balewright.desk.wording import words
from balewright.desk.workplace import the_workplace
from balewright.flows.compare_settings import compare_settings
from balewright.flows.keep_settings import KeepRequest, keep_settings, settings_of_sheet
from balewright.store.entries import MachineEntry

MOST_SHEETS = 20


@require_safe
@needs(Deed.SEE)
def show_settings(request: HttpRequest, serial: str) -> HttpResponse:
    """What was kept, and two of them beside each other where two are named."""
    entry = _machine(serial)
    return _page(request, entry, KeepForm(_sheets(serial)))


@require_POST
@needs(Deed.KEEP_SETTINGS)
def keep(request: HttpRequest, serial: str) -> HttpResponse:
    """Keep a list, then go to what moved since the one before."""
    workplace, entry = the_workplace(), _machine(serial)
    form = KeepForm(_sheets(serial), request.POST)
    if not form.is_valid():
        return _page(request, entry, form, 422)
    given = form.cleaned_data
    before = workplace.register.load_snapshots(serial)
    kept = keep_settings(
        workplace,
        KeepRequest(
            serial=serial,
            settings=settings_of_sheet(workplace, given["sheet"]) if given["sheet"] else form.pairs,
            origin=given["sheet"] or words("settings.typed"),
            note=given["note"],
            kept_by=request.user.get_username(),
        ),
    )
    messages.success(request, words("settings.kept", count=len(kept.settings)))
    way = cast(HttpResponse, redirect("settings", serial=serial))
    earlier = next((one for one in before if one.id != kept.id), None)
    if earlier is not None:
        way["Location"] += f"?old={earlier.id}&new={kept.id}"
    return way


def _machine(serial: str) -> MachineEntry:
    entry = the_workplace().register.load_machine(serial)
    if entry is None:
        raise Http404(serial)
    return entry


def _sheets(serial: str) -> list[tuple[str, str]]:
    kept = the_workplace().register.load_sheets(serial)[:MOST_SHEETS]
    return [(one.id, f"{one.made_at:%Y-%m-%d} {one.json['conditions']['crop']}") for one in kept]


def _page(
    request: HttpRequest, entry: MachineEntry, form: KeepForm, status: int = 200
) -> HttpResponse:
    kept = the_workplace().register.load_snapshots(entry.serial)
    context = {"entry": entry, "form": form, "kept": show_kept(kept), **_compared(request, entry)}
    return render(request, "settings.html", context, status=status)


def _compared(request: HttpRequest, entry: MachineEntry) -> dict[str, Any]:
    """Both named ones and what moved; nothing where one of them is not of this machine."""
    workplace = the_workplace()
    named = [request.GET.get(side, "") for side in ("old", "new")]
    found = [workplace.register.load_snapshot(one) if one else None for one in named]
    old, new = (one if one is not None and one.machine == entry.serial else None for one in found)
    if old is None or new is None:
        return {"old": old, "new": new, "compared": None}
    profile = workplace.profiles.get(entry.profile_key)
    compared = show_compared(compare_settings(old.settings, new.settings, profile))
    return {"old": old, "new": new, "compared": compared}
