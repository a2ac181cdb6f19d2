"""Findings straight from a file of bales, without a register."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import numpy as np

from balewright.findings.admission import USUAL_RATE_FRAC, admit
from balewright.findings.against_plan import cannot_tell, find_against_plan, worst_first
from balewright.findings.episodes import follow
from balewright.findings.finding import Finding
from balewright.findings.judged import judge
from balewright.flows.find_profile import find_profile
from balewright.flows.read_sheet_file import read_sheet_file
from balewright.flows.watch_bales import About, ChartEngine, watch_bales
from balewright.plan.machine import Machine
from balewright.plan.sheet.sheet import Sheet
from balewright.quantities.errors import BadInput, Fault
from balewright.quantities.reason import Reason
from balewright.readers.open_records import open_records
from balewright.records.bales import BaleTable, concatenate, masked_table
from balewright.records.intake import Refusal

MAX_BALES: Final = 1_000_000
"""Bales judged straight from a file: a lifetime of many machines."""

SHOWN: Final = 1000
"""Refusals held in full; `refused` counts all."""


@dataclass(frozen=True)
class FileFindings:
    """What a file shows: findings, what its records cannot tell, bales read, rows refused.

    refusals: the first SHOWN; refused: how many there were.
    """

    findings: tuple[Finding, ...]
    untold: tuple[Reason, ...]
    bales: int
    refusals: tuple[Refusal, ...]
    refused: int


def find_in_file(path: Path, profile: str, sheet: Path | None) -> FileFindings:
    """Hold every bale of a file against one sheet, and watch each machine in it for change.

    path: bale CSV or task data; profile: key of a shipped profile or path of a profile file;
    sheet: a sheet as JSON, taken to be in force at every bale; None judges only on what needs
    none. Raises BadInput for what cannot be read, and for a sheet of another profile.
    """
    machine = find_profile(profile)
    sheets: dict[str, Sheet] = {}
    bales, refusals, refused = _read(path)
    if sheet is not None:
        sheets = {"given": _sheet(sheet, machine)}
        bales = _under(bales, "given")
    findings = find_against_plan(bales, machine, sheets)
    return FileFindings(
        findings=worst_first([*findings, *_find_moved(bales, machine, sheets, findings)]),
        untold=cannot_tell(bales, machine, sheets),
        bales=bales.rows,
        refusals=refusals,
        refused=refused,
    )


def _find_moved(
    bales: BaleTable,
    machine: Machine,
    sheets: Mapping[str, Sheet],
    by_plan: Sequence[Finding],
) -> list[Finding]:
    """What the watch tells of the file's machines beside `by_plan`: what these do not tell already,
    and so much of it that the usual share is false.
    """
    serials = np.where(bales.mask("machine"), bales.column("machine"), "")
    moved: list[Finding] = []
    charts = 0
    for serial in sorted(set(serials.tolist())):
        judged = judge(serial, machine, bales.take(np.flatnonzero(serials == serial)))
        looked = watch_bales(ChartEngine(), About(serial, machine, sheets), judged, (), ())
        own = [one for one in looked.findings if one.measure]
        episodes = follow((), [*own, *(one for one in by_plan if one.machine == serial)], 0, judged)
        moved += [
            one.finding
            for one in episodes
            if one.finding.measure and one.under is None and one.joined is None
        ]
        charts += looked.charts
    told = admit(moved, USUAL_RATE_FRAC, charts).admitted
    return [one for one, yes in zip(moved, told, strict=True) if yes]


def _read(path: Path) -> tuple[BaleTable, tuple[Refusal, ...], int]:
    """The bales, the first refusals, and how many refusals there were. Bounded however large."""
    tables: list[BaleTable] = []
    refusals: list[Refusal] = []
    refused = rows = 0
    for batch in open_records(path).batches:
        refused += len(batch.refusals)
        refusals += batch.refusals[: SHOWN - len(refusals)]
        rows += batch.bales.rows
        if rows > MAX_BALES:
            cure = "Split the file by season, or take it in: balewright take-in."
            given = f"more than {MAX_BALES}"
            raise BadInput(Fault(path.name, f"at most {MAX_BALES} bales at once", given, cure))
        if batch.bales.rows or not tables:
            tables.append(batch.bales)
    return concatenate(tables), tuple(refusals), refused


def _sheet(path: Path, machine: Machine) -> Sheet:
    sheet = read_sheet_file(path)
    if sheet.profile_key != machine.key:
        cure = "Give the profile the sheet was made for."
        need = f"a sheet made for {machine.key}"
        raise BadInput(Fault(str(path), need, f"one for {sheet.profile_key}", cure))
    return sheet


def _under(bales: BaleTable, key: str) -> BaleTable:
    """The same bales with one sheet in force at all of them."""
    values = {**bales.values, "sheet": np.full(bales.rows, key, dtype=object)}
    known = {**bales.known, "sheet": np.ones(bales.rows, dtype=np.bool_)}
    return masked_table(bales.rows, values, known)
