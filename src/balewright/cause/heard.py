"""From what somebody says to the reports it may mean: a list to pick from, never kept as it is."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from math import log
from typing import Final

from balewright.cause.network import Kind, Network, Observation

_STEM = 5
"""Words agree where their first letters do: endings differ in every language."""

NEAR_FRAC: Final = 0.4
"""What is less like than this share of the likest is not shown."""


@dataclass(frozen=True)
class Heard:
    """A report that what was said may mean. likeness_frac: 0..1, 1 where every word is in it."""

    key: str
    likeness_frac: float


def hear(network: Network, said: str, language: str | None = None) -> tuple[Heard, ...]:
    """Reports that a sentence may mean, the likeliest first; none where no word is known.

    network: the machine's part of it; said: as it was said or written; language: its ISO 639-1
    code, None to look in all. Words weigh the more the fewer reports have them.
    """
    reports = [one for one in network.observations if one.kind is Kind.REPORT]
    spoken = {one.key: [stems(ways) for ways in _ways(one, language)] for one in reports}
    asked = stems(said)
    weight = _weights(asked, spoken)
    whole = sum(weight.values())
    if whole == 0.0:
        return ()
    found = []
    for key, ways in spoken.items():
        best = max(
            (sum(weight[word] for word in asked & way) / (whole + 0.1 * len(way - asked))
             for way in ways),
            default=0.0,
        )  # fmt: skip
        if best > 0.0:
            found.append(Heard(key, best))
    best = max((one.likeness_frac for one in found), default=0.0)
    near = [one for one in found if one.likeness_frac >= NEAR_FRAC * best]
    return tuple(sorted(near, key=lambda one: (-one.likeness_frac, one.key)))


def _weights(
    asked: frozenset[str], spoken: Mapping[str, list[frozenset[str]]]
) -> Mapping[str, float]:
    """Of each word asked, by how few reports have it; 0 where none has."""
    weight = {}
    for word in asked:
        having = sum(any(word in way for way in ways) for ways in spoken.values())
        weight[word] = log(len(spoken) / having) if having else 0.0
    return weight


def _ways(one: Observation, language: str | None) -> Iterable[str]:
    for code, words in one.words.said:
        if language in (None, code):
            yield words
    for code, ways in one.also:
        if language in (None, code):
            yield from ways


@lru_cache(maxsize=8192)
def stems(said: str) -> frozenset[str]:
    """The beginnings of its words, without accents and capitals; short words are left out."""
    plain = unicodedata.normalize("NFKD", said.casefold().replace("ł", "l").replace("ß", "ss"))
    plain = "".join(letter if letter.isalnum() else " " for letter in plain if _is_base(letter))
    return frozenset(word[:_STEM] for word in plain.split() if len(word) > 2)


def _is_base(letter: str) -> bool:
    """Whether it is a letter of its own and no accent on one."""
    return not unicodedata.combining(letter)
