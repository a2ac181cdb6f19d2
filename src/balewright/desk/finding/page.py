"""A finding opened: sentence, chart, bales, rows, files, and what became of it; set aside or
taken back.
"""

from __future__ import annotations

from typing import Any, Final, cast

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST, require_safe

from balewright.desk.access import Deed, needs
from balewright.desk.finding import shown
from balewright.desk.finding.chart import show_chart, title_of
from balewright.desk.finding.forms import AsideForm
from balewright.desk.finding.rows import Row, columns_of, rows_of
from balewright.desk.wording import words
from balewright.desk.workplace import the_workplace
from balewright.flows.open_finding import OpenedFinding, open_finding
from balewright.flows.set_aside_finding import load_episode, set_aside_finding, take_back_aside
from balewright.quantities.errors import BadInput
from balewright.words.times import zone_named

ROWS: Final = 20
_LEAD: Final = 5
"""Bales before the first of it on the page of rows that is shown at first."""


@require_safe
@needs(Deed.SEE)
def show_finding(request: HttpRequest, key: str) -> HttpResponse:
    """Everything known of it."""
    return _page(request, key, AsideForm())


@require_POST
@needs(Deed.SET_ASIDE)
def set_aside(request: HttpRequest, key: str) -> HttpResponse:
    """Let it be quiet, with a reason."""
    _known(key)
    form = AsideForm(request.POST)
    if form.is_valid():
        by = request.user.get_username()
        try:
            set_aside_finding(the_workplace(), key, form.cleaned_data["reason"], by, form.until_at)
        except BadInput as error:
            for fault in error.faults:
                wrong = words(f"finding.aside.{fault.place}.wrong", longest=form.fields[
                    "reason"].max_length)  # type: ignore[attr-defined]  # fmt: skip
                form.add_error(fault.place, wrong)
        else:
            messages.success(request, words("finding.aside.done"))
            return cast(HttpResponse, redirect("finding", key=key))
    return _page(request, key, form, 422)


@require_POST
@needs(Deed.SET_ASIDE)
def take_back(request: HttpRequest, key: str) -> HttpResponse:
    """Let it be told again."""
    _known(key)
    take_back_aside(the_workplace(), key, request.user.get_username())
    messages.success(request, words("finding.aside.back.done"))
    return cast(HttpResponse, redirect("finding", key=key))


def _known(key: str) -> None:
    try:
        load_episode(the_workplace(), key)
    except BadInput as error:
        raise Http404(key) from error


def _page(request: HttpRequest, key: str, form: AsideForm, status: int = 200) -> HttpResponse:
    try:
        opened = open_finding(the_workplace(), key)
    except BadInput as error:  # nobody knows the key, or its machine any more
        raise Http404(key) from error
    episode, zone = opened.episode, zone_named(opened.entry.zone)
    rows = rows_of(opened, zone)
    asked = request if "page" in request.GET else _at(request, _place_of_first(rows))
    part, pages = _rows_of(asked, rows)
    register = the_workplace().register
    aside = episode.set_aside
    context = {
        "opened": opened,
        "episode": episode,
        "finding": episode.finding,
        "entry": opened.entry,
        "kind": shown.kind_said(episode.finding),
        "state": shown.state_of(episode),
        "glance": shown.glance(opened),
        "chart": _chart(opened, "whole" in request.GET),
        "is_whole": "whole" in request.GET,
        "columns": [title_of(name) for name in columns_of(opened)],
        "rows": part,
        "pages": pages,
        "history": shown.history_of(episode, zone),
        "teller": _of_key(register, episode.under or episode.joined),
        "form": form,
        "aside": shown.aside_said(aside, zone, "finding.aside.in_force") if aside else "",
    }
    return render(request, "finding.html", context, status=status)


def _of_key(register: Any, key: str | None) -> Any:
    return None if key is None else register.load_episode(key)


def _place_of_first(rows: list[Row]) -> int:
    found = [place for place, row in enumerate(rows) if row.mark == "first"]
    return max(found[0] - _LEAD, 0) // ROWS + 1 if found else 1


def _rows_of(request: HttpRequest, rows: list[Row]) -> tuple[list[Row], Any]:
    page = Paginator(rows, ROWS).get_page(request.GET.get("page"))
    query = request.GET.copy()
    query.pop("page", None)
    return list(page.object_list), {"page": page, "query": query.urlencode()}


def _at(request: HttpRequest, page: int) -> HttpRequest:
    """The same request, as if that page of rows had been asked for."""
    query = request.GET.copy()
    query["page"] = str(page)
    request.GET = query  # type: ignore[assignment]
    return request


def _chart(opened: OpenedFinding, is_whole: bool) -> Any:
    readings = opened.readings
    if readings is None or not readings.bales:
        return None
    rows = (0, readings.bales) if is_whole else (opened.first, opened.last)
    return show_chart(readings, opened.told, rows)
