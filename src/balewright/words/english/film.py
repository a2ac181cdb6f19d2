"""Film on a bale: what the layer count and its pictures say."""

from typing import Final

MESSAGES: Final = {
    # the table of the layer count
    "film.asked": (
        "Bale {diameter_m} across and {length_m} long, strip {strip_mm} wide, {turns} wrap turns, "
        "rolls: {dispensers}."
    ),
    "film.asked_lost": (
        "Bale {diameter_m} across and {length_m} long, strip {strip_mm} wide; one roll makes "
        "{turns} wrap turns, the other is lost at {lost_turn}."
    ),
    "film.turning_little": (
        "The bale's surface moves {advance_mm} in one wrap turn: {turned} of a bale turn."
    ),
    "film.turning": (
        "The bale's surface moves {advance_m} in one wrap turn: {turned} of a bale turn."
    ),
    "film.column.round": "round side",
    "film.column.flat": "flat sides",
    "film.row.thinnest": "fewest layers",
    "film.row.mean": "layers on average",
    "film.row.short": "share short of {layers} layers",
    "film.row.sliver": "widest short stretch",
    "film.row.bound": "fewest, with the binding film",
    "film.row.bound_short": "share short, with it",
    "film.none": "none",
    "film.trace": "under 0.1 %",
    "film.enough": "No spot of the round side is short of {layers} layers.",
    "film.short": (
        "{short_said} of the round side is short of {layers} layers; its widest short stretch is "
        "{sliver_mm} and its thinnest spot has {thinnest}."
    ),
    "film.short_narrow": (
        "{short_said} of the round side is short of {layers} layers, but only in stretches of "
        "{sliver_mm} or less, which is no alarm by itself."
    ),
    "film.flat_short": (
        "On a flat side {flat_said} is short, at the rim: {sliver_mm} along it, {depth_mm} deep."
    ),
    "film.gathers": (
        "Each strip lays {band_m2} flat on a flat side; another {rim_m2} gathers at its rim."
    ),
    "film.turns": "For {layers} layers on all of the round side: {turns_needed} wrap turns.",
    "film.turns_never": (
        "No number of wrap turns gives {layers} layers here: the bale comes back to the same "
        "places. Change the advance a little."
    ),
    "film.after_loss": (
        "To make the loss good the other roll must go on to turn {turns_needed}, counted from the "
        "start."
    ),
    "film.after_loss_done": "The other roll reaches far enough: turn {turns_needed} makes it good.",
    "film.cliff": (
        "The cliff: a fatter bale at the same turns falls short at {diameter_m}, with {thinnest} "
        "layers at the thinnest spot and {short_said} short."
    ),
    "film.cliff_here": "The cliff: this bale is already over it.",
    "film.cliff_far": "The cliff: up to {diameter_m} across, the same turns are still enough.",
    "film.column.diameter": "diameter",
    "film.column.thinnest": "fewest layers",
    "film.column.short": "share short",
    "film.column.sliver": "widest short stretch",
    "film.metres": "Film off the rolls: {film_m} a bale.",
    "film.rolls": (
        "One roll is worth {bales_one} bales; with every dispenser loaded the set ends after "
        "{bales_set} whole bales."
    ),
    "film.mass": "Film on the bale: {film_g}.",
    "film.neck_in": (
        "How much film narrows is the least certain number: the strip may be {low_mm} to "
        "{high_mm} wide, which gives {thinnest_low} to {thinnest_high} layers at the thinnest "
        "spot."
    ),
    "film.neck_in_same": (
        "How much film narrows is the least certain number: the strip may be {low_mm} to "
        "{high_mm} wide; either way the thinnest spot has {thinnest} layers."
    ),
    "film.straight": (
        "Counted for strips laid straight at mid-height on a round bale; a test bale and a look at "
        "it come first."
    ),
    # the layer map
    "film.map.title": "Film on the bale: {thinnest} layers at the thinnest spot, {layers} needed",
    "film.map.desc": (
        "Round side, unrolled: {thinnest} layers at the thinnest spot, {thin_at_m} round the bale "
        "from the first strip; {round_mean} layers on average; {short_frac} short of {layers} "
        "layers, in stretches of up to {sliver_mm}. Flat sides: {flat_thinnest} layers at the "
        "thinnest spot, which is at the rim; {flat_mean} on average; {flat_frac} short."
    ),
    "film.map.round": "Round side, unrolled",
    "film.map.round_enough": "nowhere short of {layers}",
    "film.map.round_short": "{short_frac} short, stretches up to {sliver_mm}",
    "film.map.axis": "metres round the bale, from the first strip",
    "film.map.thinnest": "thinnest: {thinnest}",
    "film.map.stretch": "{layers} layers from {from_m} to {to_m}",
    "film.map.flat": "Flat side {side}",
    "film.map.flat_thin": "thinnest: {thinnest}, at the rim",
    "film.map.flat_short": "short up to {depth_mm} deep",
    "film.map.legend": "Layers of film",
    "film.map.short": "short of {layers}",
    "film.map.more": "{layers}+",
    # the bale that can be turned
    "film.turnable": (
        "The bale with its film: {thinnest} layers at the thinnest spot, {layers} needed. Arrow "
        "keys turn it, Home brings the thinnest spot to the front."
    ),
    "film.turnable_help": "Drag or use the arrow keys to turn the bale.",
}
