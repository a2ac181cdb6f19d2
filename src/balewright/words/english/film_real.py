"""Film on a bale as it is: what the command and its picture say."""

from typing import Final

MESSAGES: Final = {
    "real.shape": (
        "Bale {left_m} across at the left end, {middle_m} in the middle, {right_m} at the right "
        "end, {length_m} long, shoulders rounded by {shoulder_mm}."
    ),
    "real.wrap": (
        "Strip {strip_mm} wide, {turns} wrap turns, rolls: {dispensers}; the bale makes "
        "{turned_said} of a turn in a wrap turn. Once round the bale is {path_m} of film."
    ),
    "real.off_height": "Film runs {off_mm} {way_said} mid-height.",
    "real.above": "above",
    "real.below": "below",
    "real.tilt": "The ring leans by {tilt_deg} along the bale.",
    "real.skew": "Strips lie askew, because the bale turns on while they are laid.",
    "real.slip": "The bale slips: at the end it turns {slip_frac} less than at the start.",
    "real.tail": (
        "A fresh film begins with a tail of {tail_frac} of its width for {tail_said} half wrap "
        "turns."
    ),
    "real.bands": "The wrapper lays bands round the girth first: {band_said}.",
    "real.binding": "Under it lie {binding_said} turns of binding film.",
    "real.column.round": "round side",
    "real.column.left_shoulder": "left shoulder",
    "real.column.right_shoulder": "right shoulder",
    "real.column.left_flat": "flat side 1",
    "real.column.right_flat": "flat side 2",
    "real.row.thinnest": "fewest layers",
    "real.row.mean": "layers on average",
    "real.row.short": "share short of {layers} layers",
    "real.row.area": "area short",
    "real.row.sliver": "widest short stretch",
    "real.row.bound": "fewest, with the binding film",
    "real.row.bound_short": "share short, with it",
    "real.spot": "The thinnest spot has {thinnest} layers: {place_said}, {wide_mm} wide.",
    "real.place.body_left": (
        "on the round side, {along_mm} left of the middle, {round_m} round from the first strip"
    ),
    "real.place.body_right": (
        "on the round side, {along_mm} right of the middle, {round_m} round from the first strip"
    ),
    "real.place.middle": (
        "on the round side, in the middle of the bale, {round_m} round from the first strip"
    ),
    "real.place.shoulder_left": "on the left shoulder, {round_m} round from the first strip",
    "real.place.shoulder_right": "on the right shoulder, {round_m} round from the first strip",
    "real.place.rim": ("on flat side {side}, at its rim, {degrees_deg} round from the first strip"),
    "real.place.flat": (
        "on flat side {side}, {out_mm} from its middle, {degrees_deg} round from the first strip"
    ),
    "real.place.centre": "on flat side {side}, in its middle",
    "real.short": (
        "{area_said} of the bale's {whole_m2} are short of {layers} layers: {share_said}, good to "
        "{error_said}."
    ),
    "real.short_exact": (
        "{area_said} of the bale's {whole_m2} are short of {layers} layers: {share_said}."
    ),
    "real.more": (
        "Before it is tipped, {more_turns} more wrap turns leave no spot of it short (wrap film)."
    ),
    "real.more_one": (
        "Before it is tipped, one more wrap turn leaves no spot of it short (wrap film)."
    ),
    "real.more_but": (
        "Before it is tipped, {more_turns} more wrap turns leave no stretch short that is wider "
        "than {sliver_mm} (wrap film)."
    ),
    "real.more_none": "No short stretch is wider than the {sliver_mm} that may stay.",
    "real.more_never": (
        "Even 128 more wrap turns do not make it good: film does not come to some spots."
    ),
    "real.put_right": "Put right by itself",
    "real.column.thinnest": "fewest layers",
    "real.column.short": "share of the bale short",
    "real.right.shape": "the bale's shape",
    "real.right.off_height": "the film's height",
    "real.right.tilt": "the ring's lean",
    "real.right.slip": "the slip",
    "real.right.tail": "the tail",
    "real.narrow": "No short stretch is wider than {sliver_mm}, which is no alarm by itself.",
    "real.enough": "No spot of the bale is short of {layers} layers.",
    "real.film": "The strips are {film_m2} of film, of which {gathered_m2} gather at the rims.",
    "real.metres": "Film off the rolls: {film_m} for this bale.",
    "real.plain": (
        "Counted as a plain cylinder under straight strips it would have {thinnest} layers at its "
        "thinnest, and {share_said} of the round side short."
    ),
    "real.plain_enough": (
        "Counted as a plain cylinder under straight strips it would have {thinnest} layers at its "
        "thinnest, and no spot of the round side short."
    ),
    "real.limits": (
        "Counted from the shape and the laying given; wrinkles, tears and slack film are not in "
        "it. A test bale and a look at it come first."
    ),
    # the picture
    "real.map.title": (
        "Film on a real bale: {thinnest} layers at the thinnest spot, {layers} needed"
    ),
    "real.map.desc": (
        "The round side unrolled, from the left flat side (top) to the right one; the bale from "
        "the side with the fewest layers along its length; both flat sides. The thinnest spot "
        "has {thinnest} layers: {place_said}. {share_frac} of the whole surface is short of "
        "{layers} layers: {round_frac} of the round side, {left_frac} of flat side 1 and "
        "{right_frac} of flat side 2."
    ),
    "real.map.round": "Round side, unrolled",
    "real.map.round_enough": "nowhere short of {layers}",
    "real.map.round_short": "{short_frac} short of {layers}, stretches up to {sliver_mm}",
    "real.map.axis": "metres round the middle of the bale, from the first strip",
    "real.map.left": "left end",
    "real.map.right": "right end",
    "real.map.plane": "dashed: where the middle of the film runs",
    "real.map.thinnest": "thinnest: {thinnest}",
    "real.map.outline": "Fewest layers along the bale",
    "real.map.across": "{across_m}",
    "real.map.here": "{short_frac} short",
    "real.map.flat": "Flat side {side}",
    "real.map.flat_thin": "thinnest: {thinnest}",
    "real.map.flat_short": "{short_frac} short",
    "real.map.legend": "Layers of film",
    "real.map.more": "{layers}+",
}
