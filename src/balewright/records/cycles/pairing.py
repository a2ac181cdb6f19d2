"""Which bale of the chamber is which bale on the wrapper, and in which order they are told."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from balewright.records.cycles.chamber import Chamber, ChamberBale, Stretch
from balewright.records.cycles.wrapper import WrapBale, Wrapper

_EARLY_US: Final = 3_000_000
"""A bale may be felt on the wrapper so long before the sign that it left the chamber."""
_AFTER_US: Final = 1_000_000
"""Where only binding tells that a bale was ready, it lies on the wrapper at least so much later."""


@dataclass(frozen=True)
class Draft:
    """One row to be: a bale's chamber part and one pass over the wrapper, either may be unseen.

    again: a further pass of the bale before it.
    """

    chamber: ChamberBale | None
    wrap: WrapBale | None
    turns: tuple[Stretch, ...] = ()
    again: bool = False


class Pairing:
    """Brings both stations together. `take` gives what is decided so far, in order."""

    def __init__(self, chamber: Chamber, wrapper: Wrapper) -> None:
        self.chamber = chamber
        self.wrapper = wrapper
        self.waiting: list[ChamberBale] = []
        self.matched: dict[int, WrapBale] = {}

    def take(self, ended: bool = False) -> list[Draft]:
        """Bales decided since the last time. ended: nothing more will come."""
        self.waiting += self.chamber.done
        self.chamber.done = []
        drafts: list[Draft] = []
        for bale in self.wrapper.done:
            drafts += self._match(bale)
        self.wrapper.done = []
        while self.waiting and (ended or self._is_decided()):
            drafts += self._tell(self.waiting.pop(0))
        return drafts

    def open_us(self) -> int | None:
        """Working time from which on samples are still needed, None for none."""
        begins = [_begin_us(bale) for bale in (*self.waiting, self.chamber.bale)]
        on_it = [] if self.wrapper.bale is None else [self.wrapper.bale]
        for wrap in (*self.matched.values(), *on_it):
            begins += [wrap.start_us, wrap.gone_us]
        return min((each for each in begins if each is not None), default=None)

    def _match(self, bale: WrapBale) -> list[Draft]:
        """Find the chamber bale of a finished wrapper bale: the last that had left before."""
        held = [*self.waiting, self.chamber.bale]
        ready = [place for place, each in enumerate(held) if _may_be(each, bale)]
        free = [place for place in ready if id(held[place]) not in self.matched]
        if not free or free[-1] != ready[-1]:
            return self._orphan(bale)
        drafts: list[Draft] = []
        chosen = held[free[-1]]
        self.matched[id(chosen)] = bale
        for _ in range(free[-1]):
            drafts += self._tell(self.waiting.pop(0))
        if chosen.finished:
            drafts += self._tell(self.waiting.pop(0))
        return drafts

    def _orphan(self, bale: WrapBale) -> list[Draft]:
        drafts: list[Draft] = []
        while self.waiting and id(self.waiting[0]) in self.matched:
            drafts += self._tell(self.waiting.pop(0))
        return [*drafts, *_passes(None, bale)]

    def _is_decided(self) -> bool:
        first = self.waiting[0]
        if id(first) in self.matched:
            return True
        if len(self.waiting) < 2:
            return False
        on_it = self.wrapper.bale
        begin_us, behind_us = first.ready_from_us, self.waiting[1].ready_us
        if on_it is None or begin_us is None or behind_us is None:
            return True
        its_own = on_it.start_until_us >= begin_us - _EARLY_US and on_it.start_us <= behind_us
        return not its_own

    def _tell(self, bale: ChamberBale) -> list[Draft]:
        return _passes(bale, self.matched.pop(id(bale), None))


def _may_be(bale: ChamberBale, wrapped: WrapBale) -> bool:
    """Whether the chamber bale had left, or may have, when the wrapper bale came."""
    if bale.ready_us is None or bale.ready_from_us is None:
        return False
    if bale.ready_us <= wrapped.start_us + (_EARLY_US if bale.opened else -_AFTER_US):
        return True
    hidden = bale.ready_from_us < bale.ready_us or wrapped.start_until_us > wrapped.start_us
    return hidden and bale.ready_from_us <= wrapped.start_until_us


def _begin_us(bale: ChamberBale) -> int | None:
    marks = (*bale.closed.values(), *bale.full.values(), *bale.opened.values())
    firsts = [moment.earliest_us for moment in marks]
    firsts += [stretch.begin_us for stretch in bale.bound]
    return min(firsts, default=None)


def _passes(chamber: ChamberBale | None, wrap: WrapBale | None) -> list[Draft]:
    passes = [] if wrap is None else wrap.passes()
    first = Draft(chamber, wrap, tuple(passes[0]) if passes else ())
    return [first, *(Draft(None, wrap, tuple(turns), again=True) for turns in passes[1:])]
