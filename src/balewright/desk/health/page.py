"""Whether everything that is kept is well; for managers. Nothing is changed from here."""

from __future__ import annotations

from typing import Final

from django.db.models import Max
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe
from django_tasks import TaskResultStatus
from django_tasks_db.models import DBTaskResult

from balewright.desk.access import Deed, needs
from balewright.desk.daily import TICKET
from balewright.desk.intake.tasks import progress_of
from balewright.desk.workplace import the_workplace
from balewright.flows.examine_house import examine_house
from balewright.store.health.lines import HealthLine, HealthState, good, wrong

STUCK_DAYS: Final = 1.0


@require_safe
@needs(Deed.LOOK_AFTER)
def show_health(request: HttpRequest) -> HttpResponse:
    """Every line, the worst first."""
    beside = (*look_at_queue(), *look_at_daily())
    health = examine_house(the_workplace(), beside=beside)
    worst = [line for line in health.lines if line.state is health.state]
    return render(request, "health.html", {"health": health, "worst": worst})


def look_at_daily() -> tuple[HealthLine, ...]:
    """How far the daily review is; nothing where none is at work."""
    told = progress_of(TICKET)
    if told is None or not told["total"] or told["done"] >= told["total"]:
        return ()
    return (good("review_work", done=told["done"], machines=told["total"]),)


def look_at_queue() -> tuple[HealthLine, ...]:
    """The desk's own work in hand: does it move, and did anything fail by our fault."""
    waiting = DBTaskResult.objects.filter(status=TaskResultStatus.READY)
    running = DBTaskResult.objects.filter(status=TaskResultStatus.RUNNING)
    failed = DBTaskResult.objects.filter(status=TaskResultStatus.FAILED).count()
    counts = {"waiting": waiting.count(), "running": running.count()}
    lines = []
    if counts["waiting"]:
        moved = DBTaskResult.objects.aggregate(last=Max("finished_at"))["last"]
        oldest = waiting.order_by("enqueued_at").values_list("enqueued_at", flat=True)[0]
        since = max(moved, oldest) if moved else oldest
        age_days = (timezone.now() - since).total_seconds() / 86_400
        if age_days > STUCK_DAYS:
            values = {"waiting": counts["waiting"], "age_days": round(age_days, 1)}
            lines.append(wrong("queue", HealthState.BROKEN, "stuck", **values))
    if failed:
        lines.append(wrong("queue", HealthState.LOOK, "failed", count=failed))
    return tuple(lines) or (good("queue", **counts),)
