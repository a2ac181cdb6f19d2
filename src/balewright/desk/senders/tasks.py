"""What the worker does with a delivery."""

from __future__ import annotations

import dataclasses
from typing import Any

from django_tasks import TaskContext, task

from balewright.desk.intake.tasks import TellPage
from balewright.desk.workplace import the_workplace
from balewright.flows.take_in_delivery import take_in_delivery


@task(takes_context=True)  # type: ignore[untyped-decorator,unused-ignore]
def take_delivery_in(context: TaskContext, delivery: int) -> dict[str, Any]:
    """Take one delivery in, then review its machine unless more of it waits."""
    tell = TellPage(str(context.task_result.id))
    workplace = dataclasses.replace(the_workplace(), progress=tell)
    entry = take_in_delivery(workplace, delivery)
    return {"state": "gone" if entry is None else entry.state.value}
