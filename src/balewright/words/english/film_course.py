"""Wrapping that did not go to plan: what it says of a bale and of how to go on."""

from typing import Final

MESSAGES: Final = {
    "course.asked": (
        "Bale {diameter_m} across and {length_m} long, strip {strip_mm} wide, {turns} wrap turns, "
        "rolls: {dispensers}."
    ),
    "course.caution": (
        "PTO off, engine stopped, key out and standstill before anybody reaches for film, rolls or "
        "knives: cutters and ring move without warning."
    ),
    "course.events": "What happened:",
    "course.none": "Nothing happened: as planned.",
    "course.one_roll": "Wrap turns with one roll only: {one_roll_turns}.",
    "course.bare": "Wrap turns with no film at all: {bare_turns}.",
    "course.column.round": "round side",
    "course.column.flat_1": "flat side 1",
    "course.column.flat_2": "flat side 2",
    "course.row.thinnest": "fewest layers",
    "course.row.bound": "fewest, with the binding film",
    "course.row.short": "share short of {layers} layers",
    "course.row.area": "area short",
    "course.row.sliver": "widest short stretch",
    "course.thin_at": (
        "Thinnest on the round side {thin_at_m} round from where the first roll started."
    ),
    "course.good": "Nothing is missing on the round side.",
    "course.way": "{rolls_said}: {more_turns} more wrap turns, which is turn {turns_needed}.",
    "course.way_metres": (
        "{rolls_said}: {more_turns} more wrap turns, which is turn {turns_needed}; {film_m} of "
        "film off the rolls."
    ),
    "course.way_never": (
        "{rolls_said}: no number of turns does it, the bale comes back to the same places."
    ),
    "course.way_anywhere": (
        "If the bale was taken off or turned meanwhile: {more_turns} turns (whole "
        "layers: {more_layers})."
    ),
    "course.rolls.1": "Roll 1 alone",
    "course.rolls.2": "Roll 2 alone",
    "course.rolls.both": "Both rolls",
    "course.rolls.one": "The roll",
    "course.from_here": "To make the round side good from here:",
    "course.tipped": "If it is already tipped: {verdict_said}.",
    "course.verdict.wrap again": "wrap it again",
    "course.verdict.use first": "mark it and use it first",
    "course.verdict.leave": "leave it",
    "course.limits": (
        "Counted for strips laid straight at mid-height on a round bale; a half turn in which film "
        "broke or began counts for nothing. A look at the bale comes first."
    ),
    # a bale that is already tipped
    "tipped.enough": "Every spot has the {layers} layers that were wanted.",
    "tipped.bare": "A spot has no film at all: air gets in there, whatever the rest has.",
    "tipped.below_four": (
        "The thinnest spot has {thinnest} layers, and stretches of up to {thin_mm} have fewer than "
        "{least_layers}: no source goes below that."
    ),
    "tipped.wanted_too_few": (
        "Every spot has the {layers} layers that were wanted, but stretches of up to {thin_mm} "
        "have fewer than {least_layers}, and no source goes below that."
    ),
    "tipped.below_need": (
        "The thinnest spot has {thinnest} layers where {layers} were wanted. Sources disagree: "
        "four kept well in cool, wet trials, six and more are asked elsewhere and for long "
        "storage."
    ),
    "tipped.only_slivers": (
        "Only slivers of {sliver_mm} or less are short (thinnest: {thinnest}); up to {narrow_mm} "
        "that is no alarm by itself."
    ),
    "tipped.whole_layers": (
        "Where the strips will fall on a bale put back is not known: it takes whole layers more on "
        "every spot, {more_layers} of them."
    ),
    "tipped.may_be_damaged": (
        "Tipping, stubble, stones and birds may have holed the film where it lay: look all round "
        "and tape what is torn."
    ),
    "tipped.not_known": (
        "Not known here: how long it lay, how well the layers stick, and what the film under it "
        "looks like."
    ),
    "tipped.feed": (
        "Open a doubtful bale early and look: do not feed mouldy parts; horses are most at risk "
        "from botulism."
    ),
    # the picture of the events
    "course.picture.title": "What the rolls did, and the layers it left",
    "course.picture.desc": (
        "Two lines, one a roll, over {turns} wrap turns: {events_said}. Under them the layer map."
    ),
    "course.picture.desc_none": "The rolls ran all {turns} wrap turns; under them the layer map.",
    "course.picture.roll": "Roll {roll}",
    "course.picture.axis": "wrap turns",
    "course.picture.ran": "laid film",
    "course.picture.lost": "no film",
    "course.picture.heading": "What the rolls did",
    "course.picture.rolled": "bale rolled {rolled_turns} turns",
    "course.picture.stop": "stop",
    "course.picture.cut": "cut",
    "course.event.runs out": "roll {roll} runs out at turn {turns}",
    "course.event.breaks": "roll {roll} breaks at turn {turns}",
    "course.event.back": "roll {roll} is back at turn {turns}",
    "course.event.stop": "stop at turn {turns}",
    "course.event.stop_rolled": "stop at turn {turns}, and the bale rolls {rolled_turns} turns",
    "course.event.cut": "film of roll {roll} is cut and starts anew at turn {turns}",
    "course.event.cut_all": "film is cut and starts anew at turn {turns}",
}
