"""Findings as they stand now, over all machines or of one: what lists and shells show."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from balewright.findings.against_plan import cannot_tell
from balewright.findings.episode import Episode, EpisodeState
from balewright.flows.admit_findings import admit_open
from balewright.flows.review_machine import keep_review, read_records
from balewright.flows.workplace import Workplace
from balewright.quantities.errors import BadInput
from balewright.quantities.reason import Reason


class Which(StrEnum):
    """shown: told, lasting or not; open, closed: of those the ones that last, or do not; all: also
    what waits for more bales, is set aside, withdrawn, or told by another.
    """

    SHOWN = "shown"
    OPEN = "open"
    CLOSED = "closed"
    ALL = "all"


@dataclass(frozen=True)
class FindingsListed:
    """episodes: by machine; untold: what each machine's records say nothing about."""

    episodes: tuple[Episode, ...]
    untold: Mapping[str, tuple[Reason, ...]]


def list_findings(workplace: Workplace, serial: str | None, which: Which) -> FindingsListed:
    """Findings of a machine, or of all, reviewed first where their records changed.

    Raises BadInput for a serial that is not known here; of all machines, one whose profile is not
    known is left out, as in the daily review.
    """
    entries = workplace.register.load_machines()
    serials = [entry.serial for entry in entries] if serial is None else [serial]
    untold: dict[str, tuple[Reason, ...]] = {}
    changed = []
    for done, one in enumerate(serials):
        workplace.progress("reviewing", done, len(serials))
        try:
            records = read_records(workplace, one)
        except BadInput:
            if serial is not None:
                raise
            continue
        if keep_review(workplace, records):
            changed.append(one)
        about = records.about
        untold[one] = cannot_tell(records.bales, about.machine, about.sheets)
    workplace.progress("reviewing", len(serials), len(serials))
    if changed:
        admit_open(workplace, changed)
    kept = workplace.register.load_episodes(serial)
    return FindingsListed(
        tuple(one for one in kept if one.finding.machine in untold and _is_asked(one, which)),
        untold,
    )


def _is_asked(episode: Episode, which: Which) -> bool:
    if which is Which.ALL:
        return True
    if not episode.may_be_shown or episode.state is EpisodeState.SET_ASIDE:
        return False
    lasts = episode.state is EpisodeState.OPEN
    return which is Which.SHOWN or lasts is (which is Which.OPEN)
