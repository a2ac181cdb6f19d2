"""Cases written down as a technician tells them, with what it was: files, and how one comes out."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from balewright.cause.evidence_value import NO, UNKNOWN, YES, Seen, read
from balewright.cause.facts import machine_facts
from balewright.cause.network import Network
from balewright.cause.next_check.advise import next_step
from balewright.cause.next_check.costs import Costs
from balewright.cause.rank import rank_causes
from balewright.cause.ranking import Ranking
from balewright.readers.fault_network import shipped_network
from balewright.readers.profile import shipped_profiles

FOLDER = Path(__file__).parents[2] / "tests" / "cause" / "vignettes"
HALVES = ("mending", "reporting")
NOT_ENOUGH = "not enough to tell"
KINDS = frozenset(
    {"easy", "hard", "two faults", "misleading complaint", "check misled", "contradiction"}
    | {NOT_ENOUGH, "poor machine"}
)
KEYS = {"key", "profile", "kinds", "story", "seen", "was", "because", "wrong", "settles"}
WORDS = {"yes": YES, "no": NO, "unknown": UNKNOWN}


@dataclass(frozen=True)
class ToldCase:
    """One case. fitted: columns sensed beyond the profile; seen: in the order it came; was: keys of
    the causes that it was; because: why; wrong: what would be wrong to conclude; settles: the check
    that should settle it, with what it reads.
    """

    key: str
    profile: str
    fitted: tuple[str, ...]
    kinds: tuple[str, ...]
    story: str
    seen: tuple[tuple[str, Seen], ...]
    was: tuple[str, ...]
    because: str
    wrong: str
    settles: tuple[str, Seen]


@dataclass(frozen=True)
class Outcome:
    """How the ranking does on a case. place: of the likeliest of its causes, 1 the first;
    behind_frac: its chance; clear: whether the first stood out; step: what would be done next;
    settled_place: place after the check that should settle it; all_places: of every cause it was.
    """

    case: ToldCase
    first: str
    place: int
    all_places: tuple[int, ...]
    behind_frac: float
    clear: bool
    step: str
    settled_place: int
    settled_frac: float


def read_cases(half: str) -> tuple[ToldCase, ...]:
    """The cases of one file. Raises ValueError for one that leaves something out or adds it."""
    with (FOLDER / f"{half}.toml").open("rb") as file:
        return tuple(_case(one) for one in tomllib.load(file)["case"])


def _case(one: Mapping[str, Any]) -> ToldCase:
    if set(one) - {"fitted"} != KEYS or not set(one["kinds"]) <= KINDS:
        raise ValueError(f"{one.get('key')}: keys {sorted(one)}, kinds {one.get('kinds')}")
    return ToldCase(
        one["key"], one["profile"], tuple(one.get("fitted", ())), tuple(one["kinds"]),
        one["story"].strip(), tuple(_seen(text) for text in one["seen"]), tuple(one["was"]),
        one["because"], one["wrong"], _seen(one["settles"]),
    )  # fmt: skip


def _seen(text: str) -> tuple[str, Seen]:
    key, answer = text.split()
    return key, WORDS[answer] if answer in WORDS else read(float(answer))


def network_of(case: ToldCase) -> Network:
    """What the case's machine can have."""
    machine = shipped_profiles()[case.profile]
    return shipped_network().for_machine(machine_facts(machine, case.fitted))


def rank_case(case: ToldCase) -> Ranking:
    """The ranking by what was seen before the settling check."""
    return rank_causes(network_of(case), dict(case.seen))


def try_case(case: ToldCase) -> Outcome:
    """Rank, choose the next step, then let the settling check speak and rank again."""
    network, seen = network_of(case), dict(case.seen)
    ranking = rank_causes(network, seen)
    after = rank_causes(network, {**seen, case.settles[0]: case.settles[1]})
    places = tuple(_place(ranking, key) for key in case.was)
    likeliest = min(places)
    step = next_step(network, seen, Costs()).step
    said = step.check or step.cause or ""
    settled = min(_place(after, key) for key in case.was)
    return Outcome(
        case, ranking.causes[0].key, likeliest, places,
        ranking.causes[likeliest - 1].behind_frac, ranking.clear, f"{step.deed.value} {said}",
        settled, after.causes[settled - 1].behind_frac,
    )  # fmt: skip


def _place(ranking: Ranking, key: str) -> int:
    return [one.key for one in ranking.causes].index(key) + 1
