"""See what is held of a person or a place, and erase it everywhere; no total changes by it."""

from __future__ import annotations

import hashlib
import secrets
from collections import Counter
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Any, Final

from balewright.flows.after_stop import (
    load_erasure,
    note_erasure_begun,
    note_erasure_ended,
)
from balewright.flows.forget_case import forget_case, held_of_case
from balewright.flows.workplace import Workplace
from balewright.quantities.errors import BadInput, Fault
from balewright.store.bucket_view import BucketView
from balewright.store.compaction import compact_bucket
from balewright.store.entries import AccessEntry, Dataset, ErasureEntry
from balewright.store.intake_files import bucket_of
from balewright.store.originals import Originals
from balewright.store.reading_lease import reading
from balewright.store.striking import Strike, strike_jobs, strike_operator, strike_positions
from balewright.store.views import load_views

EVERY_MACHINE: Final = ""
_TRIES: Final = 20
_RAW: Final = (Dataset.BALES, Dataset.EVENTS)


class ErasureKind(StrEnum):
    """Whose or what: an operator's name, a customer's, where bales lie, who did things here, what
    people wrote and photographed of a case (its answers, parts and times stay)."""

    OPERATOR = "operator"
    CUSTOMER = "customer"
    POSITIONS = "positions"
    ACCOUNT = "account"
    CASE = "case"


@dataclass(frozen=True)
class Erasing:
    """What to erase.

    subject: the name; of positions a machine's serial or EVERY_MACHINE; before_us: of positions
    only those of bales made before, UTC microseconds, None for all.
    """

    kind: ErasureKind
    subject: str
    before_us: int | None = None


@dataclass(frozen=True)
class Held:
    """What is held. places: how many cells or lines, by place as in the list of personal data;
    originals: hashes of files that hold it and would go with it."""

    places: Mapping[str, int]
    originals: frozenset[str]

    @property
    def is_nothing(self) -> bool:
        """Whether nothing was found."""
        return not self.places


def see_held(workplace: Workplace, erasing: Erasing, by: str | None = None) -> Held:
    """What is held of somebody, or where bales lie; looking is noted.

    Raises BadInput for an empty name where one is needed.
    """
    _require(erasing)
    subject = erasing.kind.value
    workplace.register.note_access(AccessEntry(workplace.clock(), by, "see held", subject))
    return _find(workplace, erasing, _strikes(workplace, erasing, ""))


def erase_personal(workplace: Workplace, erasing: Erasing, by: str | None = None) -> Held:
    """Erase it from journal, corrections, ledger and originals; what was held.

    Erased twice changes nothing more; stopped half way, the next call goes on. Backups are not
    touched. Raises BadInput for a bad request and where files cannot be written.
    """
    _require(erasing)
    kind = erasing.kind.value
    again = load_erasure(workplace.register, kind, erasing.subject)
    instead = again or f"erased {secrets.token_hex(4)}"
    strikes = _strikes(workplace, erasing, instead)
    held = _find(workplace, erasing, strikes)
    if held.is_nothing and again is None:
        return held
    note_erasure_begun(workplace, kind, erasing.subject, instead)
    machines = _forget_in_register(workplace, erasing, instead, strikes)
    if again is not None:  # which machines the one that was stopped had in hand nobody knows
        machines |= workplace.register.load_corrected_machines()
    words = {word: new for (word, _), new in _words(workplace, erasing, instead).items()}
    is_named = erasing.kind not in (ErasureKind.POSITIONS, ErasureKind.CASE)
    name = erasing.subject if is_named else None
    workplace.register.blank_intakes(held.originals, name, words)
    _let_go(workplace, held.originals)  # before the journal: it says which they are
    _rewrite(workplace, strikes, {bucket_of(machine) for machine in machines})
    if strikes:  # the watch remembers bales; it reads them anew
        workplace.register.forget_watch_states(erasing.subject if _is_of_machine(erasing) else None)
    if erasing.kind is ErasureKind.CUSTOMER:  # last: its jobs say which words are the customer's
        workplace.register.forget_customer(erasing.subject, instead, words)
    sha256 = hashlib.sha256(erasing.subject.encode()).hexdigest()
    counts = {**held.places, "originals": len(held.originals)}
    workplace.journal.sweep()
    entry = ErasureEntry(kind, sha256, workplace.clock(), by, counts)
    workplace.register.note_erasure(entry)
    note_erasure_ended(workplace, kind, erasing.subject)
    return held


def _is_of_machine(erasing: Erasing) -> bool:
    """Whether only one machine's bales hold it."""
    return erasing.kind is ErasureKind.POSITIONS and erasing.subject != EVERY_MACHINE


def _require(erasing: Erasing) -> None:
    if not erasing.subject.strip() and erasing.kind is not ErasureKind.POSITIONS:
        need = f"the name of the {erasing.kind.value}"
        raise BadInput(Fault("subject", need, "nothing", "Write it as the records have it."))


def _strikes(workplace: Workplace, erasing: Erasing, instead: str) -> tuple[Strike, ...]:
    if erasing.kind is ErasureKind.OPERATOR:
        return (strike_operator(erasing.subject),)
    if erasing.kind is ErasureKind.POSITIONS:
        return (strike_positions(erasing.subject or None, erasing.before_us),)
    if erasing.kind is ErasureKind.CUSTOMER:
        return strike_jobs(_words(workplace, erasing, instead), erasing.subject)
    return ()


def _words(workplace: Workplace, erasing: Erasing, instead: str) -> dict[tuple[str, str], str]:
    """The customer's job words with the files that say them, and what stands there instead. A
    word that somebody entered is the customer's in every file that does not say another's."""
    if erasing.kind is not ErasureKind.CUSTOMER:
        return {}
    jobs = workplace.register.load_jobs()
    own = [job for job in jobs if job.customer == erasing.subject]
    others = {job.job for job in jobs if job.customer not in (None, erasing.subject)}
    words = sorted({job.job for job in own})
    place = {word: f"{instead} {number}" for number, word in enumerate(words, 1)}
    found = {(job.job, job.source or ""): place[job.job] for job in own}
    return {key: new for key, new in found.items() if key[1] or key[0] not in others}


def _find(workplace: Workplace, erasing: Erasing, strikes: Sequence[Strike]) -> Held:
    places: Counter[str] = Counter()
    originals: set[str] = set()
    with reading(workplace.journal.root):
        views = load_views(workplace.journal.root, workplace.register) if strikes else ()
        for done, view in enumerate(views):
            workplace.progress("looking through the journal", done, len(views))
            for strike in strikes:
                for dataset in _RAW:
                    table = view.read_raw(dataset)
                    column = "note" if dataset is Dataset.EVENTS else next(iter(strike.columns))
                    places[f"{dataset.value}.{column}"] += strike.count(dataset, table)
                    originals |= strike.sources(dataset, table)
    places.update(_held_in_register(workplace, erasing))
    return Held({place: count for place, count in places.items() if count}, frozenset(originals))


def _held_in_register(workplace: Workplace, erasing: Erasing) -> dict[str, int]:
    register = workplace.register
    if erasing.kind is ErasureKind.ACCOUNT:
        return register.count_account(erasing.subject)
    if erasing.kind is ErasureKind.CASE:
        return held_of_case(workplace, erasing.subject)
    columns, values, machine = _corrected(workplace, erasing, "")
    found = {"correction.value": register.count_corrections(columns, values, machine)}
    if erasing.kind is ErasureKind.CUSTOMER:
        found |= register.count_customer(erasing.subject)
    return found


def _corrected(
    workplace: Workplace, erasing: Erasing, instead: str
) -> tuple[tuple[str, ...], dict[str, str | None], str | None]:
    """Columns and values of corrections that hold it, with what stands there instead."""
    if erasing.kind is ErasureKind.OPERATOR:
        return ("operator",), {erasing.subject: None}, None
    if erasing.kind is ErasureKind.POSITIONS:
        return ("lat", "lon"), {}, erasing.subject or None
    words = _words(workplace, erasing, instead)
    return (("job",) if words else ()), {word: new for (word, _), new in words.items()}, None


def _forget_in_register(
    workplace: Workplace, erasing: Erasing, instead: str, strikes: Sequence[Strike]
) -> frozenset[str]:
    """Corrections and names of people; machines whose bales must be worked out anew."""
    if erasing.kind is ErasureKind.ACCOUNT:
        workplace.register.rename_account(erasing.subject, instead)
    if erasing.kind is ErasureKind.CASE:
        forget_case(workplace, erasing.subject)
    if not strikes:
        return frozenset()
    columns, values, machine = _corrected(workplace, erasing, instead)
    return workplace.register.blank_corrections(columns, values, machine)


def _rewrite(workplace: Workplace, strikes: Sequence[Strike], corrected: Collection[int]) -> None:
    """Write every bucket anew that holds it, until none does: an intake may merge meanwhile."""
    if not strikes:
        return
    left = set(corrected) | _buckets_with(workplace, strikes)
    for _ in range(_TRIES):
        for done, bucket in enumerate(sorted(left)):
            workplace.progress("writing the journal anew", done, len(left))
            compact_bucket(
                workplace.journal,
                bucket,
                workplace.clock(),
                lambda dataset, table: _struck(strikes, dataset, table),
            )
        left = _buckets_with(workplace, strikes)
        if not left:
            return
    cure = "Let the intakes that run come to their end, then erase again: it goes on from there."
    raise BadInput(Fault("journal", "a journal that holds still", "one at work", cure))


def _struck(strikes: Sequence[Strike], dataset: Dataset, table: Any) -> Any:
    for strike in strikes:
        table = strike.change(dataset, table)
    return table


def _buckets_with(workplace: Workplace, strikes: Sequence[Strike]) -> set[int]:
    with reading(workplace.journal.root):
        views = load_views(workplace.journal.root, workplace.register)
        return {view.bucket for view in views if _holds(view, strikes)}


def _holds(view: BucketView, strikes: Sequence[Strike]) -> bool:
    tables = {dataset: view.read_raw(dataset) for dataset in _RAW}
    return any(
        strike.count(dataset, table) for strike in strikes for dataset, table in tables.items()
    )


def _let_go(workplace: Workplace, sources: Collection[str]) -> None:
    originals = Originals(workplace.home / "originals")
    for sha256 in sorted(sources):
        workplace.register.note_original_gone(sha256, workplace.clock(), "erasure")
        originals.let_go(sha256)
