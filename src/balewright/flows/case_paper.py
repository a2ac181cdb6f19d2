"""Put a case together for paper, or for somebody it is shared with."""

from __future__ import annotations

from balewright.cards.case_data import CasePaper, case_data
from balewright.cards.case_pdf import case_pdf
from balewright.flows.read_case_of import KeptCase, read_case_of
from balewright.flows.workplace import Workplace
from balewright.quantities.errors import BadInput
from balewright.quantities.si import MICROSECONDS_PER_S
from balewright.readers.fault_network import shipped_network
from balewright.store.photos import Photos


def case_paper(workplace: Workplace, kept: KeptCase, claim: bool = False) -> CasePaper:
    """What the page and the PDF of a case are made of. claim: it is evidence of a claim."""
    case = kept.case
    machine = None if case.machine is None else workplace.register.load_machine(case.machine)
    profile = None if machine is None else workplace.profiles.get(machine.profile_key)
    found = [workplace.register.load_episode(key) for key in case.findings]
    return CasePaper(
        case=case,
        arrived_us={content: one.at_us for content, one in kept.arrived.items()},
        photos={key: one.gone_at is None for key, one in kept.photos.items()},
        name=kept.name,
        profile=None if profile is None else profile.title,
        network=shipped_network(),
        findings=tuple(one.finding.words for one in found if one is not None),
        claim=claim,
        made_us=round(workplace.clock().timestamp() * MICROSECONDS_PER_S),
    )


def print_case(workplace: Workplace, case: str, language: str = "en", claim: bool = False) -> bytes:
    """A case as a PDF with its photos. Raises BadInput for a case nobody knows."""
    kept = read_case_of(workplace, case)
    photos, contents = Photos(workplace.home / "photos"), {}
    for key, one in kept.photos.items():
        if one.gone_at is not None:
            continue
        try:
            contents[key] = photos.read(key)
        except BadInput:  # the page says of the others where they are; of a lost file nothing else
            continue
    data = case_data(case_paper(workplace, kept, claim), language)
    return case_pdf(data, kept.case.key, contents)
