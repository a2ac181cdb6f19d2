"""From a machine's sheet, and what was asked over it, to what its pace is reckoned from."""

from __future__ import annotations

from dataclasses import replace

from balewright.flows.outlook import Outlook
from balewright.plan.pace.settings import Settings
from balewright.plan.sheet.to_pace import Unsaid, settings_from_sheet


def pace_settings(outlook: Outlook) -> Settings:
    """Field, bale, binding, wrapping and stops; the diameter and turns that are looked at.

    What nobody said starts from the assumed values of `Unsaid`.
    """
    field = outlook.asked.field
    said = {
        "turn_s": field.turn_s,
        "film_change_s": field.change_s,
        "net_change_s": field.change_s,
    }
    known = {name: value for name, value in said.items() if value is not None}
    unsaid = replace(Unsaid(field.gathered_m, field.run_m), **known)
    settings = settings_from_sheet(outlook.sheet, outlook.machine, unsaid)
    wrap = settings.wrap
    if wrap is not None and outlook.wrap_turns is not None:
        wrap = replace(wrap, turns=outlook.wrap_turns)
    return replace(settings, bale=replace(settings.bale, size=outlook.bale), wrap=wrap)
