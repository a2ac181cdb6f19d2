"""Words for what a setup sheet does not know, and where its sources disagree."""

from typing import Final

MESSAGES: Final = {
    "sheet.unknown.moisture": (
        "Sources disagree on the right moisture for {crop} ({low_frac} to {high_frac}): "
        "{agree} of {sources} hold {moisture_frac} right."
    ),
    "sheet.unknown.damp_hay": (
        "What keeps hay at {moisture_frac}: dry on, or wrap it. Advice wants 20 to 35 % wrapped; "
        "acid alone is trusted up to 25 % by some, to 30 % by others."
    ),
    "sheet.unknown.climate": "The climate: how many layers are enough depends on it.",
    "sheet.unknown.film": "Film: without its label there are no turns, metres or rolls.",
    "sheet.unknown.thin_film": (
        "Whether {layers:layer|layers} of {thickness_um} are enough. Kentucky advises for film of "
        "{25:thickness_um}, Wisconsin {152:thickness_um} in all on square bales; these are "
        "{all_um}. As much film as of {25:thickness_um}: {as_much:layer|layers}."
    ),
    "sheet.unknown.turns_share": (
        "How bales differ: with {spread_mm} of spread in diameter and {turning_frac} in turning, "
        "both assumed, these turns give {share_frac} of bales every layer. Enter the spread as "
        "measured, or take wider film."
    ),
    "sheet.unknown.neck_in": (
        "How much this film narrows: its strip may lie {narrow_m} to {wide_m} wide. Measure it."
    ),
    "sheet.unknown.wrapped_elsewhere": (
        "The wrapper that follows: wrap soon. Advice runs from 2 h over 4 h to 24 h; "
        "never leave bales overnight."
    ),
    "sheet.unknown.binding_film": "Metres on the roll of binding film: rolls are not counted.",
    "sheet.unknown.net_roll": "Metres on the net roll: rolls are not counted.",
    "sheet.unknown.mass": "The true mass: {low_kg} to {high_kg}. Weigh some bales.",
    "sheet.unknown.mass_weighed": (
        "The true mass before the first bale: {low_kg} to {high_kg}. The machine weighs."
    ),
    "sheet.unknown.slope": "From which angle a bale rolls: no source gives one.",
}
