"""Make a home ready for the desk: folders, tables, roles, and the files that browsers ask for.

Run as `python -m balewright.desk.set_up`; it can be run again at any time, and says what it does.
"""

from __future__ import annotations

import os
import sys
from pathlib import Path

import django

from balewright.cause.infer.warm_up import warm_up
from balewright.pictures.chart_bundle import bundle_stamp, chart_bundle
from balewright.quantities.errors import BalewrightError
from balewright.settings import load_settings


def _say(text: str) -> None:
    sys.stdout.write(f"balewright: {text}\n")
    sys.stdout.flush()


def make_folders(home: Path) -> None:
    """Folders that only this desk's own user may read."""
    for name in ("", "uploads", "cache", "bundle/desk", "static"):
        (home / name).mkdir(mode=0o700, parents=True, exist_ok=True)


def write_bundle(home: Path) -> None:
    """The chart script, written whole under its last name, once a version."""
    stamp, script = home / "chart-stamp", home / "bundle" / "desk" / "charts.js"
    if script.is_file() and stamp.is_file() and stamp.read_text("ascii") == bundle_stamp():
        return
    _say("writing the chart script")
    fresh = script.with_suffix(".new")
    fresh.write_text(chart_bundle(), "utf-8")
    fresh.replace(script)
    stamp.write_text(bundle_stamp(), "ascii")


def _migrate_and_gather() -> None:
    from django.conf import settings  # noqa: PLC0415  only good after django.setup()
    from django.core.management import call_command  # noqa: PLC0415

    from balewright.desk.access import make_first_manager, make_roles  # noqa: PLC0415
    from balewright.desk.workplace import the_workplace  # noqa: PLC0415
    from balewright.store.migrating import bring_up  # noqa: PLC0415

    _say("checking the tables")
    the_workplace()  # the register brings its own tables to this version, one process at a time
    bring_up("default")
    call_command("migrate", verbosity=0, interactive=False)  # what is done after every step
    make_roles()
    if (password := make_first_manager()) is not None:
        _say("nobody could sign in yet, so there is a first manager now. This is said only once:")
        _say(f"    name manager, password {password}   (change it on the page People)")
    _say("gathering styles and scripts")
    settings.STORAGES["staticfiles"]["BACKEND"] = (
        "whitenoise.storage.CompressedManifestStaticFilesStorage"
    )
    left_out = ["htmax*", "htmx-4*", "htmx-2.js", "ext"]
    call_command("collectstatic", verbosity=0, interactive=False, ignore_patterns=left_out)


def set_up() -> int:
    """Do all of it; the exit code."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "balewright.desk.django_settings")
    try:
        home = load_settings(os.environ).home
        make_folders(home)
        write_bundle(home)
        django.setup()
        _migrate_and_gather()
        _say("compiling what ranks causes (the first time this takes a while)")
        warm_up()
    except (BalewrightError, OSError) as error:
        sys.stderr.write(f"balewright: {error}\n")
        return 2
    return 0


if __name__ == "__main__":
    sys.exit(set_up())
