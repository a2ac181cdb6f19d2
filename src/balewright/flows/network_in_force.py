"""The fault network as it is asked here: the one that comes with the program, and what this house
took in from its own closed cases."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from functools import lru_cache
from typing import Any, Final

from balewright.cause.learn.lesson import LeftOutCases, Lesson, LinkCount, RateCount
from balewright.cause.learn.taught import taught
from balewright.cause.network import Network
from balewright.flows.workplace import Workplace
from balewright.readers.fault_network import shipped_network

LESSONS: Final = "cause.lessons:"
"""Key of the house rule that holds a profile's lessons, before the profile's key."""


@dataclass(frozen=True)
class KeptLesson:
    """A lesson that somebody accepted. run_bales: it was held against; back_at: when it was taken
    back, None while it counts. Who did so stands with the rule, where accounts are erased.
    """

    lesson: Lesson
    run_bales: float
    at: datetime
    back_at: datetime | None = None

    @property
    def fits(self) -> bool:
        """Whether it was made for the network that comes with this version of the program."""
        shipped = shipped_network()
        return self.lesson.network == (shipped.key, shipped.version)

    @property
    def counts(self) -> bool:
        """Whether it moves the network now."""
        return self.back_at is None and self.fits


def network_in_force(workplace: Workplace, profile: str | None) -> Network:
    """The whole network with the lessons of a profile taken in; as it comes, for None."""
    lessons = () if profile is None else lessons_in_force(workplace, profile)
    return _taught(lessons) if lessons else shipped_network()


def lessons_in_force(workplace: Workplace, profile: str) -> tuple[Lesson, ...]:
    """Accepted lessons of a profile that were not taken back and fit this network."""
    return tuple(one.lesson for one in load_lessons(workplace, profile) if one.counts)


def load_lessons(workplace: Workplace, profile: str) -> tuple[KeptLesson, ...]:
    """Every lesson ever accepted for a profile, in that order."""
    kept = workplace.register.load_rule(LESSONS + profile)
    return () if kept is None else tuple(_kept(one) for one in kept.body["lessons"])


def save_lessons(
    workplace: Workplace, profile: str, lessons: tuple[KeptLesson, ...], by: str | None
) -> None:
    """Keep them in place of those before."""
    body = {"lessons": [_body(one) for one in lessons]}
    workplace.register.save_rule(LESSONS + profile, body, workplace.clock(), by)


@lru_cache(maxsize=32)
def _taught(lessons: tuple[Lesson, ...]) -> Network:
    return taught(shipped_network(), lessons)


def _body(one: KeptLesson) -> dict[str, Any]:
    lesson = one.lesson
    return {
        "key": lesson.key,
        "profile": lesson.profile,
        "network": list(lesson.network),
        "rates": [[rate.cause, list(rate.cases), rate.run_bales] for rate in lesson.rates],
        "links": [
            [link.cause, link.on, link.shown_share, link.seen, list(link.cases)]
            for link in lesson.links
        ],
        "told_frac": lesson.told_frac,
        "cases": list(lesson.cases),
        "left_out": [[left.cause, left.cases, left.unproven] for left in lesson.left_out],
        "run_bales": one.run_bales,
        "at": one.at.isoformat(),
        "back_at": None if one.back_at is None else one.back_at.isoformat(),
    }


def _kept(body: dict[str, Any]) -> KeptLesson:
    key, version = body["network"]
    lesson = Lesson(
        body["key"],
        body["profile"],
        (key, version),
        tuple(RateCount(cause, tuple(cases), bales) for cause, cases, bales in body["rates"]),
        tuple(
            LinkCount(cause, on, shown, seen, tuple(cases))
            for cause, on, shown, seen, cases in body["links"]
        ),
        body["told_frac"],
        tuple(body["cases"]),
        tuple(LeftOutCases(*left) for left in body["left_out"]),
    )
    back = body["back_at"]
    return KeptLesson(
        lesson,
        body["run_bales"],
        datetime.fromisoformat(body["at"]),
        None if back is None else datetime.fromisoformat(back),
    )
