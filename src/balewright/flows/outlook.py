"""What one machine is asked to tell ahead of the work, and the job that follows from it."""

from __future__ import annotations

from dataclasses import dataclass

from balewright.findings.planned import PlannedBale
from balewright.plan.film.layers import Bale, LayerCount
from balewright.plan.machine import Machine
from balewright.plan.sheet import Conditions, Sheet
from balewright.quantities.reason import Reason


@dataclass(frozen=True)
class Asked:
    """One question to a machine.

    conditions: the job; diameter_m, wrap_turns: where the person wants to see others than the
    sheet would set, None for the sheet's own.
    """

    conditions: Conditions
    diameter_m: float | None = None
    wrap_turns: float | None = None


@dataclass(frozen=True)
class Outlook:
    """A machine, the sheet for what was asked, and the bale and turns that are looked at.

    wrap_turns: of every dispenser; need_layers: wanted; strip_m: width of the film on the bale;
    all three None where no film is laid.
    """

    asked: Asked
    machine: Machine
    sheet: Sheet
    bale: Bale
    wrap_turns: float | None
    need_layers: int | None
    strip_m: float | None

    @property
    def planned(self) -> PlannedBale:
        """The sheet as numbers."""
        return PlannedBale("", self.sheet, self.machine)

    def count(self, diameter_m: float | None = None, strip_m: float | None = None) -> LayerCount:
        """Layers at another diameter or strip; only where film is laid."""
        if self.wrap_turns is None or self.strip_m is None or self.machine.wrapper is None:
            raise ValueError("layers are counted only where film is laid")
        turns = (self.wrap_turns,) * self.machine.wrapper.dispensers
        return self.planned.count(
            diameter_m or self.bale.diameter_m, strip_m or self.strip_m, turns
        )


@dataclass(frozen=True)
class Told:
    """What stands under a picture.

    answer: the answer in one sentence; sureness: how sure it is and what moves it; sources: keys
    of the bibliography; unknown: what could not be told and why; caution: what has to be read
    first, where somebody could get hurt.
    """

    answer: Reason
    sureness: tuple[Reason, ...] = ()
    sources: tuple[str, ...] = ()
    unknown: tuple[Reason, ...] = ()
    caution: Reason | None = None
