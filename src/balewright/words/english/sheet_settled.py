"""Words of a sheet's conflicts, each side and what was settled, and of its first measures."""

from typing import Final

_CONFLICTS: Final = {
    "conflict.slope.roll": "On a slope of {slope_frac} a bale on its round side can roll away.",
    "conflict.tip.only": "This machine tips onto the round side only.",
    "conflict.tip.settled": (
        "The slope wins: carry the bale to level ground, or put it down across the slope."
    ),
    "conflict.slope.light": "A slope of {slope_frac} wants a light bale.",
    "conflict.crop.dense": "{crop} wants a dense bale.",
    "conflict.density.settled": "Light wins: a bale that rolls hurts people.",
    "conflict.size.usual": "The usual size is fewer bales and less film.",
    "conflict.size.settled": "Smaller wins: {diameter_m}.",
    "conflict.dust.roll": "Dust wants the wrapped bale rolled on, so that the layers bond.",
    "conflict.slope.still": "A slope wants no bale turning longer than it must.",
    "conflict.roll.settled": "The slope wins: no rolling on; look whether the film's end holds.",
    "conflict.hay.dense": "Hay wants a dense bale.",
    "conflict.hay.loose": "Hay at {moisture_frac} heats, the denser the more.",
    "conflict.hay.settled": "Loose wins: hay can burn.",
    "conflict.chop.dense": "Chopping packs 4 to 15 % denser.",
    "conflict.stones.out": "Stones break knives, and broken steel ends in the feed.",
    "conflict.knives.settled": "Stones win: {knives_in} knives, held lightly.",
    "conflict.knives.none": "Stones win: no knives.",
    "conflict.stretch.label": "The film's label allows {label_frac}.",
    "conflict.stretch.machine": "The machine stretches {least_frac} at the least.",
    "conflict.stretch.settled": "No setting does both: another film is better; watch for tears.",
    "conflict.speed.asked": "{asked_m_s} brings more crop.",
    "conflict.speed.wrapper": "From {turning_m_s} on the wrapper takes no more bales.",
    "conflict.speed.settled": "{speed_m_s}: as many bales an hour, and no full chamber waits.",
    "conflict.speed.loose": "A row of {windrow_kg_m} taken fast makes a loose bale.",
    "conflict.speed.slower": "{speed_m_s}: a dense bale keeps, and the pickup leaves less.",
    "conflict.rpm.pace": "The wrapper holds back: faster would bring more bales.",
    "conflict.rpm.heavy": "A bale of {mass_kg}, or a slope, wants it turned slowly.",
    "conflict.rpm.settled": "Slow wins: a bale that leaves the wrapper hurts people.",
}

_MEASURES: Final = {
    "measure.gate_opening_mm": "Gate opening when full",
    "measure.diameter_left_m": "Diameter left",
    "measure.diameter_right_m": "Diameter right",
    "measure.overlap_frac": "Overlap on the bale",
    "measure.pre_stretch_frac": "Stretch by two marks",
    "measure.mass_kg": "Mass",
    "measure.moisture_frac": "Moisture",
    "measure.why.gate": "Further open: set it smaller; less: larger.",
    "measure.why.diameter": "Left and right {cone_m} apart or more is a cone: weave.",
    "measure.why.overlap": "A strip lies {strip_mm} wide. Less: count the layers again.",
    "measure.why.stretch": "Marks {apart_mm} apart on the roll lie {stretched_mm} apart there.",
    "measure.why.mass": "Outside, correct the density or make the sheet again.",
    "measure.why.moisture": "Outside, make the sheet again.",
    "roll.film": "Film roll",
}

MESSAGES: Final = {**_CONFLICTS, **_MEASURES}
