"""Two setup sheets beside each other, with what the one gives beside the other."""

from __future__ import annotations

from dataclasses import dataclass

from balewright.flows.foresee import foresee
from balewright.flows.look_at_sheet import look_at_sheet
from balewright.flows.outlook import Asked, Outlook
from balewright.flows.tell_effects import Effect, tell_effects
from balewright.plan.machine import Machine
from balewright.plan.sheet.compare import SheetDifference, compare_sheets
from balewright.plan.sheet.sheet import Sheet
from balewright.quantities.reason import Reason, because


@dataclass(frozen=True)
class Beside:
    """difference: of the sheets; effects: empty where a machine's profile is not known here;
    notes: what to know before the two are compared.
    """

    one: Sheet
    other: Sheet
    difference: SheetDifference
    effects: tuple[Effect, ...]
    notes: tuple[Reason, ...] = ()


def set_beside(one: Sheet, other: Sheet, machines: tuple[Machine | None, Machine | None]) -> Beside:
    """Two sheets as they were made; machines: the profile of each, None where it is not known.

    What they give is told by the rules of today from what each sheet sets.
    """
    difference = compare_sheets(one, other)
    left, right = machines
    if left is None or right is None:
        return Beside(one, other, difference, (), (because("what_if.no_profile"),))
    jobs = look_at_sheet(left, one), look_at_sheet(right, other)
    return _beside(jobs, difference)


def beside_of(one: Outlook, other: Outlook) -> Beside:
    """Two jobs that were looked at, with what was asked about each."""
    return _beside((one, other), compare_sheets(one.sheet, other.sheet))


def _beside(jobs: tuple[Outlook, Outlook], difference: SheetDifference) -> Beside:
    one, other = jobs
    effects = tell_effects(foresee(one), foresee(other))
    notes = tuple(_notes(one.asked, other.asked))
    return Beside(one.sheet, other.sheet, difference, effects, notes)


def _notes(one: Asked, other: Asked) -> list[Reason]:
    """What a changed condition does not say by itself."""
    before, after = one.conditions, other.conditions
    same_row = before.windrow_kg_m == after.windrow_kg_m
    if before.moisture_frac == after.moisture_frac or not same_row:
        return []
    dry = (1.0 - before.moisture_frac) / (1.0 - after.moisture_frac)
    return [
        because(
            "what_if.note.row",
            windrow_kg_m=after.windrow_kg_m,
            wilted_kg_m=before.windrow_kg_m * dry,
            moisture_frac=after.moisture_frac,
        )
    ]
