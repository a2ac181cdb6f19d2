"""Taking files in: upload, a bar that moves, and a plain account of what became of each."""

from __future__ import annotations

import uuid
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final, cast

from django.core.files.uploadedfile import TemporaryUploadedFile, UploadedFile
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_safe
from django_tasks import TaskResult, TaskResultStatus, default_task_backend
from django_tasks.exceptions import TaskResultDoesNotExist
from django_tasks_db.models import DBTaskResult

from balewright.desk.access import Deed, needs
from balewright.desk.intake.forms import IntakeForm
from balewright.desk.intake.tasks import progress_of, take_in, uploads
from balewright.desk.intake.upload_limit import TOO_LARGE
from balewright.desk.paging import page_of
from balewright.desk.wording import words
from balewright.desk.workplace import the_workplace

SHOWN_TICKETS: Final = 10
STAGES: Final = ("waiting", "copying", "reading", "writing", "reviewing")


@dataclass(frozen=True)
class Ticket:
    """One file on its way in, as the page shows it. result: what the worker gave back."""

    id: str
    name: str
    is_running: bool
    has_failed: bool
    progress: dict[str, Any]
    result: dict[str, Any]


@require_http_methods(["GET", "HEAD", "POST"])
@needs(Deed.TAKE_IN)
def show_intake(request: HttpRequest) -> HttpResponse:
    """The upload form, what is on its way, and the ledger."""
    form = IntakeForm(request.POST, request.FILES) if request.method == "POST" else IntakeForm()
    if form.is_bound:
        for name in request.META.get(TOO_LARGE, ()):
            form.add_error("chosen", words("intake.too_large", name=name))
        if form.is_valid():
            tickets = [_send(file) for file in form.cleaned_data["chosen"]]
            if len(tickets) == 1:
                return cast(HttpResponse, redirect("intake.ticket", ticket=tickets[0]))
            return cast(HttpResponse, redirect("intake"))
    rows, pages = page_of(request, the_workplace().register.load_intakes())
    context = {"form": form, "entries": rows, "pages": pages, **_recent()}
    return render(request, "intake.html", context, status=422 if form.errors else 200)


@require_safe
@needs(Deed.TAKE_IN)
def show_recent(request: HttpRequest) -> HttpResponse:
    """The files on their way; once all have arrived, the whole page is asked for anew."""
    recent = _recent()
    response = render(request, "intake_recent.html", recent)
    if not recent["is_moving"]:
        response["HX-Refresh"] = "true"  # the ledger below has grown too
    return response


@require_safe
@needs(Deed.TAKE_IN)
def show_ticket(request: HttpRequest, ticket: str) -> HttpResponse:
    """One file: its bar while it is on its way, then its account."""
    found = _find(ticket)
    return render(request, "intake_ticket.html", {"ticket": found, **_account(found)})


@require_safe
@needs(Deed.TAKE_IN)
def show_progress(request: HttpRequest, ticket: str) -> HttpResponse:
    """The part of the page that moves; htmx asks for it until the work has ended."""
    found = _find(ticket)
    return render(request, "intake_account.html", {"ticket": found, **_account(found)})


def _recent() -> dict[str, Any]:
    queued = DBTaskResult.objects.filter(task_path=take_in.module_path).order_by("-enqueued_at")
    tickets = [_ticket(cast(TaskResult[Any], row.task_result)) for row in queued[:SHOWN_TICKETS]]
    return {"tickets": tickets, "is_moving": any(ticket.is_running for ticket in tickets)}


def _send(file: UploadedFile[Any]) -> str:
    """Move the upload to where the worker finds it and queue it; the ticket."""
    upload = uuid.uuid4().hex
    place = uploads() / upload
    if isinstance(file, TemporaryUploadedFile):
        Path(file.temporary_file_path()).rename(place)  # Django does not mind that it has gone
    else:
        place.write_bytes(file.read())
    return str(take_in.enqueue(upload, file.name or upload).id)


def _find(ticket: str) -> Ticket:
    try:
        return _ticket(default_task_backend.get_result(ticket))
    except (TaskResultDoesNotExist, ValueError) as error:
        raise Http404(ticket) from error


def _ticket(result: TaskResult[Any]) -> Ticket:
    status = result.status
    return Ticket(
        id=str(result.id),
        name=result.args[1],
        is_running=status in (TaskResultStatus.READY, TaskResultStatus.RUNNING),
        has_failed=status == TaskResultStatus.FAILED,
        progress=_progress(str(result.id)),
        result=dict(result.return_value or {}) if status == TaskResultStatus.SUCCESSFUL else {},
    )


def _progress(ticket: str) -> dict[str, Any]:
    told = progress_of(ticket) or {"stage": "waiting", "done": 0, "total": None}
    stage = told["stage"] if told["stage"] in STAGES else "reading"
    return {**told, "words": words(f"intake.stage.{stage}")}


def _account(ticket: Ticket) -> dict[str, Any]:
    sha256 = ticket.result.get("sha256")
    entry = the_workplace().register.load_intake(sha256) if sha256 else None
    known = {machine.serial for machine in the_workplace().register.load_machines()}
    unknown = [serial for serial in entry.machines if serial not in known] if entry else []
    return {"entry": entry, "unknown_machines": unknown}
