"""Say what the columns of another program's table mean: guessed, looked at live, then kept."""

from __future__ import annotations

import re
import tempfile
import uuid
from pathlib import Path
from typing import Any, Final, cast

from django.contrib import messages
from django.core.files.uploadedfile import TemporaryUploadedFile, UploadedFile
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from balewright.desk.access import Deed, needs
from balewright.desk.columns.forms import LookForm, MapForm, TableForm, WholeForm, first_answers
from balewright.desk.columns.shown import answers_of, bale_lines, column_lines, target_pairs
from balewright.desk.intake.queue import put_in_queue
from balewright.desk.wording import words
from balewright.desk.workplace import the_workplace
from balewright.flows.guess_columns import Guess, GuessWish, answered, guess_columns
from balewright.flows.hold_table import (
    KEPT_DAYS,
    HeldTable,
    drop_table,
    held_table,
    hold_table,
    waiting_tables,
)
from balewright.flows.keep_column_map import (
    ColumnMapEntry,
    column_map_text,
    find_column_map,
    import_column_map,
    keep_column_map,
    withdraw_column_map,
)
from balewright.flows.preview_columns import Preview, preview_columns
from balewright.flows.take_in_pieces import waiting_place
from balewright.quantities.errors import BadInput, Fault
from balewright.store.arriving import UploadEntry

_ROW: Final = re.compile(r"[0-9]{1,4}")
SHOWN_ODD: Final = 12
"""Refusals and doubts of a preview that the page lists; the template cuts them there."""


@require_http_methods(["GET", "HEAD", "POST"])
@needs(Deed.TAKE_IN)
def show_maps(request: HttpRequest) -> HttpResponse:
    """The maps in use, and a table that somebody wants to explain."""
    form = TableForm(request.POST, request.FILES) if request.method == "POST" else TableForm()
    if form.is_bound and form.is_valid():
        try:
            held = _hold(form.cleaned_data["table"])
        except BadInput as error:
            for fault in error.faults:
                form.add_error("table", str(fault))
        else:
            return cast(HttpResponse, redirect("columns.table", key=held.key))
    return _maps(request, form, MapForm(), 422 if form.errors else 200)


@require_POST
@needs(Deed.TAKE_IN)
def take_map(request: HttpRequest) -> HttpResponse:
    """A map that somebody else made, as TOML or JSON."""
    form = MapForm(request.POST, request.FILES)
    if form.is_valid():
        try:
            with tempfile.TemporaryDirectory() as folder:
                path = Path(folder) / "map"
                path.write_bytes(form.cleaned_data["map"].read())
                entry = import_column_map(the_workplace(), path, request.user.get_username())
        except BadInput as error:
            for fault in error.faults:
                form.add_error("map", str(fault))
        else:
            messages.success(request, words("columns.kept", name=entry.map.name))
            return cast(HttpResponse, redirect("columns"))
    return _maps(request, TableForm(), form, 422)


@require_safe
@needs(Deed.TAKE_IN)
def send_map(_: HttpRequest, key: str) -> HttpResponse:
    """A map as TOML, for another workplace."""
    entry = _entry(key)
    answer = HttpResponse(column_map_text(entry.map), content_type="application/toml")
    answer.headers["Content-Disposition"] = f'attachment; filename="{entry.map.key}.toml"'
    return answer


@require_POST
@needs(Deed.TAKE_IN)
def withdraw(request: HttpRequest, key: str) -> HttpResponse:
    """Use a name's maps no more."""
    try:
        entry = withdraw_column_map(the_workplace(), _entry(key).map.key)
    except BadInput:
        return cast(HttpResponse, redirect("columns"))  # somebody else was quicker
    messages.success(request, words("columns.withdrawn", name=entry.map.name))
    return cast(HttpResponse, redirect("columns"))


@require_http_methods(["GET", "HEAD", "POST"])
@needs(Deed.TAKE_IN)
def show_table(request: HttpRequest, key: str) -> HttpResponse:
    """One table: what each column is taken for, its first bales, and keeping the map."""
    held = _held(key)
    try:
        seen = guess_columns(the_workplace(), held.path, _wish(request))
    except BadInput as error:
        context = {"held": held, "faults": error.faults, "look": LookForm((), request.GET)}
        return render(request, "columns_unclear.html", context, status=422)
    if request.method == "POST":
        return _keep(request, held, seen)
    return _table(request, held, seen, WholeForm(seen, initial=first_answers(seen)))


@require_POST
@needs(Deed.TAKE_IN)
def show_preview(request: HttpRequest, key: str) -> HttpResponse:
    """The first bales as they would be read with what has been said so far."""
    held = _held(key)
    try:
        seen = guess_columns(the_workplace(), held.path, _wish(request))
    except BadInput as error:
        return render(request, "columns_preview.html", {"faults": error.faults})
    form = WholeForm(seen, request.POST)
    context = {**_context(request, held, seen, form), "is_swap": True}
    return render(request, "columns_preview.html", context)


def _keep(request: HttpRequest, held: HeldTable, seen: Guess) -> HttpResponse:
    """Keep the map; with `take` take the file in by it."""
    form = WholeForm(seen, request.POST)
    if not form.is_valid() or request.POST.get("do") == "look":
        status = 200 if request.POST.get("do") == "look" else 422
        return _table(request, held, seen, form, status)
    try:
        lines = column_lines(seen, request.POST)
        column_map = answered(seen.column_map, answers_of(lines, form.whole()))
        kept = keep_column_map(the_workplace(), column_map, request.user.get_username())
    except BadInput:
        return _table(request, held, seen, form, 422)
    messages.success(request, words("columns.kept", name=kept.map.name))
    if request.POST.get("do") != "take":
        return cast(HttpResponse, redirect("columns"))
    return cast(HttpResponse, redirect("intake.ticket", ticket=_take_in(request, held, kept)))


def _take_in(request: HttpRequest, held: HeldTable, kept: ColumnMapEntry) -> str:
    """Hand the table to the worker; the ticket."""
    workplace, key = the_workplace(), uuid.uuid4().hex
    entry = UploadEntry(
        key,
        held.name,
        held.path.stat().st_size,
        workplace.clock(),
        request.user.get_username(),
        map_key=kept.map.key,
    )
    workplace.register.save_upload(entry)
    held.path.rename(waiting_place(workplace, key))
    drop_table(workplace, held.key)
    return put_in_queue(entry)


def _table(
    request: HttpRequest, held: HeldTable, seen: Guess, form: WholeForm, status: int = 200
) -> HttpResponse:
    context = _context(request, held, seen, form)
    return render(request, "columns_table.html", context, status=status)


def _context(request: HttpRequest, held: HeldTable, seen: Guess, form: WholeForm) -> dict[str, Any]:
    lines = column_lines(seen, request.POST if form.is_bound else None)
    whole = form.whole() if form.is_bound else {}
    preview: Preview | None = None
    faults: tuple[Fault, ...] = ()
    try:
        column_map = answered(seen.column_map, answers_of(lines, whole))
        preview = preview_columns(the_workplace(), held.path, column_map)
    except BadInput as error:
        faults = error.faults
    draft = seen.column_map
    look = {"encoding": draft.encoding, "sheet": draft.sheet or "", "head_row": draft.head_row + 1}
    return {
        "held": held,
        "seen": seen,
        "form": form,
        "lines": lines,
        "more": max(0, len(seen.columns) - len(lines)),
        "targets": target_pairs(),
        "preview": preview,
        "odd": SHOWN_ODD,
        "bales": bale_lines(preview, whole.get("zone") or draft.zone) if preview else [],
        "faults": faults,
        "look": LookForm(seen.sheets, initial=look),
        "titles": [title for title in seen.titles if title],
    }


def _wish(request: HttpRequest) -> GuessWish:
    """How the file is looked at, by the address or by the form that was sent."""
    asked = {**request.GET.dict(), **request.POST.dict()}
    row = str(asked.get("head_row", ""))
    return GuessWish(
        encoding=str(asked.get("encoding", "")) or None,
        sheet=str(asked.get("sheet", "")) or None,
        head_row=int(row) - 1 if _ROW.fullmatch(row) and 0 < int(row) <= 1000 else None,
    )


def _hold(file: UploadedFile[Any]) -> HeldTable:
    if isinstance(file, TemporaryUploadedFile):
        return hold_table(the_workplace(), Path(file.temporary_file_path()), file.name or "table")
    place = waiting_place(the_workplace(), uuid.uuid4().hex)
    place.write_bytes(file.read())
    return hold_table(the_workplace(), place, file.name or "table")


def _held(key: str) -> HeldTable:
    held = held_table(the_workplace(), key)
    if held is None:
        raise Http404(key)
    return held


def _entry(key: str) -> ColumnMapEntry:
    try:
        return find_column_map(the_workplace(), key)
    except BadInput as error:
        raise Http404(key) from error


def _maps(
    request: HttpRequest, form: TableForm, map_form: MapForm, status: int = 200
) -> HttpResponse:
    entries = the_workplace().register.load_maps()
    lines = [(one, [each for each in one.map.columns if each.target]) for one in entries]
    waiting = {"waiting": waiting_tables(the_workplace()), "kept_days": KEPT_DAYS}
    context = {"lines": lines, "form": form, "map_form": map_form, **waiting}
    return render(request, "columns.html", context, status=status)
