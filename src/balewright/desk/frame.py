"""What every page shows round its content: places to go, who is signed in, what may be done."""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType
from typing import Any, Final

from django.http import HttpRequest

from balewright import __version__
from balewright.desk.access import DEMO_PERSON, Deed, deeds_of, role_of


@dataclass(frozen=True)
class Place:
    """One entry of the way round: page name, words key, the deed that opens it."""

    page: str
    key: str
    deed: Deed


PLACES: Final = (
    Place("today", "place.today", Deed.SEE),
    Place("machines", "place.machines", Deed.SEE),
    Place("cases", "place.cases", Deed.SEE),
    Place("sheet", "place.sheet", Deed.MAKE_SHEET),
    Place("intake", "place.intake", Deed.TAKE_IN),
    Place("book", "place.book", Deed.SEE),
)

UNDER: Final = MappingProxyType(
    {
        **dict.fromkeys(("machine", "outlook", "record", "settings", "counts"), "machines"),
        **dict.fromkeys(("bales", "bale", "feedback"), "machines"),
        **dict.fromkeys(("finding", "fleet"), "machines"),
        **dict.fromkeys(("causes", "case", "network", "lessons"), "cases"),
        **dict.fromkeys(("columns", "senders"), "intake"),
        **dict.fromkeys(("misplaced", "fields", "rolls"), "book"),
        **dict.fromkeys(("files", "links"), "sheet"),
    }
)
"""The entry of the way round that a page belongs to; the others are entries or stand alone."""


def frame(request: HttpRequest) -> dict[str, Any]:
    """Context for the base template; without a person it is nearly empty."""
    person = getattr(request, "user", None)
    if person is None or not person.is_authenticated:
        return {"version": __version__, "places": (), "deeds": (), "role": None}
    deeds = deeds_of(person)
    match = request.resolver_match
    page = match.url_name.split(".")[0] if match and match.url_name else ""
    return {
        "version": __version__,
        "places": [place for place in PLACES if place.deed in deeds],
        "here": UNDER.get(page, page),
        "deeds": {deed.name.lower(): deed in deeds for deed in Deed},
        "role": role_of(person),
        "is_demo": person.get_username() == DEMO_PERSON,
    }
