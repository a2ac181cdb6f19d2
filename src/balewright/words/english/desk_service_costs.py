"""The page Service costs."""

from __future__ import annotations

from typing import Final

_PAGE: Final = {
    "title": "Service costs",
    "what": (
        "What finding and mending a fault costs here. The next step is the one that costs least "
        "until the machine bales well again. Leave out what you do not know: what is then assumed "
        "is said on every answer. Without a technician's hour everything is counted in time."
    ),
    "currency": "All amounts in {currency}.",
    "hours": "An hour of work",
    "way": "The way",
    "waiting": "Waiting",
    "hour_money": "A technician's hour",
    "hour_money.hint": "Without it nothing is told in money.",
    "operator_hour_money": "An hour of whoever drives",
    "workshop_hour_money": "A workshop hour",
    "travel_h": "Hours there and back",
    "travel_h.hint": "Of a technician, to a usual customer.",
    "travel_money": "The same way beside the time",
    "haul_h": "Hours to bring a machine in",
    "haul_money": "The same beside the time",
    "part_days": "Days until a part comes",
    "standing_money_h": "An hour of a standing machine",
    "standing_money_h.hint": "Left empty, the hour in the field from Prices.",
    "bale_money": "What a bale loses in the rain",
    "bale_money.hint": "Left empty, one more bale from Prices.",
    "swap_money": "Another machine",
    "swap_money.hint": "Leave it empty where none can be had.",
    "swap_h": "Hours until it works",
    "standing_bales": "Bales that lie open",
    "rain_in_h": "Hours until it rains",
    "set": "Set the costs",
    "done": "Set. The next answer counts with them.",
    "wrong": "Write a number from 0 to {high}, or leave it empty.",
}

MESSAGES: Final = {f"desk.service_costs.{name}": text for name, text in _PAGE.items()} | {
    "desk.site.service_costs": "what finding and mending a fault costs here.",
}
