"""What closed cases would move in the fault network."""

from __future__ import annotations

from typing import Final

_PAGE: Final = {
    "title": "Lessons of closed cases",
    "what": (
        "Cases with a proven cure can move how common causes are and how often they show. Nothing "
        "counts before a manager accepts it, and it can be taken back at any time."
    ),
    "show": "Show",
    "none": "No proven case of this type is left that could teach.",
    "proposed": "{count:proven case|proven cases} could teach",
    "proposed.what": (
        "Held against {bales:bale|bales} of this type's machines. As far as the network's figures "
        "tell, {told_frac} of all troubles became a proven case; the bales count with that share, "
        "so that causes do not look rare only because few cases were kept."
    ),
    "accept": "Accept: let this count",
    "accepted": "Accepted. It counts from now on.",
    "who": "A manager accepts lessons and takes them back.",
    "rates": "How common causes are",
    "rates.what": "In 1,000 bales, with the range nine times in ten.",
    "links": "How often a cause shows in a check",
    "links.what": (
        "Checks alone teach this: whoever calls says what a machine does, never what it does not."
    ),
    "shows": "Cause, and what it shows in",
    "before": "Before",
    "after": "After",
    "worth": "Stood for",
    "cases": "Cases",
    "worth.bales": "{bales:bale|bales}",
    "worth.cases": "{count:case|cases}; seen in {seen} now",
    "range": "{best_said} ({low_said} to {high_said})",
    "range.share": "{best_said} % ({low_said} to {high_said} %)",
    "left_out": "Left out for want of proof",
    "left_out.what": (
        "Cases without a proven cure teach nothing. Where many of one cause are left out, what is "
        "learnt leans away from it."
    ),
    "left_out.line": "{unproven} of {cases} ({left_out_frac})",
    "left_out.none": "None.",
    "own_words": "In own words, not in the network",
    "kept": "Accepted",
    "kept.none": "None yet: the figures are as they come.",
    "kept.cases": "{count:case|cases}",
    "kept.at": "Accepted {day}",
    "kept.back": "Taken back {day}",
    "kept.last": "Last changed by {name}.",
    "state.counts": "counts",
    "state.back": "taken back",
    "state.old": "made for another version, does not count",
    "back": "Take back",
    "taken_back": "Taken back. Its cases can teach again.",
}

MESSAGES: Final = {f"desk.lessons.{name}": text for name, text in _PAGE.items()} | {
    "desk.site.lessons": "what closed cases would move in the fault network.",
}
