"""What stands on a case that is shared or printed."""

from __future__ import annotations

from typing import Final

_PAGE: Final = {
    "title": "Case",
    "claim": "Evidence for a claim",
    "made": "As it stands on {at_us}",
    "machine": "Machine",
    "profile": "Type",
    "key": "Case",
    "state": "State",
    "state.open": "open",
    "state.repaired": "repaired",
    "state.closed": "closed",
    "complaint": "What was said",
    "findings": "What the records show",
    "answers": "What was reported and read",
    "col.what": "What",
    "col.answer": "Answer",
    "col.who": "Who, when",
    "answer.yes": "yes",
    "answer.no": "no",
    "answer.cannot_tell": "cannot tell",
    "answer.skipped": "skipped",
    "after_repair": "after repair {count}",
    "disagree": "Answers that contradict each other count as unknown",
    "cause": "Cause found",
    "repair": "What was done",
    "swap": "The machine was swapped",
    "minutes": "Work",
    "travel": "On the road",
    "parts": "Parts",
    "at_bale": "Counter at the repair",
    "notes": "Notes",
    "photos": "Photos",
    "photo.missing": "Not arrived yet",
    "photo.gone": "Erased",
    "proof": "Cure",
    "proof.cured": "Proved by later bales",
    "proof.not_cured": "Not cured: it goes on",
    "proof.not_yet": "Not proved yet",
    "proof.said": "Somebody's word, not proved by bales",
    "proof.bales": "{bales:bale|bales} since the repair, {need_bales} needed",
    "proof.span": "Bales {from_bale} to {to_bale}",
    "claims": "Claim",
    "claim.number": "Claim number",
    "claim.bales": "Bales",
    "claim.film": "Film batch",
    "withdrawn": "{count:answer was|answers were} taken back; the desk still shows what was said.",
    "conflicts": "Under {count:id|ids} two things were written. Both stand here.",
    "newer": (
        "{count:entry was|entries were} written by a newer version and cannot be shown here yet."
    ),
    "times": (
        "Times beside a name are those of the phone or computer that wrote the entry, in UTC; they "
        "are shown and not vouched for. “Arrived” is the desk's own time."
    ),
    "arrived": "arrived {at_us}",
    "nobody": "no name",
    "pdf": "Print (PDF)",
}

MESSAGES: Final = {f"desk.case_page.{name}": text for name, text in _PAGE.items()}
