"""The fleet as a list, and adding to it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import cast
from zoneinfo import available_timezones

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_safe

from balewright.desk.access import Deed, needs
from balewright.desk.machines.forms import MachineForm
from balewright.desk.paging import page_of
from balewright.desk.wording import words
from balewright.desk.workplace import the_workplace
from balewright.findings.finding import Weight
from balewright.flows.read_today import read_today
from balewright.store.entries import MachineEntry


@dataclass(frozen=True)
class Line:
    """One machine of the list. worst: weight of what weighs most on it, None when nothing does."""

    entry: MachineEntry
    make: str
    items: int
    worst: Weight | None


@require_safe
@needs(Deed.SEE)
def show_machines(request: HttpRequest) -> HttpResponse:
    """Every machine, with how much needs attention on it."""
    workplace = the_workplace()
    entries, pages = page_of(request, workplace.register.load_machines())
    items = read_today(workplace).items
    lines = []
    for entry in entries:
        own = [item for item in items if item.serial == entry.serial]
        profile = workplace.profiles.get(entry.profile_key)
        make = profile.title if profile else entry.profile_key
        lines.append(Line(entry, make, len(own), own[0].weight if own else None))
    return render(request, "machines.html", {"lines": lines, "pages": pages})


@require_http_methods(["GET", "HEAD", "POST"])
@needs(Deed.ADD_MACHINE)
def add_machine(request: HttpRequest) -> HttpResponse:
    """A new machine; its serial stays for ever."""
    workplace = the_workplace()
    makes = [(key, profile.title) for key, profile in workplace.profiles.items()]
    taken = frozenset(entry.serial for entry in workplace.register.load_machines())
    if request.method == "POST":
        form = MachineForm(makes, taken, request.POST)
        if form.is_valid():
            entry = form.entry()
            workplace.register.save_machine(entry)
            messages.success(request, words("machines.added", name=entry.name))
            return cast(HttpResponse, redirect("machine", serial=entry.serial))
    else:
        form = MachineForm(makes, taken, initial={"serial": request.GET.get("serial", "")})
    context = {"form": form, "zones": sorted(available_timezones())}
    return render(request, "machine_add.html", context, status=422 if form.errors else 200)
