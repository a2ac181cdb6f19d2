"""The chance that a bale gets its layers."""

from typing import Final

MESSAGES: Final = {
    "chance.asked": (
        "Bales {diameter_m} across and {length_m} long, strip {strip_mm} wide, {turns} wrap turns, "
        "rolls: {dispensers}."
    ),
    "chance.asked_lost": (
        "Bales {diameter_m} across and {length_m} long, strip {strip_mm} wide; one roll makes "
        "{turns} wrap turns, the other is lost at {lost_turn}."
    ),
    "chance.spreads": "They differ from one to the next, as standard deviations: {spreads_said}.",
    "chance.measured": (
        "From the records of {bales} bales (used where no deviation is given; your own best values "
        "stay):"
    ),
    "chance.measured.diameter": (
        "diameters of {readings} bales differ by {best_said} mm, known between {low_said} and "
        "{high_said} mm"
    ),
    "chance.measured.stretch": (
        "stretch of {readings} bales, from metres, differs by {best_said} points, known between "
        "{low_said} and {high_said}; what the counter errs is in it"
    ),
    "chance.measured_none.diameter": "diameters: fewer than five are known, nothing can be told",
    "chance.measured_none.stretch": "stretch: fewer than five can be told, nothing is said of it",
    "chance.still": "No deviation from bale to bale is given.",
    "chance.spread.diameter": "diameter {off_mm}",
    "chance.spread.advance": "surface a wrap turn {off_mm}",
    "chance.spread.strip": "strip {off_mm}",
    "chance.spread.stretch": "stretch {off_points} points",
    "chance.spread.neck_in": "neck-in exponent {off_exponent}",
    "chance.now": "{goal_said}: {chance_said} of bales.",
    "chance.goal": "No spot of {where_said} short of {layers} layers",
    "chance.goal_sliver": (
        "No stretch of {where_said} over {allowed_mm} wide short of {layers} layers"
    ),
    "chance.goal_share": "At most {allowed_said} of {where_said} short of {layers} layers",
    "chance.round": "the round side",
    "chance.everywhere": "any side",
    "chance.thinnest": "Layers at the thinnest spot of the round side: {layers_said}.",
    "chance.at_least": "{layers} or more on {chance_said}",
    "chance.mean": "On average {short_said} of the round side is short.",
    "chance.column.turns": "turns",
    "chance.column.chance": "bales as wanted",
    "chance.column.one_less": "with a layer less",
    "chance.column.short": "short on average",
    "chance.column.film": "film a bale",
    "chance.found": "For {wanted_said} of bales: {turns_needed} wrap turns.",
    "chance.found_film": (
        "For {wanted_said} of bales: {turns_needed} wrap turns, {film_m} of film a bale."
    ),
    "chance.never": (
        "No number of wrap turns up to {most_turns} does it on {wanted_said} of bales: the bales "
        "come back to the same places. Change the advance a little."
    ),
    "chance.limits": (
        "Each bale is taken to differ by itself: a day on which all are fat is not in it. Counted "
        "for strips laid straight at mid-height on round bales; look at test bales first."
    ),
    "chance.none": "none",
    "chance.hardly": "under 0.1 %",
    "chance.nearly_all": "over 99.9 %",
    # the picture
    "chance.picture.title": "Chance of {layers} layers by wrap turns",
    "chance.picture.heading": "Of 100 bales, how many get what is wanted",
    "chance.picture.turns": "wrap turns",
    "chance.picture.film": "film a bale, m",
    "chance.picture.line": "as wanted: {layers} layers",
    "chance.picture.band": "up to the dashed line: at most one layer less",
    "chance.picture.wanted": "wanted: {wanted_said}",
    "chance.picture.point": "{turns} turns: {chance_said}, with a layer less {less_said}.",
    "chance.picture.found": "{turns_needed} turns reach the wanted {wanted_said}.",
    "chance.picture.not_found": "No number of turns tried reaches the wanted {wanted_said}.",
}
