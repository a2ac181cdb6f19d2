"""The settings that cost least: what the command, the pictures and the desk say."""

from typing import Final

MESSAGES: Final = {
    "optimum.title": "What costs least",
    "optimum.school.well_made": "if bales keep as well made ones do",
    "optimum.school.barrier_trials": "if they keep as in the barrier trials",
    "optimum.settled": (
        "{layers} layers with {turns} wrap turns, {dry_matter_kg_m3} of dry matter, {speed_m_s}: "
        "bales of {mass_kg}."
    ),
    "optimum.chance": (
        "{chance_words} of the bales then have no spot of the round side under {layers} layers."
    ),
    "optimum.regret": (
        "Whichever trials hold, it costs at most {regret_number} a tonne of dry matter more than "
        "the best would have."
    ),
    "optimum.no_regret": "It costs least whichever trials hold.",
    "optimum.not_certain": (
        "Whether the tractor has the power is not certain: watch its speed as the bale fills."
    ),
    "optimum.tried": "{tried} combinations worked out, {allowed} of them may be taken.",
    "optimum.lost": (
        "Lost or thrown away in {stay_months}: {low_frac} to {high_frac} of the dry matter."
    ),
    "optimum.axis.layers": "layers",
    "optimum.axis.density": "density, kg of dry matter a m³",
    "optimum.axis.speed": "speed, km/h",
    "optimum.beyond.costs_more": "costs more",
    "optimum.beyond.not_offered": "nothing further was offered",
    "optimum.beyond.barred": "not allowed",
    "optimum.bar.chance": "layers not sure enough",
    "optimum.bar.loss": "too much lost in storage",
    "optimum.bar.mass": "bale too heavy",
    "optimum.bar.power": "tractor too weak",
    "optimum.column.setting": "setting",
    "optimum.column.settled": "settled",
    "optimum.column.below": "a step down",
    "optimum.column.above": "a step up",
    "optimum.column.near_well_made": "as good, well made",
    "optimum.column.near_barrier_trials": "as good, barrier trials",
    "optimum.column.layers": "layers",
    "optimum.column.turns": "turns",
    "optimum.column.density": "kg DM/m³",
    "optimum.column.speed": "km/h",
    "optimum.column.money": "making, money a t DM",
    "optimum.column.loss": "lost or thrown away, %",
    "optimum.column.pace": "t DM/h",
    "optimum.front": (
        "Choices that no other beats in cost of making, in loss (as the trials that read worse "
        "have it) and in pace together:"
    ),
    "optimum.limits": (
        "Searched only among what was offered. Losses at the pickup, which grow with speed, and "
        "what a fast drive does to the shape of a bale are not in it: no source seen puts a "
        "number on them."
    ),
    "optimum.caution": (
        "The machine's manual, the ground and the people who drive come before any least cost: "
        "a heavy bale on a slope rolls, and a tractor at its limit cannot hold one."
    ),
    "optimum.chart.cost": "cost of making and of feed lost",
    "optimum.chart.money": "money a tonne of dry matter",
    "optimum.chart.front": "what less loss costs",
    "optimum.chart.front_x": "making, money a tonne of dry matter",
    "optimum.chart.front_y": "lost, % (worse trials)",
    "optimum.chart.settled": "settled",
    "optimum.chart.barred": "not allowed",
    "optimum.chart.near": "nearly as good",
    "optimum.chart.bands": "Bands: what losses may be. Points of the last plot carry their layers.",
    "optimum.chart.told": (
        "Cost for each tonne of dry matter along layers, density and speed, as two schools of "
        "trials read keeping. Settled: {layers} layers, {dry_matter_kg_m3} of dry matter, "
        "{speed_m_s}."
    ),
}
