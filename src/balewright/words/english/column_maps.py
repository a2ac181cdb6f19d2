"""What is said of an unknown table's columns, on the desk and on the command line."""

from __future__ import annotations

from typing import Final

MESSAGES: Final = {
    "columns.sure.0": "left out",
    "columns.sure.1": "a guess",
    "columns.sure.2": "likely",
    "columns.sure.3": "sure",
    "columns.why.name": "the heading is its name",
    "columns.why.part": "the heading has its name in it",
    "columns.why.near": "the heading is spelt much like it",
    "columns.why.own": "the heading is our own name",
    "columns.why.alone": "its cells are times, and no other column's are",
    "columns.why.taken": "another column fits better",
    "columns.why.unknown": "nothing is known by this name",
    "columns.unit_why.heading": "unit from the heading",
    "columns.unit_why.values": "unit from the size of the values",
    "columns.unit_why.cells": "the cells look so",
    "columns.unit_why.own": "no unit said: taken as our own",
    "columns.ask.encoding": (
        "The letters are taken as {encoding}, which is only the likeliest: look at the samples."
    ),
    "columns.ask.day_order": (
        "No date has a day above 12, so nothing says whether day or month comes first. "
        "Taken as {order} until you say."
    ),
    "columns.ask.decimal": (
        "Nothing says whether {sign} is the decimal sign or parts thousands. "
        "Taken as the decimal sign until you say."
    ),
    "columns.ask.zone": "The times are clock times without a zone: say in which zone they stand.",
    "columns.ask.zone_confirm": "The times are taken as clock times of {zone}, from the register.",
    "columns.ask.machine": (
        "No column says the machine: say whose the bales are, here or when the file is taken in."
    ),
    "columns.ask.time": "No column is a time: the bales then count on no day.",
    "columns.ask.identity": (
        "No column is a bale number or a time: bales cannot be told from their doubles."
    ),
    "columns.ask.words": (
        "{heading}: these words are not known yet: {words}. Their rows are refused."
    ),
    "intake.mark.clock_shown_twice": (
        "The time lies in the hour that clocks showed twice; the column map's rule settled it."
    ),
    "intake.mark.clock_shown_twice.do": (
        "Nothing, where an hour does not matter. Else export with UTC times or offsets."
    ),
}
