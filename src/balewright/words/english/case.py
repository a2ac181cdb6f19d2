"""What is said of a case: how far its cure is proved."""

from __future__ import annotations

from typing import Final

MESSAGES: Final = {
    "case.proof.no_findings": (
        "Nothing in the machine's records belongs to this case, so its bales can prove nothing. "
        "That it is well again is what somebody said."
    ),
    "case.proof.no_records": (
        "This machine's bales are not recorded. That it is well again is what somebody said; it "
        "is no proof."
    ),
    "case.proof.not_repaired": "Nothing was repaired or swapped yet, so there is nothing to prove.",
    "case.proof.withdrawn": (
        "“{finding}”: no review finds it any more, but no later bale showed it gone either. That "
        "proves nothing."
    ),
    "case.proof.set_aside": ("“{finding}” was set aside. While it is, bales do not prove it gone."),
    "case.proof.goes_on": "“{finding}” was seen again on bales made after the repair.",
    "case.proof.still_open": (
        "“{finding}” was not seen after the repair, but {bales:bale that could show it was|bales "
        "that could show it were} made since, and {need_bales} are needed."
    ),
    "case.proof.too_few": (
        "“{finding}” ended, but only {bales:bale that could show it was|bales that could show it "
        "were} made after the repair, and {need_bales} are needed."
    ),
    "case.proof.ended": (
        "“{finding}” ended: {bales:bale that could have shown it was|bales that could have shown "
        "it were} made after the repair without it."
    ),
}
