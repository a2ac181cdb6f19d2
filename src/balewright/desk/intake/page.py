"""Taking files in: upload, a bar that moves, and a plain account of what became of each."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final, cast

from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import redirect, render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST, require_safe
from django_tasks import TaskResult, TaskResultStatus, default_task_backend
from django_tasks.exceptions import TaskResultDoesNotExist
from django_tasks_db.models import DBTaskResult

from balewright.desk.access import Deed, deeds_of, needs
from balewright.desk.intake.account import account_of
from balewright.desk.intake.forms import IntakeForm
from balewright.desk.intake.queue import Said, put_form_in_queue
from balewright.desk.intake.tasks import is_stopping, progress_of, take_in
from balewright.desk.intake.upload_limit import TOO_LARGE
from balewright.desk.paging import page_of
from balewright.desk.wording import words
from balewright.desk.workplace import the_workplace
from balewright.flows.hold_table import is_unknown_table, waiting_tables
from balewright.flows.take_in_pieces import KEPT_DAYS, arrived, drop_upload
from balewright.flows.take_in_report import report_of, report_to_json
from balewright.store.entries import IntakeState

SHOWN_TICKETS: Final = 10
STAGES: Final = ("waiting", "copying", "reading", "writing", "reviewing")


@dataclass(frozen=True)
class Ticket:
    """One file on its way in, as the page shows it. result: what the worker gave back."""

    id: str
    upload: str
    name: str
    is_running: bool
    is_stopping: bool
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
            given = form.cleaned_data
            maker = request.user.get_username()
            said = Said(maker, given["machine"] or None, given["map"] or None, given["begins"])
            tickets = [put_form_in_queue(file, said) for file in given["chosen"]]
            if len(tickets) == 1:
                return cast(HttpResponse, redirect("intake.ticket", ticket=tickets[0]))
            return cast(HttpResponse, redirect("intake"))
    workplace = the_workplace()
    rows, pages = page_of(request, workplace.register.load_intakes())
    coming = workplace.register.load_uploads(request.user.get_username())
    context = {
        "form": form,
        "entries": rows,
        "pages": pages,
        "broken_off": [
            (entry, 100 * arrived(workplace, entry) // entry.size_bytes) for entry in coming
        ],
        "kept_days": KEPT_DAYS,
        **_recent(),
    }
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
    return render(request, "intake_ticket.html", _shown(request, found))


@require_safe
@needs(Deed.TAKE_IN)
def show_progress(request: HttpRequest, ticket: str) -> HttpResponse:
    """The part of the page that moves; htmx asks for it until the work has ended."""
    found = _find(ticket)
    return render(request, "intake_account.html", _shown(request, found))


@never_cache
@require_safe
@needs(Deed.TAKE_IN)
def tell_state(request: HttpRequest, ticket: str) -> HttpResponse:  # noqa: ARG001
    """The same in few words, for the page that sends several files."""
    found = _find(ticket)
    report = _account(found).get("report")
    summary = words("intake.state.failed")
    if found.is_running:
        summary = found.progress["words"]
    elif found.result.get("state") == "stopped":
        summary = words("intake.stopped")
    elif report is not None and found.result["state"] != IntakeState.REFUSED:
        counts = {"kept": report.kept, "refused": report.refused, "doubtful": report.doubtful}
        summary = words("intake.done", **counts)
    elif found.result.get("columns"):
        summary = words("intake.unknown_table")
    elif found.result:
        summary = words("intake.refused.whole")
    state = "running" if found.is_running else str(found.result.get("state", "failed"))
    told = {name: found.progress[name] for name in ("stage", "done", "total")}
    return JsonResponse({"state": state, "words": summary, **told})


@require_POST
@needs(Deed.TAKE_IN)
def stop(request: HttpRequest, ticket: str) -> HttpResponse:
    """Ask the work of a ticket to stop; what is kept by then stays kept, and is told.

    For who sent the file, and for managers.
    """
    found = _find(ticket)
    if not _may_stop(request, found):
        raise PermissionDenied(ticket)
    if found.is_running:
        the_workplace().register.stop_upload(found.upload)
    if request.headers.get("Accept") == "application/json":
        return HttpResponse(status=204)
    return cast(HttpResponse, redirect("intake.ticket", ticket=ticket))


@require_POST
@needs(Deed.TAKE_IN)
def forget_upload(request: HttpRequest, key: str) -> HttpResponse:
    """Throw away what came of one's own upload that broke off."""
    entry = the_workplace().register.load_upload(key)
    if entry is None or entry.made_by != request.user.get_username():
        raise Http404(key)
    if entry.ticket is None:
        drop_upload(the_workplace(), entry)
    return cast(HttpResponse, redirect("intake"))


@require_safe
@needs(Deed.TAKE_IN)
def show_report(request: HttpRequest, sha256: str) -> HttpResponse:
    """The account of a file in the ledger."""
    entry = the_workplace().register.load_intake(sha256)
    if entry is None:
        raise Http404(sha256)
    report = report_of(the_workplace(), entry)
    context = {"entry": entry, "is_unknown_table": False, **account_of(report)}
    if report.state == IntakeState.REFUSED and is_unknown_table(report.refusals):
        held = (one for one in waiting_tables(the_workplace()) if one.name == entry.name)
        context |= {"is_unknown_table": True, "waiting": next(held, None)}
    return render(request, "intake_report_page.html", context)


@require_safe
@needs(Deed.TAKE_IN)
def send_report(request: HttpRequest, sha256: str) -> HttpResponse:  # noqa: ARG001
    """The same as JSON, to save."""
    entry = the_workplace().register.load_intake(sha256)
    if entry is None:
        raise Http404(sha256)
    answer = JsonResponse(
        report_to_json(report_of(the_workplace(), entry)),
        json_dumps_params={"indent": 2, "ensure_ascii": False},
    )
    answer.headers["Content-Disposition"] = f'attachment; filename="intake-{sha256[:12]}.json"'
    return answer


def _recent() -> dict[str, Any]:
    queued = DBTaskResult.objects.filter(task_path=take_in.module_path).order_by("-enqueued_at")
    tickets = [_ticket(cast(TaskResult[Any], row.task_result)) for row in queued[:SHOWN_TICKETS]]
    return {"tickets": tickets, "is_moving": any(ticket.is_running for ticket in tickets)}


def _find(ticket: str) -> Ticket:
    try:
        found = default_task_backend.get_result(ticket)
    except (TaskResultDoesNotExist, ValueError) as error:
        raise Http404(ticket) from error
    if found.task.module_path != take_in.module_path:  # a device's delivery has no ticket
        raise Http404(ticket)
    return _ticket(found)


def _may_stop(request: HttpRequest, ticket: Ticket) -> bool:
    upload = the_workplace().register.load_upload(ticket.upload)
    own = upload is not None and upload.made_by == request.user.get_username()
    return own or Deed.LOOK_AFTER in deeds_of(request.user)


def _shown(request: HttpRequest, ticket: Ticket) -> dict[str, Any]:
    return {"ticket": ticket, "may_stop": _may_stop(request, ticket), **_account(ticket)}


def _ticket(result: TaskResult[Any]) -> Ticket:
    status, upload = result.status, result.args[0]
    answer = dict(result.return_value or {}) if status == TaskResultStatus.SUCCESSFUL else {}
    is_running = status in (TaskResultStatus.READY, TaskResultStatus.RUNNING)
    stopping = is_running and is_stopping(upload)
    if stopping and status == TaskResultStatus.READY:  # nobody works on it, nobody will
        is_running, answer = False, {"state": "stopped"}
    return Ticket(
        id=str(result.id),
        upload=upload,
        name=result.args[1],
        is_running=is_running,
        is_stopping=stopping,
        has_failed=status == TaskResultStatus.FAILED,
        progress=_progress(str(result.id), stopping),
        result=answer,
    )


def _progress(ticket: str, stopping: bool) -> dict[str, Any]:
    told = progress_of(ticket) or {"stage": "waiting", "done": 0, "total": None}
    stage = told["stage"] if told["stage"] in STAGES else "reading"
    share = 100 * told["done"] // told["total"] if told["total"] else None
    said = words("intake.stopping") if stopping else words(f"intake.stage.{stage}")
    return {**told, "words": said, "share": share}


def _account(ticket: Ticket) -> dict[str, Any]:
    sha256 = ticket.result.get("sha256")
    entry = the_workplace().register.load_intake(sha256) if sha256 else None
    if entry is None:
        return {}
    state = IntakeState(ticket.result["state"])
    named = ticket.result.get("machine")
    return account_of(report_of(the_workplace(), entry, state, named))
