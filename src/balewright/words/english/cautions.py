"""Cautions: what comes before any setting or work."""

from typing import Final

MESSAGES: Final = {
    "caution.manual_first": (
        "The machine's own manual, the rules of the place and trained people come before this "
        "sheet. Guards and interlocks stay as they are."
    ),
    "caution.stop_and_lock": (
        "Before anyone reaches in: PTO off, engine stopped, key out, wait until everything stands "
        "still, lock the gate. Never clear a blockage while it runs."
    ),
    "caution.drive_shaft": (
        "A turning drive shaft catches clothes faster than anyone can react. PTO off, engine "
        "stopped, wait for standstill."
    ),
    "caution.knives": "Knives cut at rest too: engine off, gloves on, turn them out with the tool.",
    "caution.gate": "An open gate can fall. Lock it with its own lock before going under it.",
    "caution.oil_pressure": (
        "Oil under pressure goes through skin. Let the pressure off before loosening anything; "
        "never feel for a leak; any prick by oil is a case for hospital at once."
    ),
    "caution.accumulator": (
        "An accumulator holds pressure after the engine has stopped. Release it as the manual says "
        "and leave its gas to trained people."
    ),
    "caution.wrapper_moves": (
        "The wrapper can start by itself. Keep everyone out of its reach, and stop the engine "
        "before loading film."
    ),
    "caution.net_blade": "The blade of the binding is sharp and sprung. Secure it before the roll.",
    "caution.hot_parts": "Gearboxes and bearings run hot. Let them cool before touching them.",
    "caution.rolling_bale": "Never try to stop a rolling bale; keep everyone out of its way.",
    "caution.steep_ground": (
        "On a slope of {slope_frac} do not tip where a bale can roll: put it down across the slope "
        "or carry it to level ground."
    ),
    "caution.too_steep": (
        "A slope of {slope_frac} is steeper than this sheet can help with: bale on other ground, "
        "or let trained people who know the place decide. Whether tractor and machine stand there "
        "is for their manuals."
    ),
    "caution.unbound_bale": (
        "A full bale that shows no binding film must not be passed on: it falls apart on the "
        "wrapper."
    ),
    "caution.dust_fire": (
        "Dry dust on a hot machine burns: keep it clean, and an extinguisher at hand."
    ),
    "caution.one_high": (
        "At {moisture_frac} moisture wrapped bales stand one high only: stacked, they burst and "
        "slide."
    ),
    "caution.hot_hay": (
        "At {moisture_frac} moisture this crop can heat until it burns. Measure bales in store for "
        "some weeks; from {66:c} every two hours, from {71:c} call the fire service and move "
        "nothing."
    ),
    "caution.spoiled_feed": (
        "At {moisture_frac} moisture a wrapped bale may not ferment safely. Do not feed mouldy or "
        "torn bales; horses are most at risk from botulism."
    ),
}
