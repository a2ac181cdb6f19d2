"""Take a file in, then look for findings on the machines it speaks of."""

from __future__ import annotations

from balewright.flows.admit_findings import admit_open
from balewright.flows.review_machine import keep_review, read_records
from balewright.flows.take_in_file import Handed, take_in_handed
from balewright.flows.take_in_report import IntakeReport
from balewright.flows.workplace import Workplace
from balewright.store.entries import IntakeState


def take_in_then_review(
    workplace: Workplace, handed: Handed, reviewing: bool = True
) -> IntakeReport:
    """Take one file in; once it is kept, review its machines that are in the register.

    Their alarms are admitted by the fleet's numbers; what was told of other machines stays.

    reviewing: False where more of them is about to come. One that is known already is reviewed
    too: whoever took it in may have been killed before the review. Raises as `take_in_handed`.
    """
    report = take_in_handed(workplace, handed)
    if not reviewing or report.state is IntakeState.REFUSED:
        return report
    serials = [serial for serial in report.machines if serial not in report.unknown_machines]
    for place, serial in enumerate(serials):
        workplace.progress("reviewing", place, len(serials))
        keep_review(workplace, read_records(workplace, serial))
    if serials:
        admit_open(workplace, serials)
    return report
