"""What the picture of moisture limits for stored hay says."""

from typing import Final

MESSAGES: Final = {
    "hay.limits.title": "How damp hay may go into store",
    "hay.limits.now": "this hay: {moisture_frac}",
    "hay.limits.to": "to {high_frac}",
    "hay.limits.between": "{low}–{high_frac}",
    "hay.limits.axis": "moisture of a large round bale, % of its mass",
}
