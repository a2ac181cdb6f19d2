"""What an address asks of causes: answers so far, words that were said, whose language.

All of it stands in the address, so that a page can be passed on, gone back from, and keeps
nothing of somebody who only looks.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Final
from urllib.parse import urlencode

from django.http import QueryDict

from balewright.cause.evidence_value import NO, UNKNOWN, YES, Answer, Seen, read
from balewright.cause.network import Hands
from balewright.cause.next_check.costs import Costs
from balewright.words.languages import LANGUAGES, SOURCE

_SAID: Final = {"yes": YES, "no": NO, "cannot": UNKNOWN}
_NAME: Final = {Answer.YES: "yes", Answer.NO: "no", Answer.UNKNOWN: "cannot"}
LONGEST: Final = 2_000
MOST: Final = 400
"""Answers that one address may hold; a machine has about so many questions."""


@dataclass(frozen=True)
class Now:
    """How things stand just now. there: who is with the machine; standing_bales: lying open or
    still to be made; rain_in_h: hours until it rains; None where nobody said.
    """

    there: Hands = Hands.OPERATOR
    standing_bales: float | None = None
    rain_in_h: float | None = None

    @property
    def pairs(self) -> list[tuple[str, str]]:
        """Names and values as the address holds them."""
        found = [] if self.there is Hands.OPERATOR else [("there", self.there.value)]
        for name in ("standing_bales", "rain_in_h"):
            amount = getattr(self, name)
            found += [] if amount is None else [(name, f"{amount:g}")]
        return found

    def costs(self, house: Costs) -> Costs:
        """What the house knows of costs, as things stand now."""
        told = {name: getattr(self, name) for name in ("standing_bales", "rain_in_h")}
        known = {name: one for name, one in told.items() if one is not None}
        return replace(house, there=self.there, **known)


@dataclass(frozen=True)
class Asking:
    """answers: by key of the observation; put_right: causes that were put right while the trouble
    went on; said: in somebody's words; look: the check that was chosen to look at; language: of
    names and steps; now: how things stand; about: what else the address says, such as the profile.
    """

    answers: Mapping[str, Seen]
    put_right: tuple[str, ...] = ()
    said: str = ""
    look: str = ""
    language: str = SOURCE
    now: Now = Now()
    about: tuple[tuple[str, str], ...] = ()

    @property
    def pairs(self) -> list[tuple[str, str]]:
        """Names and values as the address holds them."""
        pairs = [*self.about]
        pairs += [("language", self.language)] if self.language != SOURCE else []
        pairs += [("said", self.said)] if self.said else []
        pairs += self.now.pairs
        for key, seen in self.answers.items():
            if seen.value is None:
                pairs.append((_NAME[seen.answer], key))
            else:
                pairs.append(("read", f"{key}:{seen.value:g}"))
        return pairs + [("put_right", key) for key in self.put_right]

    @property
    def query(self) -> str:
        """The same as the end of an address."""
        return "?" + urlencode(self.pairs + ([("look", self.look)] if self.look else []))

    def without(self, key: str) -> Asking:
        """The same with one answer taken back."""
        left = {one: seen for one, seen in self.answers.items() if one != key}
        return replace(self, answers=left)

    def with_answer(self, key: str, seen: Seen) -> Asking:
        """The same with one more answer, and nothing chosen any more."""
        return replace(self.without(key), answers={**self.without(key).answers, key: seen}, look="")

    @property
    def exposure(self) -> dict[str, float] | None:
        """Bales since each cause that was put right was there: none."""
        return dict.fromkeys(self.put_right, 0.0) or None


def asking_of(sent: QueryDict, about: Iterable[str] = ()) -> Asking:
    """What an address asks; what makes no sense in it is left out.

    about: names that are carried along as they are.
    """
    answers: dict[str, Seen] = {}
    for name, seen in _SAID.items():
        answers.update(dict.fromkeys(sent.getlist(name)[:MOST], seen))
    for pair in sent.getlist("read")[:MOST]:
        key, _, figure = pair.rpartition(":")
        value = number_of(figure)
        if key and value is not None:
            answers[key] = read(value)
    language = sent.get("language", SOURCE)
    return Asking(
        answers,
        tuple(dict.fromkeys(sent.getlist("put_right")[:MOST])),
        sent.get("said", "").strip()[:LONGEST],
        sent.get("look", ""),
        language if language in LANGUAGES else SOURCE,
        _now(sent),
        tuple((name, sent.get(name, "")) for name in about if sent.get(name)),
    )


def _now(sent: QueryDict) -> Now:
    there = sent.get("there", "")
    return Now(
        Hands(there) if there in set(Hands) else Hands.OPERATOR,
        _amount(sent.get("standing_bales", "")),
        _amount(sent.get("rain_in_h", "")),
    )


def _amount(typed: str) -> float | None:
    value = number_of(typed)
    return value if value is not None and 0.0 <= value <= 1e6 else None


def number_of(typed: str) -> float | None:
    """A number as somebody types it, with a point or a comma; None for what is none."""
    try:
        value = float(typed.strip().replace(",", "."))
    except ValueError:
        return None
    return value if abs(value) < 1e12 else None
