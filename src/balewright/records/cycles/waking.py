"""After a silence all signals speak at once: what happened in it is put into the cycle's order."""

from __future__ import annotations

from typing import Final

from balewright.records.cycles.bouts import DARK_US, Bout
from balewright.records.cycles.chamber import Chamber
from balewright.records.cycles.listening import Event
from balewright.records.cycles.wrapper import Wrapper

SPOKEN_US: Final = 2_000_000
"""Signals have all spoken again so long after a silence: the slowest switch speaks each second."""
_CHAMBER: Final = {
    ("chamber_closed", True): 0, ("gate_opening_mm", False): 0,
    ("chamber_full", True): 1, ("chamber_fill_frac", True): 1,
    ("binding_on", True): 2, ("binding_on", False): 3,
    ("binding_m", True): 3, ("binding_turns", True): 3,
    ("chamber_closed", False): 4, ("gate_opening_mm", True): 4,
}  # fmt: skip
_WRAPPER: Final = {
    ("bale_on_wrapper", True): 0, ("wrapper_on", True): 1, ("wrapper_on", False): 2,
    ("wrap_turns", True): 2, ("film1_m", True): 2, ("film2_m", True): 2,
    ("tip_on", True): 3, ("bale_on_wrapper", False): 4, ("tip_on", False): 5,
}  # fmt: skip
"""Each station's events in the order of its cycle."""


class Waking:
    """Holds what a silence hid until all have spoken, then gives it in the order of the cycle."""

    def __init__(self, chamber: Chamber, wrapper: Wrapper) -> None:
        self.chamber = chamber
        self.wrapper = wrapper
        self.held: list[Event] = []
        self.until_us = 0

    def pass_on(self, event: Event) -> list[Event]:
        """Events that may be taken now that this one has come."""
        if self.held and event.last_us <= self.until_us:
            self.held.append(event)
            return []
        ready = self.end()
        if _is_hidden(event):
            self.held, self.until_us = [event], event.last_us + SPOKEN_US
            return ready
        return [*ready, event]

    def end(self) -> list[Event]:
        """All that is held."""
        hidden = [event for event in self.held if _is_hidden(event)]
        seen = [event for event in self.held if not _is_hidden(event)]
        self.held = []
        return [*sorted(hidden, key=self._place), *seen]

    def _place(self, event: Event) -> tuple[int, int]:
        """Chamber before wrapper, each from the phase that it expects next, counters last."""
        rises = isinstance(event.what, Bout) or event.what.after > event.what.before
        key = event.signal, rises
        if key in _CHAMBER:
            return 0, (_CHAMBER[key] - self.chamber.stage()) % 5
        if key in _WRAPPER:
            return 1, (_WRAPPER[key] - self.wrapper.stage()) % 6
        return 2, 0


def _is_hidden(event: Event) -> bool:
    """Whether a silence hides when it happened."""
    if isinstance(event.what, Bout):
        return event.what.last_us - event.what.before_us > DARK_US and event.what.steps == 1
    moment = event.what.moment
    return moment is not None and moment.latest_us - moment.earliest_us > DARK_US
