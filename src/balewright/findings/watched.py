"""One machine's bales in the order they were made, with the sheet in force at each."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any, Final, TypeVar

import numpy as np
from numpy.typing import NDArray

from balewright.findings.finding import Finding, FindingKind, Weight
from balewright.findings.planned import PlannedBale
from balewright.findings.runs import Run
from balewright.plan.machine import Machine
from balewright.quantities.interval import Interval
from balewright.quantities.reason import Reason, ReasonValue
from balewright.records.bales import BaleTable
from balewright.records.columns import CHAMBER_PHASES, WRAPPER_PHASES
from balewright.records.text_codes import code_texts

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Kept = TypeVar("Kept")
Array = TypeVar("Array", bound=NDArray[Any])

_UNKNOWN_US: Final = np.iinfo(np.int64).min


@dataclass(frozen=True, eq=False)
class Watched:
    """bales: in order; plans: by sheet key; made_us: when each bale was made, int64 (bales,),
    with `timed` telling where that is known. Columns are read once and kept; those arrays are
    read-only.
    """

    serial: str
    machine: Machine
    bales: BaleTable
    plans: Mapping[str, PlannedBale]
    made_us: NDArray[np.int64]
    timed: Bools
    _kept: dict[tuple[str, str], Any] = field(default_factory=dict, init=False, repr=False)

    def keep(self, what: str, of: str, make: Callable[[], Kept]) -> Kept:
        """What `make` gives, made once: several checks ask for the same. what, of: its name."""
        key = (what, of)
        if key not in self._kept:
            self._kept[key] = make()
        made: Kept = self._kept[key]
        return made

    def floats(self, column: str) -> Floats:
        """A numeric column, NaN where unknown."""
        return self.keep("floats", column, lambda: _read_only(self.bales.floats(column)))

    def texts(self, column: str) -> NDArray[np.object_]:
        """A text column, "" where unknown."""
        return self.keep("texts", column, lambda: self._texts(column))

    def _texts(self, column: str) -> NDArray[np.object_]:
        mask = self.bales.mask(column)
        texts = self.bales.column(column)
        return _read_only(texts.view() if mask.all() else np.where(mask, texts, ""))

    def says(self, column: str, *words: str) -> Bools:
        """Where a text column has one of these words ("" for unknown)."""
        return self.keep("says", f"{column}={words}", lambda: self._says(column, words))

    def _says(self, column: str, words: tuple[str, ...]) -> Bools:
        codes, said = self._codes(column)
        hits = [text in words for text in said]
        if len(hits) == 1:
            return _read_only(np.full(self.bales.rows, hits[0]))
        return _read_only(np.array(hits, dtype=np.bool_)[codes])

    def _codes(self, column: str) -> tuple[NDArray[np.int64], list[str]]:
        """A number for each row and the texts by number: comparing those is what is slow."""
        if column not in self.bales.values:
            return np.zeros(self.bales.rows, dtype=np.int64), [""]
        return self.keep("codes", column, lambda: code_texts(self.texts(column)))

    def by_plan(self) -> Iterator[tuple[PlannedBale, Bools]]:
        """Each sheet in force with the rows it rules, in the order of first use."""
        codes, keys = self._codes("sheet")
        for code, key in enumerate(keys):
            if key in self.plans:
                yield self.plans[key], codes == code

    def planned(self, value: Callable[[PlannedBale], float | None]) -> Floats:
        """A planned number at every bale, NaN where no sheet gives one."""
        column = np.full(self.bales.rows, np.nan)
        for plan, rows in self.by_plan():
            number = value(plan)
            if number is not None:
                column[rows] = number
        return column

    def facts(self, run: Run) -> dict[str, ReasonValue]:
        """What every sentence about a run may say: since which bale, how many of how many."""
        since = self.bales.cell(int(run.rows[0]), "bale_no")
        number: ReasonValue = "(no number)" if since is None else int(since)
        return {"since_bale": number, "bales": len(run.rows), "looked_at": run.looked_at}

    @property
    def whole(self) -> Bools:
        """Bales that count as work: not burst and not made as a test."""
        return self.keep("whole", "", lambda: _read_only(~self.says("status", "burst", "test")))


def _read_only(array: Array) -> Array:
    array.flags.writeable = False
    return array


@dataclass(frozen=True, eq=False)
class Found:
    """What a check found, before it is told as a Finding. Fields as in Finding."""

    kind: FindingKind
    weight: Weight
    run: Run
    planned: float | None
    seen: Interval | None
    unit: str
    evidence: tuple[str, ...]
    words: Reason
    part: str = ""


def watch_machine(
    serial: str, machine: Machine, bales: BaleTable, plans: Mapping[str, PlannedBale]
) -> Watched:
    """Put one machine's bales in order; the order they come in does not matter.

    By time where known; a bale without any time stands behind the one whose number precedes its.
    """
    return watch_with_order(serial, machine, bales, plans)[0]


def watch_with_order(
    serial: str, machine: Machine, bales: BaleTable, plans: Mapping[str, PlannedBale]
) -> tuple[Watched, NDArray[np.int64]]:
    """As `watch_machine`, with the row of `bales` that stands at each place."""
    made = _made_us(bales)
    timed = made != _UNKNOWN_US
    if timed.all() and bool((made[1:] > made[:-1]).all()):  # in order as they came: the usual case
        order = np.arange(bales.rows)
        return Watched(serial, machine, bales, plans, made, timed), order
    number = np.where(bales.mask("bale_no"), bales.column("bale_no"), -1)
    epoch = np.where(bales.mask("counter_epoch"), bales.column("counter_epoch"), 0)
    by_number = np.lexsort((made, number, epoch))
    standing = np.maximum.accumulate(made[by_number])
    place = np.empty_like(made)
    place[by_number] = np.where(made[by_number] == _UNKNOWN_US, standing, made[by_number])
    order = np.lexsort((_ranks(bales.column("job")), number, epoch, place))
    table = bales.take(order)
    return Watched(serial, machine, table, plans, made[order], timed[order]), order


def _ranks(texts: NDArray[Any]) -> NDArray[np.int64]:
    """Each text's place among all, in alphabetical order; equal texts have the same."""
    codes, said = code_texts(texts)
    ranks = {text: rank for rank, text in enumerate(sorted(map(str, said)))}
    return np.array([ranks[str(text)] for text in said], dtype=np.int64)[codes]


def watch_as_given(bales: BaleTable, machine: Machine, plans: Mapping[str, PlannedBale]) -> Watched:
    """One machine's bales in the order they come in, for checks that look at each bale alone."""
    made = _made_us(bales)
    serial = str(bales.cell(0, "machine") or "") if bales.rows else ""
    return Watched(serial, machine, bales, plans, made, made != _UNKNOWN_US)


def _made_us(bales: BaleTable) -> NDArray[np.int64]:
    """The earliest time each row knows of."""
    latest = np.iinfo(np.int64).max
    made = np.full(bales.rows, latest, dtype=np.int64)
    for name in (*CHAMBER_PHASES, *WRAPPER_PHASES):
        if name in bales.values:
            time, mask = bales.column(name), bales.mask(name)
            np.minimum(made, time, out=made, where=mask)
    return np.where(made == latest, _UNKNOWN_US, made)


def tell(watched: Watched, found: Found) -> Finding:
    """Turn what was found into a Finding: since and until which bale, when, under which sheet."""
    first, last = int(found.run.rows[0]), int(found.run.rows[-1])
    return Finding(
        machine=watched.serial,
        kind=found.kind,
        weight=found.weight,
        since_bale=watched.bales.cell(first, "bale_no"),
        until_bale=watched.bales.cell(last, "bale_no"),
        since_us=int(watched.made_us[first]) if watched.timed[first] else None,
        bales=len(found.run.rows),
        looked_at=found.run.looked_at,
        planned=found.planned,
        seen=found.seen,
        unit=found.unit,
        evidence=found.evidence,
        sheet=watched.bales.cell(first, "sheet"),
        words=found.words,
        part=found.part,
        until_us=int(watched.made_us[last]) if watched.timed[last] else None,
    )
