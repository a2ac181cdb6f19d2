"""Episodes of findings, and what was set aside of them, which is kept for ever."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Sequence
from typing import Any, Final

from django.db import transaction

from balewright.findings.episode import AsideEnd, Episode, EpisodeState, SetAside
from balewright.findings.finding import Weight
from balewright.store import models
from balewright.store.finding_body import (
    body_of,
    finding_of,
    outbreak_body,
    outbreak_from,
    revision_body,
    revision_from,
)
from balewright.store.reviews import OpenChance, ReviewEntry

_FEW: Final = 500
"""So many keys may stand in one question to any database."""
Change = Callable[[tuple[Episode, ...]], Iterable[Episode]]


class EpisodeShelf:
    """What lives on of every machine's findings."""

    alias: str

    def load_episodes(
        self, machine: str | None = None, states: Collection[EpisodeState] = tuple(EpisodeState)
    ) -> tuple[Episode, ...]:
        """Episodes of one machine or of all, in these states, by machine in the order told."""
        rows = models.Episode.objects.using(self.alias).filter(
            state__in=[state.value for state in states]
        )
        if machine is not None:
            rows = rows.filter(machine=machine)
        return tuple(map(_episode, rows.prefetch_related("asides").order_by("machine", "pk")))

    def load_closed(self, after_us: int) -> tuple[Episode, ...]:
        """Every machine's episodes that were closed after a time, by machine."""
        rows = models.Episode.objects.using(self.alias).filter(
            state=EpisodeState.CLOSED.value, closed_us__gt=after_us
        )
        return tuple(map(_episode, rows.prefetch_related("asides").order_by("machine", "pk")))

    def load_episode(self, key: str) -> Episode | None:
        """The episode of that key, None when there is none."""
        row = models.Episode.objects.using(self.alias).filter(key=key).first()
        return None if row is None else _episode(row)

    def load_open_chances(self) -> tuple[OpenChance, ...]:
        """Every open episode with the chance of its finding, by machine: what admission asks."""
        rows = models.Episode.objects.using(self.alias).filter(state=EpisodeState.OPEN.value)
        told = rows.order_by("machine", "pk").values_list(
            "key", "machine", "chance_frac", "body__finding__measure"
        )
        return tuple(
            OpenChance(key, machine, chance, measure or "")
            for key, machine, chance, measure in told
        )

    def revise_episodes(self, machine: str, change: Change) -> tuple[Episode, ...]:
        """Let `change` say what a machine's episodes are now, in one transaction; what is kept.

        Whoever else would change them waits. An episode that `change` leaves out stays as it is.
        """
        with transaction.atomic(using=self.alias):
            self._hold_machine(machine)
            before = self.load_episodes(machine)
            after = tuple(change(before))
            self._keep_episodes(before, after)
            return after

    def keep_review(self, review: ReviewEntry, change: Change) -> tuple[Episode, ...]:
        """Keep a review whole or not at all: its findings, its mark, the watch's states, and the
        machine's episodes as `change` says they are after it; the episodes.
        """
        with transaction.atomic(using=self.alias):
            after = self.revise_episodes(review.machine, change)
            self._save_review(review)
            self._set_states(review.machine, review.states)
        return after

    def set_admitted(self, admitted: Collection[str], of: Collection[str]) -> None:
        """Of these open episodes let those in `admitted` be told and the others wait; by key."""
        with transaction.atomic(using=self.alias):
            rows = models.Episode.objects.using(self.alias).filter(state=EpisodeState.OPEN.value)
            asked = rows.filter(key__in=list(of)) if len(of) < _FEW else rows
            for pk, key, was in asked.values_list("pk", "key", "admitted"):
                if key in of and was != (key in admitted):
                    rows.filter(pk=pk).update(admitted=not was)

    def _hold_machine(self, machine: str) -> None:
        """Nobody else changes this machine's episodes until the transaction ends."""
        rows = models.Machine.objects.using(self.alias).filter(serial=machine)
        list(rows.select_for_update().values_list("pk", flat=True))

    def _keep_episodes(self, before: Sequence[Episode], after: Sequence[Episode]) -> None:
        was = {one.key: one for one in before}
        for one in after:
            if was.get(one.key) == one:
                continue
            row, _ = models.Episode.objects.using(self.alias).update_or_create(
                key=one.key, defaults=_fields(one)
            )
            asides = [*one.aside_before, *([one.set_aside] if one.set_aside else [])]
            for aside in asides:
                row.asides.update_or_create(
                    at_us=aside.at_us,
                    made_by=aside.by,
                    reason=aside.reason,
                    defaults=_aside_fields(aside),
                )

    def _save_review(self, review: ReviewEntry) -> None:
        raise NotImplementedError  # the findings' shelf does it

    def _set_states(self, machine: str, states: Sequence[Any]) -> None:
        raise NotImplementedError  # the watch's shelf does it


def _fields(one: Episode) -> dict[str, Any]:
    return {
        "machine": one.finding.machine,
        "kind": one.finding.kind.value,
        "weight": one.finding.weight.value,
        "state": one.state.value,
        "number": one.number,
        "chance_frac": one.finding.chance_frac,
        "admitted": one.admitted,
        "told_us": one.told_us,
        "seen_us": one.seen_us,
        "closed_us": one.closed_us,
        "under": one.under,
        "joined": one.joined,
        "body": {
            "finding": body_of(one.finding),
            "beside": [body_of(other) for other in one.beside],
            "opened_again": one.opened_again,
            "withdrawn": one.withdrawn,
            "outbreaks": [outbreak_body(out) for out in one.outbreaks],
            "revisions": [revision_body(revision) for revision in one.revisions],
        },
    }


def _aside_fields(aside: SetAside) -> dict[str, Any]:
    return {
        "until_us": aside.until_us,
        "weight": aside.weight.value,
        "shift": aside.shift,
        "ended_us": aside.ended_us,
        "ended_why": None if aside.ended_why is None else aside.ended_why.value,
        "ended_by": aside.ended_by,
    }


def _episode(row: models.Episode) -> Episode:
    body = row.body
    asides = [_aside(one) for one in row.asides.all()]
    in_force = [one for one in asides if one.ended_us is None]
    return Episode(
        key=row.key,
        finding=finding_of(row.machine, body["finding"]),
        state=EpisodeState(row.state),
        told_us=row.told_us,
        seen_us=row.seen_us,
        closed_us=row.closed_us,
        opened_again=body.get("opened_again", 0),
        revisions=tuple(revision_from(one) for one in body.get("revisions", ())),
        set_aside=in_force[-1] if in_force else None,
        admitted=row.admitted,
        number=row.number,
        outbreaks=tuple(outbreak_from(one) for one in body.get("outbreaks", ())),
        beside=tuple(finding_of(row.machine, one) for one in body.get("beside", ())),
        under=row.under,
        joined=row.joined,
        aside_before=tuple(one for one in asides if one.ended_us is not None),
        withdrawn=body.get("withdrawn", False),
    )


def _aside(row: models.SetAside) -> SetAside:
    return SetAside(
        at_us=row.at_us,
        by=row.made_by,
        reason=row.reason,
        until_us=row.until_us,
        weight=Weight(row.weight),
        shift=row.shift,
        ended_us=row.ended_us,
        ended_why=None if row.ended_why is None else AsideEnd(row.ended_why),
        ended_by=row.ended_by,
    )
