"""What the harness asks of a desk from outside: queue files for the worker, tell which are done.

`worker_feed.py queue FILE...` or `worker_feed.py done`, on BALEWRIGHT_HOME.
"""

from __future__ import annotations

import os
import shutil
import sys
from pathlib import Path

import django


def queue(files: list[Path]) -> None:
    """Hand files over as the desk does, and queue them."""
    from django.core.management import call_command

    from balewright.desk.intake.tasks import take_in, uploads
    from balewright.desk.set_up import make_folders
    from balewright.desk.workplace import the_workplace

    make_folders(uploads().parent)
    the_workplace()
    call_command("migrate", verbosity=0, interactive=False)
    for file in files:
        shutil.copy(file, uploads() / file.stem)
        take_in.enqueue(file.stem, file.name)


def done() -> None:
    """Names of files whose work has ended well, one a line."""
    from django_tasks.base import TaskResultStatus
    from django_tasks_db.models import DBTaskResult

    rows = DBTaskResult.objects.filter(status=TaskResultStatus.SUCCESSFUL)
    sys.stdout.write("\n".join(row.args_kwargs["args"][1] for row in rows) + "\n")


if __name__ == "__main__":
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "balewright.desk.django_settings")
    django.setup()
    if sys.argv[1] == "queue":
        queue([Path(name) for name in sys.argv[2:]])
    else:
        done()
