"""Tiny seasons whose score anybody can count."""

from __future__ import annotations

from typing import Any

from bench.findings.facts import Fault, Said, Season, Told
from bench.findings.judging import Tells

BOOK = {"stretch slips": (Tells("stretch unequal"), Tells("metres moved", ("film1_m",)))}


def told(kind: str = "stretch unequal", since: int = 100, alarm: int = 110, **more: Any) -> Told:
    """A finding told at the review after bale 120 and, if `again` is given, at that one too."""
    said = [Said(120, since, more.pop("first", None), more.pop("last", None), 0.8,
                 more.pop("certain", None), more.pop("chance", None))]  # fmt: skip
    again = more.pop("again", None)
    given = {
        "measure": "",
        "part": "",
        "words": "w",
        "weight": "cost",
        "note": False,
        "borne_out": False,
    } | more
    given.setdefault("columns", ())
    return Told(kind=kind, alarm=alarm, said=(*said, *([again] if again else [])), **given)


def season(*findings: Told, fault: bool = True, start: int = 100, weeks: int = 3) -> Season:
    """A season of 900 bales with these findings, with or without a slipping stretch."""
    planted = Fault("stretch slips", "moderate", "at once", start) if fault else None
    return Season("k", 1, "Mossgrinder M2", "rich", "", 900, weeks, planted, findings)
