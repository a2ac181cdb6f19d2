"""Three cases of the demo: one proved cured, one open with answers, one that was not cured."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Final

import numpy as np

from balewright.cause.case.entry import EntryKind
from balewright.cause.case.evidence import evidence_of
from balewright.cause.case.payload import Fields, fields_of
from balewright.cause.evidence_value import YES
from balewright.findings.episode import Episode
from balewright.flows.add_to_case import Writing, add_to_case
from balewright.flows.ask_causes import Asked, ask_causes, look_at_machine
from balewright.flows.close_case import Closing, close_case
from balewright.flows.list_cases import list_cases
from balewright.flows.open_case_with import OpeningWith, open_case_with
from balewright.flows.prove_cure import prove_cure
from balewright.flows.read_case_of import read_case_of
from balewright.flows.workplace import Workplace
from balewright.quantities.si import MICROSECONDS_PER_S
from balewright.records.bales import BaleTable

CURED: Final = "MM-1003"
OPEN: Final = "MM-1001"
NOT_CURED: Final = "MM-1002"
BURST: Final = (250, 257, 263, 271, 276)
"""Bales of a season, from 0, that burst on the machine whose case is cured."""
_MENDED: Final = 280
_STILL: Final = 590
"""Bales of a season, from 0, at which somebody thought it was put right."""


def burst_some(bales: BaleTable, places: Sequence[int]) -> BaleTable:
    """The same bales, those at these places burst; the records say so."""
    status, known = bales.column("status").copy(), bales.mask("status").copy()
    status[list(places)], known[list(places)] = "burst", True
    return replace(
        bales,
        values={**bales.values, "status": status},
        known={**bales.known, "status": known},
    )


def fill_demo_cases(workplace: Workplace) -> None:
    """Open them where there are no cases yet; entries are dated by the bales they are about."""
    if list_cases(workplace):
        return
    _cured(workplace)
    _not_cured(workplace)
    _still_open(workplace)


def _cured(workplace: Workplace) -> None:
    then, number = _at(workplace, CURED, _MENDED)
    case = open_case_with(
        then,
        OpeningWith(
            CURED, "Bales burst in the wrapper, five today", {"bale_bursts": YES},
            findings=_findings(workplace, CURED, "burst"), by="tove",
        ),
    )  # fmt: skip
    asked = _answer_twice(then, case.key, "tove", ("no", "yes"))
    cause = asked.at.network.cause(asked.ranking.causes[0].key)
    parts = [{"part": key, "count": 1} for key in cause.repair.parts]
    done = fields_of(words=cause.repair.words.in_language("en"), parts=parts or None,
                     minutes=cause.repair.minutes, travel_minutes=70.0, at_bale=number)  # fmt: skip
    _write(then, case.key, EntryKind.CAUSE_FOUND, fields_of(cause=cause.key))
    _write(then, case.key, EntryKind.REPAIRED, done)
    prove_cure(workplace, case.key)
    close_case(workplace, case.key, Closing(words="No bale burst since.", by="mara"))


def _not_cured(workplace: Workplace) -> None:
    then, number = _at(workplace, NOT_CURED, _STILL)
    case = open_case_with(
        then,
        OpeningWith(
            NOT_CURED, "Too little net on the bales", {"binding_loose": YES},
            findings=_findings(workplace, NOT_CURED, "binding short"), by="tove",
        ),
    )  # fmt: skip
    _write(then, case.key, EntryKind.NOTE, fields_of(words="Turns were set again by phone."))
    done = fields_of(words="Net turns set again, by whoever drove", minutes=5.0, at_bale=number)
    _write(then, case.key, EntryKind.REPAIRED, done)
    prove_cure(workplace, case.key)


def _still_open(workplace: Workplace) -> None:
    then, _ = _at(workplace, OPEN, -1)
    case = open_case_with(
        then,
        OpeningWith(
            OPEN, "The second roll is always empty first", {"one_roll_ends_early": YES},
            findings=_findings(workplace, OPEN, "stretch unequal"), by="tove",
        ),
    )  # fmt: skip
    _answer_twice(then, case.key, "tove", ("no", "cannot tell"))


def _answer_twice(workplace: Workplace, case: str, by: str, said: tuple[str, str]) -> Asked:
    """Answer the check that is asked for, twice; what is known then."""
    for seen in said:
        step = _ask(workplace, case).advice.step
        if step.check is not None:
            payload = fields_of(check=step.check, seen=seen)
            add_to_case(workplace, case, Writing(EntryKind.CHECK_READ, payload, by))
    return _ask(workplace, case)


def _ask(workplace: Workplace, case: str) -> Asked:
    kept = read_case_of(workplace, case).case
    at = look_at_machine(workplace, kept.machine or "")
    known = at.network.observation_by_key
    answers = {key: one for key, one in evidence_of(kept).items() if key in known}
    return ask_causes(workplace, at, answers)


def _findings(workplace: Workplace, serial: str, kind: str) -> tuple[str, ...]:
    found: list[Episode] = [
        one
        for one in workplace.register.load_episodes(serial)
        if one.finding.kind.value == kind and one.may_be_shown
    ]
    return tuple(one.key for one in found)


def _at(workplace: Workplace, serial: str, place: int) -> tuple[Workplace, int]:
    """The workplace as its clock stood after a bale of the season, and that bale's number."""
    bales = workplace.journal.read_bales(serial, columns=["bale_no", "tipped_at"])
    order = np.argsort(bales.column("bale_no"), kind="stable")
    row = int(order[place])
    at_us = int(bales.column("tipped_at")[row])
    then = datetime.fromtimestamp(at_us / MICROSECONDS_PER_S, UTC) + timedelta(minutes=1)
    return replace(workplace, clock=lambda: then), int(bales.column("bale_no")[row])


def _write(workplace: Workplace, case: str, kind: EntryKind, payload: Fields) -> None:
    add_to_case(workplace, case, Writing(kind, payload, "tove"))
