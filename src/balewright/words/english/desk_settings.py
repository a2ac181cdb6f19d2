"""What the desk says round settings: those really set on a day, and those kept of a machine."""

from __future__ import annotations

from typing import Final

MESSAGES: Final = {
    # what was really set
    "desk.record.title": "What was really set",
    "desk.record.what": (
        "The settings as the bales' records show them, beside the sheet in force. What no record "
        "tells stays unknown."
    ),
    "desk.record.which": "Which bales",
    "desk.record.day": "Day",
    "desk.record.first": "Or from bale",
    "desk.record.last": "to bale",
    "desk.record.both": "Give both numbers, or a day.",
    "desk.record.order": "The lower number comes first.",
    "desk.record.show": "Show",
    "desk.record.days": "Days with bales",
    "desk.record.count": "Bales",
    "desk.record.bales": "{bales} bales",
    "desk.record.nothing": "This machine has no bales in the journal yet.",
    "desk.record.none": "No bales are recorded there.",
    "desk.record.numbers": "Bales {first} to {last}",
    "desk.record.range": "Numbers",
    "desk.record.in_force": "Sheet in force",
    "desk.record.no_sheet": "none named",
    "desk.record.by_hand": "Not automatic",
    "desk.record.others": "Other sheets were in force for some of them:",
    "desk.record.unnamed": "{bales} of them name no kept sheet.",
    "desk.record.col.set": "Was set",
    "desk.record.col.sheet": "On the sheet",
    "desk.record.unknown": "not recorded",
    "desk.record.state.differs": "differs",
    "desk.record.state.as_planned": "as on the sheet",
    "desk.record.spread": "8 of 10 bales {low} to {high}",
    "desk.record.known": "told by {known} of {bales} bales",
    "desk.record.step": "{value} from bale {number}",
    "desk.record.step.nameless": "{value} for {bales} bales",
    "desk.record.changed": "changed {times} times",
    "desk.record.how": (
        "Counts and words are what most bales had; measured values are the middle of them. Second "
        "passes and test bales are left out. Layers, overlap and pre-stretch are what the machine "
        "itself says of them. A value that differs need not be wrong: look why."
    ),
    # settings kept
    "desk.settings.title": "Settings kept",
    "desk.settings.what": (
        "Keep the settings of this machine before a new control or an update; keep them again "
        "afterwards, and see which to enter again."
    ),
    "desk.settings.open": "Settings kept",
    "desk.settings.all": "Kept so far",
    "desk.settings.none": "No settings of this machine were kept yet.",
    "desk.settings.count": "{count} settings",
    "desk.settings.show": "Show them",
    "desk.settings.keep": "Keep settings",
    "desk.settings.listed": "Name and value, a line each",
    "desk.settings.listed.hint": (
        "As in: wrap turns;16. A comma, semicolon, tab, = or : stands between; JSON is read too."
    ),
    "desk.settings.sheet": "Or as a kept sheet wants them",
    "desk.settings.sheet.none": "no sheet",
    "desk.settings.note": "Why",
    "desk.settings.note.hint": "Such as: before the update.",
    "desk.settings.do": "Keep them",
    "desk.settings.one": "Give a list or pick a sheet, one of the two.",
    "desk.settings.fault": "{fault}",
    "desk.settings.typed": "typed in",
    "desk.settings.kept": "{count} settings are kept.",
    "desk.settings.old": "Earlier",
    "desk.settings.new": "Later",
    "desk.settings.compare": "Compare",
    "desk.settings.compared": "What moved",
    "desk.settings.between": "Between {old} and {new} UTC.",
    "desk.settings.enter_again": "Enter again",
    "desk.settings.was": "Was",
    "desk.settings.now": "Is now",
    "desk.settings.gone": "not there",
    "desk.settings.nothing": "Nothing moved. Every earlier setting has its value.",
    "desk.settings.same": "The same: {count}.",
    "desk.settings.fresh": "Not there before:",
    "desk.settings.position": "{name}, position",
}
