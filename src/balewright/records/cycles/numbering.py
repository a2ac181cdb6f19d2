"""The machine's own numbers for bales: each step of its counter to the bale it counted."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Final

from balewright.records.cycles.changes import Change
from balewright.records.cycles.marks import Drawn, Step, counted_only
from balewright.records.cycles.phases import (
    BIND_END,
    GATE_OPEN,
    ON_WRAPPER,
    PHASES,
    TIPPED,
    WRAP_END,
    WRAP_START,
)
from balewright.records.cycles.rules import CycleRules

_CANDIDATES: Final = (GATE_OPEN, BIND_END, WRAP_END, TIPPED, ON_WRAPPER, WRAP_START)
_HOLD: Final = 16
"""So many bales without a number: the counter is dead, they go on without."""


@dataclass
class Numbering:
    """Gives numbers in order. number_at: the phase at which the counter steps, None until
    learnt; base: the number before the first step."""

    rules: CycleRules
    number_at: int | None = None
    base: int | None = None
    steps: list[Step] = field(default_factory=list)
    held: list[Drawn] = field(default_factory=list)
    last_number: int | None = None
    odd: list[tuple[str, Change]] = field(default_factory=list)
    any_seen: bool = False

    def __post_init__(self) -> None:
        if self.rules.number_at is not None:
            self.number_at = PHASES.index(self.rules.number_at)

    def step(self, change: Change) -> None:
        """The counter changed."""
        self.any_seen = True
        gain = change.after - change.before
        if change.moment is None:
            self.last_number = change.after
        elif gain < 0 or gain > self.rules.most_leap:
            self.odd.append(("stepped back" if gain < 0 else "leapt", change))
            self.steps.append(Step(change.after, replace(change.moment, how="starts anew")))
        else:
            for number in range(change.before + 1, change.after + 1):
                self.steps.append(Step(number, change.moment))

    def take(self, drawn: list[Drawn], ended: bool) -> list[Drawn]:
        """Rows with their numbers as far as decided, and rows for bales only counted."""
        self.held += drawn
        if not self.any_seen:
            if not ended and len(self.held) < _HOLD:
                return []
            out, self.held = self.held, []
            return out
        if self.number_at is None:
            if not ended and sum(not row.again for row in self.held) < self.rules.learn_from:
                return []
            self.number_at = self._learn()
        return self._settle(ended)

    def open_us(self) -> int | None:
        """Working time from which on samples are still needed, None for none."""
        begins = [row.first_us for row in self.held]
        begins += [step.moment.at_us for step in self.steps if step.moment.how != "starts anew"]
        return min((each for each in begins if each is not None), default=None)

    def _learn(self) -> int:
        """The phase that most steps lie closest to."""
        votes = dict.fromkeys(_CANDIDATES, 0.0)
        for phase in _CANDIDATES:
            marks = [row.at_us[phase] for row in self.held]
            times = [each for each in marks if each is not None]
            for step in self.steps:
                off_us = min((abs(step.moment.at_us - each) for each in times), default=10**12)
                votes[phase] += 1.0 / (1.0 + off_us / 1e6)
        return max(votes, key=lambda phase: votes[phase])

    def _settle(self, ended: bool) -> list[Drawn]:
        assert self.number_at is not None
        out: list[Drawn] = []
        while True:
            found = ((place, self._nearest(row)) for place, row in enumerate(self.held))
            place, step = next(((at, each) for at, each in found if each is not None), (0, None))
            if step is None:
                break
            rows, self.held = self.held[: place + 1], self.held[place + 1 :]
            out += self._between(rows, step)
            while self.held and self.held[0].again and self._nearest(self.held[0]) is None:
                out.append(replace(self.held.pop(0), number=step.number))
        if ended:
            return [*out, *self._rest()]
        if sum(not row.again for row in self.held) > _HOLD:
            out += self.held
            self.held = []
        if not self.held and len(self.steps) > _HOLD:
            out += self._count_alone(len(self.steps) - _HOLD)
        return out

    def _nearest(self, row: Drawn) -> Step | None:
        """The step that counted this bale: the nearest to its boundary, within the slack.

        A pass that was counted was a bale of its own, whose chamber part was missed."""
        assert self.number_at is not None
        at_us = row.at_us[self.number_at]
        if at_us is None:
            return None
        low_us = row.earliest_us[self.number_at] - self.rules.number_slack_us
        high_us = row.latest_us[self.number_at] + self.rules.number_slack_us
        near = [
            (abs(step.moment.at_us - at_us), place)
            for place, step in enumerate(self.steps)
            if step.moment.latest_us >= low_us and step.moment.earliest_us <= high_us
        ]
        return self.steps[min(near)[1]] if near else None

    def _between(self, rows: list[Drawn], step: Step) -> list[Drawn]:
        """Rows up to the one that `step` counted; those before it have none of their own."""
        place = self.steps.index(step)
        earlier = [each for each in self.steps[:place] if each.moment.how != "starts anew"]
        self.steps = self.steps[place + 1 :]
        self.last_number = step.number
        *before, counted = self._regroup(rows) if not earlier else rows
        return [*self._share(before, earlier), replace(counted, number=step.number, again=False)]

    def _regroup(self, rows: list[Drawn]) -> list[Drawn]:
        """A wrapping that was not counted, before one that was and has no chamber part, was a
        further pass of the bale before: the chamber part is the counted one's."""
        if len(rows) < 2 or self.number_at not in (WRAP_END, TIPPED):
            return rows
        passed, counted = rows[-2:]
        if passed.again or not passed.wrapped or passed.number is not None:
            return rows
        if counted.has_chamber or not passed.has_chamber:
            return rows
        return [*rows[:-2], passed.only_wrapper(), counted.with_chamber(passed)]

    def _share(self, rows: list[Drawn], steps: list[Step]) -> list[Drawn]:
        """Rows without a step near them and steps without a row: together where they may be."""
        assert self.number_at is not None
        bales = [row for row in rows if not row.again]
        out: list[Drawn] = []
        if len(bales) <= len(steps):
            free = list(steps)
            for spare, row in enumerate(bales, start=-len(bales)):
                best = self._best(row, free, -spare - 1)
                mine = free[best]
                out += [counted_only(each, self.number_at) for each in free[:best]]
                free = free[best + 1 :]
                out.append(replace(row, number=mine.number))
                self.last_number = mine.number
            return [*out, *(counted_only(each, self.number_at) for each in free)]
        return rows

    def _best(self, row: Drawn, steps: list[Step], needed: int) -> int:
        """Which step a row takes, leaving `needed` for the rows behind it: the nearest in time."""
        known = [each for each in row.at_us if each is not None]
        middle_us = known[-1] if known else 0
        choices = range(len(steps) - needed)
        return min(choices, key=lambda place: abs(steps[place].moment.at_us - middle_us))

    def _rest(self) -> list[Drawn]:
        rows, steps = self.held, [step for step in self.steps if step.moment.how != "starts anew"]
        self.held, self.steps = [], []
        return self._share(rows, steps)

    def _count_alone(self, count: int) -> list[Drawn]:
        """Bales of a machine that tells little more than its count."""
        assert self.number_at is not None
        told, self.steps = self.steps[:count], self.steps[count:]
        return [
            counted_only(step, self.number_at) for step in told if step.moment.how != "starts anew"
        ]
