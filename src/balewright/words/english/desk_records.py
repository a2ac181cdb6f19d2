"""What the desk says round records: one machine, the bale book."""

from __future__ import annotations

from typing import Final

MESSAGES: Final = {
    # one machine
    "desk.machine.make_sheet": "Make a setup sheet",
    "desk.machine.jumps": "On this page",
    "desk.machine.counters": "Counters",
    "desk.machine.lifetime": "Lifetime bales",
    "desk.machine.lifetime.least": "at least {bales}",
    "desk.machine.counted": "Bales in the journal",
    "desk.machine.findings": "Findings",
    "desk.machine.no_findings": "Nothing is out of its sheet on the bales that were looked at.",
    "desk.machine.no_bales": "No bales of this machine were taken in yet.",
    "desk.machine.untold": "What these records cannot tell",
    "desk.machine.from_columns": "Read from {columns}",
    "desk.machine.due": "Work due",
    "desk.machine.no_due": "This make's profile lists no service items.",
    "desk.machine.at_bale": "at bale {number}",
    "desk.machine.in_days": "in about {in_days}",
    "desk.machine.chart": "Bale by bale",
    "desk.machine.chart.what": (
        "The last {bales} bales, oldest first. The band is what the sheet in force allowed. The "
        "same values stand in the table below."
    ),
    "desk.machine.chart.place": "bales, oldest to newest",
    "desk.machine.chart.when": "When",
    "desk.machine.chart.number": "Bale",
    "desk.machine.chart.planned": "Allowed by the sheet",
    "desk.machine.chart.wanted": "Layers wanted",
    "desk.machine.chart.short": "Share of the round side short",
    "desk.machine.chart.layers": (
        "The line is the number the sheet wants. A diamond is a bale short of it by more than the "
        "slivers the sheet itself leaves. Counted from turns, film and diameter as recorded; where "
        "no diameter was measured, at the planned one."
    ),
    "desk.machine.layers": "{thinnest} of {need}",
    "desk.machine.film.sized": (
        "The newest bale whose wrap turns and diameter are known. By the geometry of the film, not "
        "a measurement. What the sheet asks for stands below, under Layers."
    ),
    "desk.machine.film.unsized": (
        "The newest bale whose wrap turns are known, drawn at the planned diameter because its own "
        "was not measured. By the geometry of the film, not a measurement. What the sheet asks for "
        "stands below, under Layers."
    ),
    "desk.machine.film.got": "As recorded, bale {number}",
    "desk.machine.film.got.nameless": "As recorded, a bale without a number",
    "desk.machine.sheets": "Setup sheets",
    "desk.machine.bales": "Last bales, newest first",
    "desk.machine.bales.open": "The values of the charts as a table",
    "desk.machine.chamber": "Chamber",
    "desk.machine.binding": "Binding",
    "desk.machine.wrapper": "Wrapper",
    "desk.machine.sensors": "Sensors",
    "desk.machine.says.chamber.fixed": "fixed, {width_m} wide",
    "desk.machine.says.chamber.variable": "variable, {width_m} wide",
    "desk.machine.says.binding": "{kinds}",
    "desk.machine.says.wrapper": "{kind}, rolls: {dispensers}",
    "desk.machine.says.wrapper.none": "none",
    "desk.machine.says.sensors": "record {count} values a bale",
    "desk.column.job": "Job",
    "desk.column.status": "Status",
    "desk.column.layers": "Layers at the thinnest spot",
    "desk.column.wrap_turns": "Wrap turns",
    "desk.column.film_m": "Film in all (m)",
    "desk.column.film1_m": "Film, dispenser 1 (m)",
    "desk.column.film2_m": "Film, dispenser 2 (m)",
    "desk.column.binding_turns": "Binding turns",
    "desk.column.binding_m": "Binding (m)",
    "desk.column.gate_opening_mm": "Gate opening (mm)",
    "desk.column.chamber_bar": "Chamber pressure (bar)",
    "desk.column.diameter_m": "Diameter (m)",
    "desk.column.mass_kg": "Mass (kg)",
    "desk.column.moisture_frac": "Moisture",
    # bale book
    "desk.book.title": "Bale book",
    "desk.book.what": "Bales by customer, job and day; a day is the machine's own.",
    "desk.book.all": "All",
    "desk.book.customer": "Customer",
    "desk.book.job": "Job",
    "desk.book.machine": "Machine",
    "desk.book.day": "Day",
    "desk.book.since": "From",
    "desk.book.until": "To",
    "desk.book.until.wrong": "The last day lies before the first.",
    "desk.book.show": "Show",
    "desk.book.csv": "As CSV",
    "desk.book.sum": "{bales} bales",
    "desk.book.lines": "in {count} lines",
    "desk.book.bales": "Bales",
    "desk.book.ok": "To bill",
    "desk.book.burst": "Burst",
    "desk.book.tests": "Tests",
    "desk.book.rewrapped": "Wrapped again",
    "desk.book.mass": "Mass",
    "desk.book.weighed": "{weighed} of {bales} weighed",
    "desk.book.lifetimes": "Lifetime bales",
    "desk.book.lifetimes.what": "By the machines' own counters. They never go down.",
    "desk.book.empty": "No bales for this. Take records in, or ask for more.",
}
