"""What the desk says round the pictures of what a machine would give, and the answers to them."""

from __future__ import annotations

from typing import Final

MESSAGES: Final = {
    "desk.outlook.title": "What it would give",
    "desk.outlook.what": (
        "Worked out ahead, not measured: layers, keeping, pace, cost and the settings that cost "
        "least, each with how sure it is."
    ),
    "desk.outlook.open": "Change crop, film, store or prices and watch the pictures follow",
    "desk.outlook.waiting": "Drawing the pictures …",
    "desk.outlook.form": "Change anything; the pictures follow as you type.",
    "desk.outlook.pictures": "The pictures",
    "desk.outlook.show": "Draw again",
    "desk.outlook.reset": "Back to the machine's own",
    "desk.outlook.make_sheet": "Make a setup sheet of this",
    "desk.outlook.wrong": "The pictures cannot be drawn yet",
    "desk.outlook.sources": "Where this comes from",
    "desk.outlook.origin.in_force": (
        "For the conditions of the sheet that the newest bales were made by."
    ),
    "desk.outlook.origin.kept": "For the conditions of the newest sheet kept for this machine.",
    "desk.outlook.origin.example": (
        "An example: no setup sheet was kept for this machine, so the conditions are made up. "
        "Nothing here is a fact about it until they are its own."
    ),
    "desk.outlook.origin.changed": "For the conditions as they are set here.",
    "desk.outlook.part.crop": "Crop and field",
    "desk.outlook.part.bale": "Bale and film",
    "desk.outlook.field.diameter": "Diameter",
    "desk.outlook.field.diameter.hint": "Empty: as the sheet would set it.",
    "desk.outlook.field.wrap_turns": "Wrap turns",
    "desk.outlook.field.wrap_turns.hint": "Empty: as many as the sheet would set.",
    "desk.outlook.card.layers": "Layers",
    "outlook.no_answer": "No answer for these conditions: {why}",
    # layers
    "outlook.layers.enough": (
        "{turns} wrap turns lay {thinnest} layers or more on every spot of a bale {diameter_m} "
        "across; {layers} are wanted."
    ),
    "outlook.layers.rim": (
        "{turns} wrap turns lay {layers} layers all round a bale {diameter_m} across, but only "
        "{thinnest} at the rim of a flat side."
    ),
    "outlook.layers.short": (
        "{turns} wrap turns leave {short_frac} of the round side of a bale {diameter_m} across "
        "short of {layers} layers; its thinnest spot has {thinnest}."
    ),
    "outlook.layers.far": "Up to {diameter_m} across the same turns stay enough.",
    "outlook.layers.over": "A bale that size is already over the cliff: more turns, or less bale.",
    "outlook.layers.cliff": (
        "The cliff: at {diameter_m} across the same turns leave {short_frac} of the round side "
        "short, {thinnest} layers at its thinnest."
    ),
    "outlook.layers.strip": (
        "How much film narrows is known least: a strip of {low_mm} to {high_mm} on the bale means "
        "{thinnest_low} to {thinnest_high} layers at the thinnest spot. Geometry, not a "
        "measurement."
    ),
    "outlook.layers.strip_same": (
        "How much film narrows is known least: with a strip of {low_mm} to {high_mm} on the bale "
        "the thinnest spot has {thinnest} either way. Geometry, not a measurement."
    ),
    "outlook.layers.no_wrapper": "This machine has no wrapper, so it lays no film.",
    "outlook.layers.dry": "No film is laid: {crop} keeps by being dry.",
    "outlook.layers.no_film": (
        "Unknown: no roll of film is named. Give width, thickness, metres and pre-stretch from "
        "its label."
    ),
}
