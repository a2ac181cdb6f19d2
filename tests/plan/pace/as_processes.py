"""The race as two processes of a general library for discrete events, for the tests and the bench.

Written from the description of the machine, not from the recurrence: the wrapper is a resource
that holds one bale; rolls are counted as they are used up.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import simpy

from balewright.plan.pace.chance import Times
from balewright.plan.pace.work import Stands, Work


class Machine:
    """One run of a work with given times; `finish_s` fills as bales are tipped."""

    def __init__(self, work: Work, times: Times, run: int) -> None:
        self.env = simpy.Environment()
        self.wrapper = simpy.Resource(self.env, capacity=1)
        self.work, self.run = work, run
        self.fill, self.bind, self.gate = (
            times.fill_s[run].tolist(),
            times.bind_s[run].tolist(),
            times.gate_s[run].tolist(),
        )
        self.wrap, self.tip = times.wrap_s[run].tolist(), times.tip_s[run].tolist()
        self.lost = times.lost_s[run].tolist()
        self.finish_s: list[float] = []
        self.used = [0] * len(work.stops)
        self.turned = 0.0

    def chamber(self) -> Iterator[Any]:
        """Fill, bind, wait for the wrapper, open the gate; stops as they fall due."""
        env = self.env
        for bale in range(len(self.fill)):
            due = [self.falls_due(place) for place in range(len(self.work.stops))]
            for turn_s in self.turns():
                yield env.timeout(turn_s)
            for stop in self.stops(due, Stands.CHAMBER):
                yield env.timeout(stop)
            yield env.timeout(self.fill[bale])
            yield env.timeout(self.bind[bale])
            claim = self.wrapper.request()
            yield claim
            away = [
                *self.stops(due, Stands.MACHINE),
                *([self.lost[bale]] if self.lost[bale] else []),
            ]
            env.process(self.wrapping(bale, claim, [*away, *self.stops(due, Stands.WRAPPER)]))
            for stop in away:
                yield env.timeout(stop)
            yield env.timeout(self.gate[bale])

    def wrapping(self, bale: int, claim: Any, stops: list[float]) -> Iterator[Any]:
        """Wrap and tip one bale, then let the next one come."""
        for stop in stops:
            yield self.env.timeout(stop)
        yield self.env.timeout(self.wrap[bale])
        yield self.env.timeout(self.tip[bale])
        self.finish_s.append(self.env.now)
        self.wrapper.release(claim)

    def falls_due(self, place: int) -> bool:
        """Count a bale on a roll; whether the roll is to be changed with this bale."""
        stop = self.work.stops[place]
        if stop.by_chance:
            return False
        self.used[place] += 1
        if self.used[place] < stop.every_bales:
            return False
        self.used[place] = 0
        return True

    def stops(self, due: list[bool], stands: Stands) -> list[float]:
        """Seconds of the stops that are due and keep that station standing."""
        pairs = zip(due, self.work.stops, strict=True)
        return [stop.lasts_s for now, stop in pairs if now and stop.stands is stands]

    def turns(self) -> list[float]:
        """Turns at the row's end that fall on this bale."""
        self.turned += self.work.headland.per_bale
        turns = int(self.turned)
        self.turned -= turns
        return [self.work.headland.turn_s] * turns


def run_processes(work: Work, times: Times, run: int = 0) -> list[float]:
    """Finish times of one run. Stops by count must come after whole numbers of bales."""
    machine = Machine(work, times, run)
    machine.env.process(machine.chamber())
    machine.env.run()
    return machine.finish_s
