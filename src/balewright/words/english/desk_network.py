"""The fault network to browse, and where it is often wrong."""

from __future__ import annotations

from typing import Final

_PAGE: Final = {
    "title": "Fault network",
    "what": (
        "What can be wrong, how it shows, and how often. The figures are judgement until closed "
        "cases move them; each says why and how much it is worth."
    ),
    "causes": "Causes",
    "links": "Links",
    "version": "Version",
    "kind.report": "Reports",
    "kind.finding": "Findings",
    "kind.check": "Checks",
    "search": "Look for",
    "search.do": "Show",
    "profile": "Type of machine",
    "profile.none": "all, as it comes",
    "taught": "{count:lesson|lessons} of this type's closed cases are in these figures.",
    "found": "{count:cause has|causes have} all these words.",
    "nothing": "No cause has all these words. Try fewer.",
    "systems": "Where on the machine",
    "cause": "Cause",
    "side": "Whose",
    "prior": "There beforehand",
    "arises": "Arises in 1,000 bales",
    "stays": "Stays unseen for",
    "stays.bales": "{bales:bale|bales}",
    "signs": "Signs",
    "how_often": "How often",
    "strength": "Worth",
    "strength.good": "good",
    "strength.fair": "fair",
    "strength.weak": "weak",
    "strength.said": "Worth: {strength}; {source}.",
    "source": "Source",
    "judged": "trade judgement",
    "exists_if": "Only on machines with: {facts}.",
    "repair": "What puts it right",
    "part.assumed": "prices assumed",
    "shows.report": "What people say",
    "shows.finding": "What the records show",
    "shows.check": "What a check reads",
    "leak": "Without any of its causes it is so with a chance of {leak_frac}.",
    "alike": "Cannot be told apart",
    "alike.what": "No check known here tells these pairs apart; what puts them right does.",
    "alike.none": "None.",
    "wrong": "Where it is often wrong",
    "wrong.share": (
        "In {cases:proven case|proven cases} of this house the cause that was found stood first at "
        "the opening in {first_frac}, among the first three in {third_frac}."
    ),
    "wrong.range": "First: between {low_frac} and {high_frac}, nine times in ten.",
    "wrong.unknown": "Found, and not in the network:",
    "wrong.none": (
        "No case of this house is proven yet. Once later bales prove cures, it stands here which "
        "causes were ranked too low."
    ),
    "missed": "not first in every one of {cases:case|cases}.",
    "missed.instead": "{name} stood first instead, {count:time|times}",
    "calibration": "What was stated, and how often it was so",
    "stated": "Stated chance",
    "times": "Stated",
    "was_so": "Was so",
}

MESSAGES: Final = {f"desk.network.{name}": text for name, text in _PAGE.items()} | {
    "desk.site.network": "what can be wrong, how it shows, and where that is often wrong.",
}
