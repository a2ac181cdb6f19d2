"""A machine's account of counts, with the files its odd numbers came from."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from balewright.flows.known_machine import known_machine
from balewright.flows.lifetime_of import never_below
from balewright.flows.workplace import Workplace
from balewright.records.counts.account import CountAccount, account_for
from balewright.records.identity import TELLING
from balewright.store.entries import MachineEntry

_COLUMNS = (*TELLING, "job")


@dataclass(frozen=True)
class CountsTold:
    """account: of the machine's numbers, its lifetime never below what its counters' marks say;
    files: of each number that stands in several rows, the names of the files, sorted.
    """

    entry: MachineEntry
    account: CountAccount
    files: Mapping[int, tuple[str, ...]]


def account_counts(workplace: Workplace, serial: str) -> CountsTold:
    """Account for one machine's numbers as they stand, corrections laid over them.

    Raises BadInput for a machine that is neither in the register nor in any file.
    """
    entry = known_machine(workplace, serial)
    kept = workplace.journal.read_keyed_bales(serial, _COLUMNS)
    account = account_for(serial, kept.bales, workplace.journal.read_events(serial))
    marked = workplace.register.load_lifetime(serial)
    account = replace(account, lifetime=never_below(account.lifetime, marked))
    repeated = {one.number for counter in account.counters for one in counter.repeats}
    sources: dict[int, set[str]] = {}
    numbers, known = kept.bales.column("bale_no"), kept.bales.mask("bale_no")
    for row, hashes in enumerate(kept.sources):
        if known[row] and int(numbers[row]) in repeated:
            sources.setdefault(int(numbers[row]), set()).update(hashes.split())
    names = {sha: _name(workplace, sha) for sha in set().union(*sources.values())}
    files = {
        number: tuple(sorted({names[sha] for sha in hashes})) for number, hashes in sources.items()
    }
    return CountsTold(entry, account, files)


def _name(workplace: Workplace, sha256: str) -> str:
    entry = workplace.register.load_intake(sha256)
    return sha256[:12] if entry is None else entry.name
