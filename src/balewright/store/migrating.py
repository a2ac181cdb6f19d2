"""Bringing a database's tables to this version, each step whole or not at all."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django.db import connections, transaction
from django.db.migrations.executor import MigrationExecutor


class WholeSteps(MigrationExecutor):
    """Makes the tables of a step and notes that it was made in one transaction.

    By itself Django notes most steps in a transaction of their own: a stop between the two leaves
    tables that nobody knows of, and a database that can never be brought up again.
    """

    def apply_migration(self, state: Any, migration: Any, *given: Any, **named: Any) -> Any:
        """As the executor's own, in one transaction where the step allows one."""
        if not migration.atomic:
            return super().apply_migration(state, migration, *given, **named)
        # SQLite changes tables only while this is off, and turns it off only before a transaction.
        self.connection.disable_constraint_checking()
        try:
            with transaction.atomic(using=self.connection.alias):
                return super().apply_migration(state, migration, *given, **named)
        finally:
            self.connection.enable_constraint_checking()


def bring_up(alias: str, targets: Sequence[tuple[str, str | None]] | None = None) -> None:
    """Make every step that is missing. alias: of Django's connection; targets: up to these, None
    for all of every app."""
    executor = WholeSteps(connections[alias])
    wanted = executor.loader.graph.leaf_nodes() if targets is None else list(targets)
    if executor.migration_plan(wanted):
        executor.migrate(wanted)
