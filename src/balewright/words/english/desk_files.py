"""What the desk says where a kept sheet is taken along."""

from __future__ import annotations

from typing import Final

MESSAGES: Final = {
    "desk.files.title": "Take it along",
    "desk.files.until": "Copies say: valid until {day}",
    "desk.files.people": "For people",
    "desk.files.people.what": (
        "The page opens without signal once it is on a phone. The message fits five texts."
    ),
    "desk.files.language": "Language",
    "desk.files.units": "Units",
    "desk.files.units.metric": "Metric",
    "desk.files.units.us": "US",
    "desk.files.a5": "A5 card (PDF)",
    "desk.files.a4": "A4 with reasons (PDF)",
    "desk.files.html": "Page without signal",
    "desk.files.message": "Message",
    "desk.files.json": "JSON",
    "desk.files.task": "For a terminal",
    "desk.files.task.what": (
        "Task data by ISO 11783-10: unpack it to the root of the stick. Settings that the standard "
        "has no number for stand in the task's comments. Nobody is named who is not named here."
    ),
    "desk.files.task.do": "Task data (zip)",
    "desk.files.customer": "Customer",
    "desk.files.farm": "Farm",
    "desk.files.field": "Field",
    "desk.files.field_ha": "Area of the field, ha",
    "desk.files.worker": "Driver",
    "desk.files.pressure": "Send the density pressure: this machine is known to take it",
}
