"""What falls due, in words."""

from __future__ import annotations

from typing import Final

MESSAGES: Final = {
    "due.overdue.bales": "{item}: overdue by {over} bales (every {every}).",
    "due.overdue.hours": "{item}: overdue by {over} working hours (every {every}).",
    "due.left.bales": "{item}: due in {left} bales (every {every}).",
    "due.left.hours": "{item}: due in {left} working hours (every {every}).",
    "due.unknown.bales": "{item}: no record of when it was last done; {since} bales counted since "
    "the first one known (every {every}). Ask, then enter it.",
    "due.unknown.hours": "{item}: no record of when it was last done; {since} working hours "
    "counted since the first bale known (every {every}). Ask, then enter it.",
    "due.state.overdue": "overdue",
    "due.state.soon": "due soon",
    "due.state.unknown": "not recorded",
    "due.state.later": "later",
}
