"""A machine's history chapter by chapter, so that a long one is never held whole.

A chapter is judged with the bales before it as its lead-in: what is usual for the machine, the
last number of its counter and whether a sensor once spoke are learnt there, and a run may have
begun there. What lies in the lead-in alone was told with the chapter before.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Final

import numpy as np

from balewright.findings.against_plan import check_all, worst_first
from balewright.findings.finding import Finding, FindingKind
from balewright.findings.planned import plan_of
from balewright.findings.watched import Bools, Watched, tell, watch_with_order
from balewright.plan.machine import Machine
from balewright.plan.sheet.sheet import Sheet
from balewright.quantities.reason import Reason
from balewright.records.bales import BaleTable, concatenate

LEAD_IN: Final = 200
"""Bales before a chapter that are enough: a run needs 12 to be told, two runs fewer than 41 apart
are one, and a share is told among 200."""


def find_in_chapter(
    bales: BaleTable,
    lead_in: BaleTable,
    machine: Machine,
    sheets: Mapping[str, Sheet],
    before: Sequence[Finding] = (),
) -> tuple[Finding, ...]:
    """Where the bales of one chapter of one machine differ from their sheets.

    bales: of the chapter; lead_in: the LEAD_IN bales before them, fewer where there are no more;
    both in any order, of one machine of the profile `machine`; sheets: as in `find_against_plan`;
    before: findings of the chapter before, for a sensor that has been silent since. Findings are
    those that touch a bale of the chapter; they may have begun in the lead-in. Where nothing is
    found near a chapter's edge, all chapters together find what `find_against_plan` finds on the
    whole, as far as what is usual for the machine is the same in both.
    """
    whole = concatenate([lead_in, bales]) if lead_in.rows else bales
    serial = str(whole.cell(0, "machine") or "") if whole.rows else ""
    watched, order = watch_with_order(serial, machine, whole, plan_of(sheets, machine))
    return find_in_watched(watched, order >= lead_in.rows, before)


def find_in_watched(
    watched: Watched, own: Bools, before: Sequence[Finding] = ()
) -> tuple[Finding, ...]:
    """The same for bales that are in order already. own: (bales,), those of the chapter."""
    found = [tell(watched, one) for one in check_all(watched) if own[one.run.rows].any()]
    return worst_first([*found, *_still_silent(watched, own, before, found)])


def _still_silent(
    watched: Watched, own: Bools, before: Sequence[Finding], found: Sequence[Finding]
) -> Iterator[Finding]:
    """Silence that began before the lead-in and lasts: nobody can see it from here."""
    bales, more = watched.bales, int(np.count_nonzero(own))
    told = {name for one in found if one.kind is FindingKind.NOT_WATCHED for name in one.evidence}
    for one in before:
        if one.kind is not FindingKind.NOT_WATCHED or not more:
            continue
        names = [name for name in one.evidence if name not in told and not bales.has(name)]
        if not names:
            continue
        values = dict(one.words.values)
        count = one.bales + more
        values |= {"columns": ", ".join(names), "bales": count, "looked_at": count}
        last = int(np.flatnonzero(own)[-1])
        yield replace(
            one,
            until_bale=bales.cell(last, "bale_no"),
            until_us=int(watched.made_us[last]) if watched.timed[last] else None,
            bales=count,
            looked_at=count,
            evidence=tuple(names),
            words=Reason(one.words.key, tuple(values.items())),
        )
