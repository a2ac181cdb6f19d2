"""Where the watch over each machine stands, and what is known of each kind of machine."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from django.db import transaction

from balewright.store import models
from balewright.store.reviews import KindState, WatchState


class WatchStateShelf:
    """States that can always be worked out again from the journal; they only save the time."""

    alias: str

    def load_watch_states(self, machine: str) -> tuple[WatchState, ...]:
        """A machine's kept states, the one after the most bales last."""
        rows = models.WatchState.objects.using(self.alias).filter(machine=machine)
        return tuple(_state(row) for row in rows.order_by("bales"))

    def load_newest_states(self, machines: Collection[str]) -> tuple[WatchState, ...]:
        """The state after the most bales of each of these machines, where there is one."""
        found = [self.load_watch_states(machine) for machine in sorted(set(machines))]
        return tuple(states[-1] for states in found if states)

    def forget_watch_states(self, machine: str | None = None) -> int:
        """Forget a machine's states, or all: they may hold what is to be erased; how many went."""
        rows = models.WatchState.objects.using(self.alias)
        gone, _ = (rows.all() if machine is None else rows.filter(machine=machine)).delete()
        return gone

    def save_kind(self, kind: KindState) -> None:
        """Keep what was learnt of a kind of machine in place of what was known before."""
        with transaction.atomic(using=self.alias):
            models.KindState.objects.using(self.alias).update_or_create(
                profile_key=kind.profile_key,
                defaults={
                    "version": kind.version,
                    "machines": kind.machines,
                    "learnt_at": kind.learnt_at,
                    "body": kind.body,
                },
            )

    def load_kind(self, profile_key: str) -> KindState | None:
        """What is known of a kind, None while nothing is."""
        row = models.KindState.objects.using(self.alias).filter(profile_key=profile_key).first()
        if row is None:
            return None
        return KindState(row.profile_key, row.version, row.machines, row.learnt_at, bytes(row.body))

    def _set_states(self, machine: str, states: Sequence[WatchState]) -> None:
        """Let these be a machine's states; the others go."""
        rows = models.WatchState.objects.using(self.alias).filter(machine=machine)
        kept = {(row.bales, row.mark) for row in rows.only("bales", "mark")}
        wanted = {(one.bales, one.mark) for one in states}
        rows.exclude(
            bales__in=[one.bales for one in states if (one.bales, one.mark) in kept]
        ).delete()
        new = [
            models.WatchState(
                machine=machine,
                bales=one.bales,
                until_us=one.until_us,
                version=one.version,
                mark=one.mark,
                about=one.about,
                body=one.body,
            )
            for one in states
            if (one.bales, one.mark) in wanted - kept
        ]
        models.WatchState.objects.using(self.alias).bulk_create(new)


def _state(row: models.WatchState) -> WatchState:
    return WatchState(
        row.machine, row.bales, row.until_us, row.version, row.mark, row.about, bytes(row.body)
    )
