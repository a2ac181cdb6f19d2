"""Opening the register: Django's set-up when nobody did it yet, and the migrations' check.

The shelves need Django to be set up before they are imported; so `Register` is imported here
only once it is. For annotations import it under TYPE_CHECKING from here.
"""

from __future__ import annotations

import fcntl
import hashlib
import os
from collections.abc import Iterator
from contextlib import contextmanager
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import django
from django.apps import apps
from django.conf import settings
from django.core.exceptions import ImproperlyConfigured
from django.db import DatabaseError, connections
from django.db.migrations.exceptions import InconsistentMigrationHistory
from django.db.migrations.executor import MigrationExecutor

from balewright.quantities.errors import BadInput, Fault
from balewright.store.databases import database_for
from balewright.store.migrating import bring_up

if TYPE_CHECKING:
    from balewright.store.shelves.register import Register

__all__ = ["Register", "open_register"]

_APP: Final = "store"
_SQLITE_HEAD: Final = b"SQLite format 3\x00"


def open_register(place: Path | str) -> Register:
    """Open the register at `place`, bringing its tables to this version.

    place: path of an SQLite file (made when absent, with its folder), or a PostgreSQL address.
    Works in a bare process and inside the desk alike. Raises BadInput when it cannot be opened
    or was written by a newer Balewright.
    """
    _start_django()
    database = database_for(place)
    alias = _alias_for(database)
    shown = str(place) if "://" not in str(place) else "BALEWRIGHT_DATABASE"
    try:
        with _one_at_a_time(database):
            _migrate(alias, shown)
    except ImproperlyConfigured as error:
        need = "the driver for that database"
        cure = "Install psycopg beside Balewright, or leave BALEWRIGHT_DATABASE out."
        raise BadInput(Fault(shown, need, "none installed", cure)) from error
    except BadInput:
        connections[alias].close()
        raise
    except (DatabaseError, OSError) as error:
        connections[alias].close()
        raise BadInput(
            Fault(
                place=shown,
                need="a register that can be opened and written",
                given=str(error),
                cure="Check that the folder can be written and the disk is not full; "
                "see BALEWRIGHT_HOME and BALEWRIGHT_DATABASE.",
            )
        ) from error
    register: Register = import_module("balewright.store.shelves.register").Register(alias)
    return register


def _start_django() -> None:
    """Set Django up with the register's app alone, unless the desk has done it."""
    if not settings.configured and not os.environ.get("DJANGO_SETTINGS_MODULE"):
        settings.configure(
            INSTALLED_APPS=["balewright.store"], DATABASES={}, USE_TZ=True, TIME_ZONE="UTC"
        )
    if not apps.ready:
        django.setup()


def _alias_for(database: dict[str, Any]) -> str:
    """The connection that already points at this database, or a new one."""
    where = ("ENGINE", "NAME", "HOST", "PORT")
    asked = [str(database.get(key, "")) for key in where]
    for alias, known in connections.databases.items():
        if [str(known.get(key, "")) for key in where] == asked:
            return str(alias)
    alias = "register_" + hashlib.sha256("|".join(asked).encode()).hexdigest()[:16]
    filled = connections.configure_settings({"default": {}, alias: dict(database)})
    connections.databases[alias] = filled[alias]
    return alias


@contextmanager
def _one_at_a_time(database: dict[str, Any]) -> Iterator[None]:
    """Let one process at a time make or migrate an embedded register."""
    if not database["ENGINE"].endswith("sqlite3"):
        yield
        return
    path = Path(database["NAME"])
    path.parent.mkdir(parents=True, exist_ok=True)
    if path.exists() and not os.access(path, os.W_OK):
        raise PermissionError(f"{path} cannot be written")
    if path.exists() and _head(path) not in (b"", _SQLITE_HEAD):
        raise OSError(f"{path} is no SQLite file")  # Django would leave it open, refused
    with path.with_name(path.name + ".lock").open("a") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        yield


def _head(path: Path) -> bytes:
    with path.open("rb") as file:
        return file.read(len(_SQLITE_HEAD))


def _migrate(alias: str, shown: str) -> None:
    executor = MigrationExecutor(connections[alias])
    try:
        executor.loader.check_consistent_history(connections[alias])
    except InconsistentMigrationHistory as error:
        raise _newer(shown, str(error)) from error
    known = {key for key in executor.loader.disk_migrations if key[0] == _APP}
    applied = {key for key in executor.loader.applied_migrations if key[0] == _APP}
    if applied - known:
        raise _newer(shown, ", ".join(name for _, name in sorted(applied - known)))
    bring_up(alias, executor.loader.graph.leaf_nodes(_APP))


def _newer(shown: str, given: str) -> BadInput:
    return BadInput(
        Fault(
            place=shown,
            need="a register of this version of Balewright or an older one",
            given=f"steps this version does not know: {given}",
            cure="Install the newer Balewright that wrote it, or give another BALEWRIGHT_HOME.",
        )
    )
