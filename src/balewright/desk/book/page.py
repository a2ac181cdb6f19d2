"""The bale book: bales by customer, job, machine and day; as a page and as CSV."""

from __future__ import annotations

import csv
from collections.abc import Sequence
from typing import Final

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from balewright.desk.access import Deed, needs
from balewright.desk.book.forms import BookForm
from balewright.desk.paging import page_of
from balewright.desk.workplace import the_workplace
from balewright.flows.read_book import Book, BookRow, read_book

CSV_COLUMNS: Final = (
    *("customer", "job", "machine", "day", "zone", "bales", "ok", "burst", "tests"),
    *("rewrapped", "mass_kg", "weighed", "farm", "field"),
)


@require_safe
@needs(Deed.SEE)
def show_book(request: HttpRequest) -> HttpResponse:
    """The lines asked for, fifty a page, with their sum and the lifetimes behind them."""
    form = _form(request)
    book = read_book(the_workplace(), form.query()) if form.is_valid() else Book((), ())
    rows, pages = page_of(request, book.rows)
    names = {entry.serial: entry.name for entry in the_workplace().register.load_machines()}
    query = request.GET.copy()
    query.pop("page", None)
    context = {
        "form": form,
        "lines": [(row, names.get(row.machine or "")) for row in rows],
        "pages": pages,
        "book": book,
        "query": query.urlencode(),
        "lifetimes": [(one, names.get(one.machine, one.machine)) for one in book.lifetimes],
    }
    return render(request, "book.html", context, status=422 if form.errors else 200)


@require_safe
@needs(Deed.SEE)
def send_csv(request: HttpRequest) -> HttpResponse:
    """The same lines as a file: header of English names, empty where unknown."""
    form = _form(request)
    if not form.is_valid():
        return show_book(request)
    answer = HttpResponse(content_type="text/csv; charset=utf-8")
    answer.headers["Content-Disposition"] = 'attachment; filename="bale-book.csv"'
    writer = csv.writer(answer)
    writer.writerow(CSV_COLUMNS)
    for row in read_book(the_workplace(), form.query()).rows:
        writer.writerow(_cells(row))
    return answer


def _form(request: HttpRequest) -> BookForm:
    register = the_workplace().register
    jobs = register.load_jobs()
    customers = sorted({job.customer for job in jobs if job.customer})
    known: dict[str, Sequence[tuple[str, str]]] = {
        "customer": [(name, name) for name in customers],
        "job": [(word, word) for word in dict.fromkeys(job.job for job in jobs)],
        "machine": [(entry.serial, entry.name) for entry in register.load_machines()],
    }
    return BookForm(known, request.GET)


def _cells(row: BookRow) -> list[object]:
    values = [getattr(row, name) for name in CSV_COLUMNS]
    return ["" if value is None else _safe(value) for value in values]


def _safe(value: object) -> object:
    """Text that a spreadsheet would take for a formula gets an apostrophe before it."""
    if isinstance(value, str) and value.startswith(("=", "+", "-", "@", "\t", "\r")):
        return "'" + value
    return value
