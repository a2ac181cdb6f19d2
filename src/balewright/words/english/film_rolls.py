"""Rolls of film: what a bale takes, when each roll ends, how many to load."""

from typing import Final

MESSAGES: Final = {
    "rolls.bale": (
        "A bale takes {film_m} of film off the rolls, {film_g}; one roll is worth {bales_one} "
        "bales."
    ),
    "rolls.money": "Film for a bale: {bale_said} in your own currency.",
    "rolls.money_t": "A tonne of dry matter: {film_kg} of film, {tonne_said} in your own currency.",
    "rolls.kg_t": "A tonne of dry matter: {film_kg} of film.",
    "rolls.day": "A day of {bales} bales:",
    "rolls.no_end": "- no roll ends.",
    "rolls.end.replaced": (
        "roll {roll} ends in bale {bale_no}, with {done_frac} of that bale's film laid"
    ),
    "rolls.end.replaced_between": (
        "roll {roll} ends in bale {bale_no}, with {done_frac} of that bale's film laid (between "
        "bale {earliest} and {latest})"
    ),
    "rolls.end.stays_out": "roll {roll} ends in bale {bale_no}, and there is no other",
    "rolls.end.stays_out_between": (
        "roll {roll} ends in bale {bale_no} (between bale {earliest} and {latest}), and there is "
        "no other"
    ),
    "rolls.stopped": "Film is out in bale {bale_no}.",
    "rolls.lasts": "Film lasts for {bales} bales; new rolls put on: {rolls}.",
    "rolls.load": (
        "Load {rolls} new rolls beside those on the machine: enough with {chance_frac} or more "
        "for each dispenser. The average day needs {on_average}."
    ),
    "rolls.load_none": (
        "What is on the machine is enough, with {chance_frac} or more for each dispenser."
    ),
    "rolls.binding": "Binding a bale takes {binding_m} off its roll.",
    "rolls.binding_end_sure": (
        "The binding roll ends in bale {bale_no}; a bale without its binding must not be passed on."
    ),
    "rolls.binding_end": (
        "The binding roll ends in bale {bale_no} (between bale {earliest} and {latest}); a bale "
        "without its binding must not be passed on."
    ),
    "rolls.limits": (
        "Metres vary by {bale_spread_m} from bale to bale and may be off by {day_spread_m} on all "
        "of them. A roll that ends within a bale leaves a half turn that does not count; stop the "
        "engine before loading film."
    ),
    # the picture
    "rolls.picture.title": "When each roll ends over {bales} bales",
    "rolls.picture.heading": "When each roll ends",
    "rolls.picture.roll": "Roll {roll}",
    "rolls.picture.axis": "bales; under each end the bales between which it falls",
    "rolls.picture.lasts": "{bales} bales, new rolls put on: {rolls}",
    "rolls.picture.stopped": "film is out in bale {bale_no}",
    "rolls.picture.no_end": "No roll ends in {bales} bales.",
}
