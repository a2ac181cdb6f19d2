"""Read a case that is kept: its entries folded, how each came, and which photos are there."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from balewright.cause.case.case import Case
from balewright.cause.case.entry import Entry, content_of
from balewright.cause.case.read_case import read_case
from balewright.flows.workplace import Workplace
from balewright.quantities.errors import BadInput, Fault
from balewright.store.case_entries import Arrived, CaseLinkEntry, PhotoEntry


@dataclass(frozen=True)
class KeptCase:
    """A case and what is known beside its entries.

    arrived: how each entry came, by its content; photos: those that arrived, by hash; links: to
    the case, the newest first; name: of the machine, None where the register does not know it.
    """

    case: Case
    arrived: Mapping[str, Arrived]
    photos: Mapping[str, PhotoEntry]
    links: tuple[CaseLinkEntry, ...]
    name: str | None
    zone: str

    def arrival_of(self, entry: Entry) -> Arrived:
        """How an entry of the case came."""
        return self.arrived[content_of(entry)]

    @property
    def photos_missing(self) -> int:
        """Photos that an entry names and that have not arrived yet."""
        return sum(one.sha256 not in self.photos for one in self.case.photos)


def read_case_of(workplace: Workplace, case: str) -> KeptCase:
    """The case of that key. Raises BadInput for a case nobody knows."""
    kept = workplace.register.load_case(case)
    if not kept:
        cure = "Check the key; it stands on the case's page and in `balewright case`."
        raise BadInput(Fault("case", "the key of a kept case", repr(case[:80]), cure))
    read = read_case(one.entry for one in kept)
    machine = None if read.machine is None else workplace.register.load_machine(read.machine)
    return KeptCase(
        read,
        {content_of(one.entry): one for one in kept},
        workplace.register.load_photos({one.sha256 for one in read.photos}),
        workplace.register.load_case_links(case),
        None if machine is None else machine.name,
        "UTC" if machine is None else machine.zone,
    )
