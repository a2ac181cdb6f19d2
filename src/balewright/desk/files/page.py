"""A kept sheet to take along: card, long sheet, page, message, JSON and task data."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from balewright.cards.issue import Issue, issue_of
from balewright.cards.sheet_json import sheet_from_json, sheet_to_json
from balewright.cards.sheet_message import sheet_message
from balewright.cards.sheet_page import sheet_page
from balewright.cards.sheet_pdf import Paper, sheet_pdf
from balewright.cards.task_data import TaskNames, task_data_zip
from balewright.desk.access import Deed, needs
from balewright.desk.files.forms import ReaderForm, TaskForm
from balewright.desk.workplace import the_workplace
from balewright.plan.sheet.sheet import Sheet
from balewright.quantities.errors import BadInput

TASK: Final = "task.zip"


@dataclass(frozen=True)
class Form:
    """How a file of a sheet is made, what it is called outside, and of which kind it is."""

    kind: str
    make: Callable[[Sheet, str, Issue], bytes]
    shown: bool = False


FORMS: Final = {
    "a5.pdf": Form("application/pdf", sheet_pdf, shown=True),
    "a4.pdf": Form(
        "application/pdf", lambda s, tag, issue: sheet_pdf(s, tag, issue, Paper.A4), shown=True
    ),
    "sheet.html": Form("text/html", lambda s, tag, issue: sheet_page(s, tag, issue).encode()),
    "message.txt": Form(
        "text/plain; charset=utf-8", lambda s, tag, issue: sheet_message(s, tag, issue).encode()
    ),
    "sheet.json": Form(
        "application/json", lambda s, _tag, _issue: json.dumps(sheet_to_json(s)).encode()
    ),
}
"""By the end of its address. The page is sent as a file: it brings its own style, which the
desk's policy would not show."""


@require_safe
@needs(Deed.SEE)
def show_files(request: HttpRequest, sheet_id: str) -> HttpResponse:
    """What a sheet can be taken along as."""
    _, issue = _kept(sheet_id)
    return _page(request, issue, ReaderForm(), TaskForm(auto_id="task_%s"))


@require_safe
@needs(Deed.SEE)
def send_file(request: HttpRequest, sheet_id: str, name: str) -> HttpResponse:
    """One of the files; the page again with what is wrong where something is."""
    sheet, issue = _kept(sheet_id)
    form = FORMS.get(name)
    if form is None:
        raise Http404(name)
    asked = ReaderForm(request.GET)
    if not asked.is_valid():
        return _page(request, issue, asked, TaskForm(auto_id="task_%s"))
    made = form.make(sheet, asked.reader().tag, issue)
    return _file(made, form.kind, f"{sheet_id}-{name}", shown=form.shown)


@require_safe
@needs(Deed.SEE)
def send_task_data(request: HttpRequest, sheet_id: str) -> HttpResponse:
    """Task data for a terminal; the page again with what is wrong where something is."""
    sheet, issue = _kept(sheet_id)
    asked = TaskForm(request.GET, auto_id="task_%s")
    job = _job(asked) if asked.is_valid() else None
    if job is None:
        return _page(request, issue, ReaderForm(), asked)
    pressure = asked.cleaned_data["pressure"]
    made = task_data_zip(sheet, job, asked.reader().tag, with_pressure=pressure)
    return _file(made, "application/zip", f"{sheet_id}-{TASK}", shown=False)


def _job(asked: TaskForm) -> TaskNames | None:
    try:
        return asked.job()
    except BadInput as error:
        for fault in error.faults:
            asked.add_error(fault.place if fault.place in asked.fields else None, str(fault))
        return None


def _kept(sheet_id: str) -> tuple[Sheet, Issue]:
    entry = the_workplace().register.load_sheet(sheet_id)
    if entry is None:
        raise Http404(sheet_id)
    sheet = sheet_from_json(entry.json)
    usual = issue_of(sheet, entry.made_at.date())
    return sheet, Issue(sheet_id, usual.valid_until)


def _page(request: HttpRequest, issue: Issue, reader: ReaderForm, task: TaskForm) -> HttpResponse:
    wrong = bool(reader.errors or task.errors)
    context = {
        "sheet_id": issue.sheet_id,
        "until": issue.valid_until,
        "reader": reader,
        "task": task,
    }
    return render(request, "files.html", context, status=422 if wrong else 200)


def _file(content: bytes, kind: str, name: str, *, shown: bool) -> HttpResponse:
    answer = HttpResponse(content, content_type=kind)
    how = "inline" if shown else "attachment"
    answer.headers["Content-Disposition"] = f'{how}; filename="{name}"'
    return answer
