"""Hay acid and silage additive: cautions, doses, the tank and the picture."""

from typing import Final

MESSAGES: Final = {
    "additive.caution.acid": (
        "Acid burns skin, eyes and lungs: goggles, gloves and apron as its safety sheet says, "
        "water within reach, wind at your back."
    ),
    "additive.caution.label": (
        "The label, the additive's own advice and the law come before these numbers. No rate "
        "promises that hay keeps: measure its temperature all the same."
    ),
    "additive.caution.smoke": (
        "If treated hay heats or burns, its smoke may be toxic: tell the fire service."
    ),
    "additive.caution.round": (
        "In large round bales acid did much less good in a trial of 42 bales than in square ones."
    ),
    "additive.dose": (
        "At {moisture_frac} moisture sources ask for {low_said} to {high_said} kg of pure "
        "propionic acid a tonne; {best_said} is the least that none of them calls too little."
    ),
    "additive.dose_one": (
        "At {moisture_frac} moisture one source speaks: {best_said} kg of pure propionic acid a "
        "tonne."
    ),
    "additive.dose_dry": (
        "At {moisture_frac} moisture no source gives a rate: see how dry a bale may be stored as "
        "it is."
    ),
    "additive.dose_wet": (
        "At {moisture_frac} moisture no source gives a rate: this is no hay any more, wrap it."
    ),
    "additive.marginal": "at the edge of working, small bales",
    "additive.recommended": "recommended",
    "additive.at_least": "at least",
    "additive.rate": "{rate_said} l a tonne: {hour_said} l/h, {minute_said} l/min at {feed_t_h}.",
    "additive.rate_tonne": "{rate_said} l a tonne; litres an hour follow from the feed rate.",
    "additive.rate_bale": "{bale_said} l in a bale of {bale_kg}.",
    "additive.follow": (
        "The nozzles follow the feed rate, not the speed: half the windrow at the same speed takes "
        "half the litres."
    ),
    "additive.tank": "A tank of {tank_l} lasts {minutes_said} minutes of running crop.",
    "additive.tank_bales": "A tank of {tank_l} does {bales} whole bales.",
    "additive.tank_day": "{day_bales} bales take {day_l}: {changes} refills after the first.",
    "additive.given": (
        "Measured: {best_said} l a tonne ({low_said} to {high_said}), {verdict} against "
        "{wanted_said} within {tolerance_frac}."
    ),
    "additive.settle": "Measured over {bales} bales the gauge would no longer hide the answer.",
    "additive.settle_never": (
        "More bales would not settle it: the bale's mass is not known well enough. Weigh some."
    ),
    "additive.column.source": "source",
    "additive.column.kg_t": "kg/t pure",
    "additive.column.kind": "how it is meant",
    "additive.chart.title": "Acid by moisture, every source",
    "additive.chart.desc": (
        "Pure propionic acid in kg a tonne over the moisture of hay from 20 to 50 %. Kentucky: 5 "
        "to 25 %, 10 to 30 %. North Dakota: at least 10 at 32 %. Easson and Nash, at the edge of "
        "working: 10 at 30 %, 10 to 15 at 40 %, 20 at 50 %. {here}"
    ),
    "additive.chart.here": (
        "At {moisture_frac}: {best_said} kg/t is the least that no source calls too little."
    ),
    "additive.chart.here_none": "No source speaks at {moisture_frac}.",
    "additive.chart.x": "moisture, % of the fresh hay",
    "additive.chart.y": "kg/t pure acid",
    "additive.name.kentucky": "Kentucky",
    "additive.name.north": "North Dakota",
    "additive.name.easson": "Easson & Nash 1978",
    "additive.chart.kentucky": "Kentucky",
    "additive.chart.north": "North Dakota: at least",
    "additive.chart.easson": "Easson & Nash: the edge of working",
}
