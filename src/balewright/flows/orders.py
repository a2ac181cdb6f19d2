"""Whose a job's bales are. A word alone does not say: two files may mean two orders by it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from balewright.records.intake import Doubt, JobSeen
from balewright.records.quality import Mark
from balewright.store.entries import JobEntry

MAX_NAMED = 3
"""Other orders named in one doubt."""


class Orders:
    """The orders of the register, asked by word and file."""

    def __init__(self, entries: Iterable[JobEntry]) -> None:
        self._by_word: dict[str, dict[str | None, JobEntry]] = {}
        for entry in entries:
            self._by_word.setdefault(entry.job, {})[entry.source] = entry

    def find(self, word: str | None, source: str | None) -> JobEntry:
        """The order a bale of that file belongs to; all but the word unknown where nobody says.

        What the file says comes first. What somebody entered for the word fills its gaps, unless
        the two contradict each other: then it is another order. No other file is asked.
        """
        said = self._by_word.get(word or "", {})
        entered, own = said.get(None), said.get(source)
        if word is None or (entered is None and own is None):
            return JobEntry(word or "")
        if own is None or entered is None:
            return own or entered or JobEntry(word)
        if _differ(own, entered):
            return own
        return replace(
            own,
            customer=own.customer or entered.customer,
            farm=own.farm or entered.farm,
            field=own.field or entered.field,
            crop=own.crop or entered.crop,
        )

    def doubt_words(
        self, words: Iterable[str], seen: Iterable[JobSeen], file: str
    ) -> tuple[Doubt, ...]:
        """What is odd about the words a new file uses for its jobs.

        words: that its bales carry; seen: the orders it names; file: its name, for the doubts.
        """
        named = {one.job: one for one in seen}
        found = (self._doubt(word, named.get(word), file) for word in sorted(set(words)))
        return tuple(doubt for doubt in found if doubt is not None)

    def _doubt(self, word: str, seen: JobSeen | None, file: str) -> Doubt | None:
        said = self._by_word.get(word, {})
        entered = said.get(None)
        own = (
            JobEntry(word) if seen is None else JobEntry(word, seen.customer, seen.farm, seen.field)
        )
        if own.customer is None and entered is not None and not _differ(own, entered):
            own = replace(own, customer=entered.customer)
        others = [one for one in said.values() if _differ(own, one)]
        if own.customer is None:
            others = [one for one in said.values() if one.customer is not None]
        names = sorted({_place(one) for one in others})
        if not names:
            return None
        more = f" and {len(names) - MAX_NAMED} more" if len(names) > MAX_NAMED else ""
        other = f"the same word names an order of {'; '.join(names[:MAX_NAMED])}{more}"
        here = (
            "this file does not say whose its bales are, so they stand under no customer"
            if own.customer is None
            else f"the bales of this file stand under {_place(own)}"
        )
        return Doubt(file, f"job {word}", Mark.JOB_SHARED, f"{other}: {here}")


def _differ(one: JobEntry, other: JobEntry) -> bool:
    """Whether the two contradict each other; what is unknown contradicts nothing."""
    pairs = (
        (one.customer, other.customer),
        (one.farm, other.farm),
        (one.field, other.field),
    )
    return any(a is not None and b is not None and a != b for a, b in pairs)


def _place(entry: JobEntry) -> str:
    known = (entry.customer, entry.farm, entry.field)
    return ", ".join(part for part in known if part) or "nobody known"
