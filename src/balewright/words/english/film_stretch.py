"""The stretch that really happened, and what a tape on the bale tells."""

from typing import Final

MESSAGES: Final = {
    "stretch.marks": "two marks",
    "stretch.dispenser": "metres of dispenser {roll}",
    "stretch.width": "width of the strip",
    "stretch.marks_one": (
        "Two marks, one reading: {best_frac}. One reading shows no scatter; take at least three."
    ),
    "stretch.marks_found": (
        "Two marks, {readings} readings: {best_frac}, with 95 % between {low_frac} and {high_frac}."
    ),
    "stretch.metres_found": (
        "Metres, dispenser {roll}: {best_frac}, with 95 % between {low_frac} and {high_frac}."
    ),
    "stretch.unlikely": (
        "No wrap film does that: before anything else look at the wrap turns, at the bales those "
        "metres are of, and whether they are counted before or after the stretch."
    ),
    "stretch.no_overlap": (
        "These strips do not meet: bare crop lies between them until a later turn covers it."
    ),
    "stretch.gap": (
        "Dispenser 1 against 2: {gap_said} points, with 95 % between {low_said} and {high_said}."
    ),
    "stretch.budget": "What the error of a dispenser is made of: {parts_said}.",
    "stretch.tension": (
        "Counted after the stretch, metres hold no stretch. They do hold the further pull of "
        "dispenser {roll}: {best_frac}, with 95 % between {low_frac} and {high_frac}."
    ),
    "stretch.part.diameter": "diameter",
    "stretch.part.length": "length",
    "stretch.part.shoulder": "rounded shoulders",
    "stretch.part.tension": "pull after the stretch",
    "stretch.part.counter": "wheel of the counter",
    "stretch.part.own_counter": "slip of its own wheel",
    "stretch.part.own_tail": "where film began and ended",
    "stretch.inside": "Shown in the limits of {low_frac} to {high_frac}.",
    "stretch.below": "Shown below the limits of {low_frac} to {high_frac}.",
    "stretch.above": "Shown above the limits of {low_frac} to {high_frac}.",
    "stretch.not shown yet": "Not shown yet, in or out of the limits of {low_frac} to {high_frac}.",
    "stretch.more": (
        "If mean and scatter are as seen, {more_marks} more marks settle it with 80 %. Take them "
        "all before judging again."
    ),
    "stretch.more_some": "Take at least three readings, better five.",
    "stretch.more_never": (
        "More marks will hardly settle it: the stretch lies too near a limit for its scatter."
    ),
    "stretch.turned": (
        "On the bale: strip {width_mm} wide, overlap {overlap_frac}, {advance_mm} of bale surface "
        "in a wrap turn, which is {turn_said} of a bale turn (95 %: {low_said} to {high_said})."
    ),
    "stretch.neck_in": (
        "Film narrowed with exponent {best_said} (95 %: {low_said} to {high_said}); without a "
        "measurement {default_said} is used."
    ),
    "stretch.from_width": (
        "From the strip's width alone: {best_frac}, anywhere from {low_frac} to {high_frac}, "
        "because nobody knows how far this film narrows."
    ),
    "stretch.caution": (
        "Engine off and standstill before anybody marks or measures film on the machine."
    ),
    # the picture
    "stretch.picture.title": "The stretch as it was found",
    "stretch.picture.heading": "Stretch as it was found",
    "stretch.picture.row": "{name_said}: {best_frac} ({low_frac} to {high_frac})",
    "stretch.picture.row_one": "{name_said}: {best_frac}, one reading",
    "stretch.picture.limits": "Limits: {low_frac} to {high_frac}.",
    "stretch.picture.axis": "stretch, per cent",
    "stretch.picture.legend": "the label's limits",
}
