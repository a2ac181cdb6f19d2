"""The process beside the desk that does long work: `python -m balewright.desk.worker`.

One a home. Work that a killed worker left half done is done again from its start: taking a file
in is whole or nothing, and a file that was already taken changes nothing. Beside that work it
reviews the fleet once a day.
"""

from __future__ import annotations

import os
import sys

import django


def put_back_left_over() -> int:
    """Put work that no process is doing any more back into the queue; how many pieces."""
    from django_tasks.base import TaskResultStatus  # noqa: PLC0415  after django.setup()
    from django_tasks_db.models import DBTaskResult  # noqa: PLC0415

    return DBTaskResult.objects.running().update(status=TaskResultStatus.READY, started_at=None)


def end_lost_uploads() -> int:
    """End uploads whose work is neither waiting nor in hand any more, so that the same file may
    be sent again: the register could not be written when it ended. How many."""
    from django_tasks.base import TaskResultStatus  # noqa: PLC0415  after django.setup()
    from django_tasks_db.models import DBTaskResult  # noqa: PLC0415

    from balewright.desk.workplace import the_workplace  # noqa: PLC0415

    register = the_workplace().register
    uploads = register.load_uploads_at_work()  # first: what comes after it is not looked at
    alive = DBTaskResult.objects.filter(
        status__in=(TaskResultStatus.READY, TaskResultStatus.RUNNING)
    )
    tickets = {str(ticket) for ticket in alive.values_list("id", flat=True)}
    lost = [entry.key for entry in uploads if entry.ticket not in tickets]
    for key in lost:
        register.end_upload(key)
    return len(lost)


def work() -> int:
    """Work until told to end."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "balewright.desk.django_settings")
    django.setup()
    from django.core.management import call_command  # noqa: PLC0415

    from balewright.desk.daily import DailyReview  # noqa: PLC0415
    from balewright.desk.workplace import the_workplace  # noqa: PLC0415
    from balewright.flows.after_stop import Healed, note_healed  # noqa: PLC0415
    from balewright.flows.hold_table import sweep_tables  # noqa: PLC0415
    from balewright.flows.take_in_delivery import sweep_deliveries  # noqa: PLC0415
    from balewright.flows.take_in_pieces import sweep_uploads  # noqa: PLC0415

    workplace = the_workplace()
    note_healed(workplace.register, workplace.clock(), Healed(work=put_back_left_over()))
    end_lost_uploads()
    sweep_uploads(the_workplace())
    sweep_deliveries(the_workplace())
    sweep_tables(the_workplace())
    daily = DailyReview(workplace)
    daily.start()
    call_command("db_worker", interval=0.4, startup_delay=False, reload=False, verbosity=0)
    daily.end()
    return 0


if __name__ == "__main__":
    sys.exit(work())
