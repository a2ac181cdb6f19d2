"""What the desk says round the values: places, headings, labels, hints, plain failures."""

from __future__ import annotations

from typing import Final

MESSAGES: Final = {
    # the frame
    "desk.frame.skip": "Skip to the content",
    "desk.frame.ways": "Main",
    "desk.frame.menu": "Menu of {name}",
    "desk.frame.signed_in": "Signed in as {name} ({role})",
    "desk.frame.theme": "Light or dark",
    "desk.frame.sign_out": "Sign out",
    "desk.frame.first": "The machine's own manual, local rules and a trained person come first.",
    "desk.frame.next": "Next 50",
    "desk.frame.previous": "Previous 50",
    "desk.frame.pages": "Pages",
    "desk.frame.page": "Page {page} of {pages}",
    "desk.frame.since": "since {day}",
    "desk.place.today": "Today",
    "desk.place.machines": "Machines",
    "desk.place.sheet": "Set up",
    "desk.place.intake": "Take in",
    "desk.place.book": "Book",
    # when something is not there
    "desk.failing.back": "Back to Today",
    "desk.failing.400.title": "The desk could not read that request",
    "desk.failing.400.text": (
        "Something in it is not what any page of the desk sends, or it was too large. "
        "Go back, load the page again and repeat the step."
    ),
    "desk.failing.403.title": "Your role does not include this",
    "desk.failing.403.text": (
        "Readers see. Technicians also take files in and make setup sheets. Managers also add "
        "machines and people. Ask a manager if you need more."
    ),
    "desk.failing.404.title": "There is nothing under this address",
    "desk.failing.404.text": (
        "The machine, sheet or page may have been renamed, or the address was cut off when it "
        "was passed on."
    ),
    "desk.failing.500.title": "The desk made a mistake",
    "desk.failing.500.text": (
        "Nothing you entered caused this, and what was kept before is still kept. Try once more; "
        "if it happens again, tell whoever runs the desk the time and what you did."
    ),
    "desk.failing.stale.title": "This form was open for too long",
    "desk.failing.stale.text": (
        "For safety a form is only good for one sign-in, and needs cookies. Go back, load the "
        "page again and send it once more. Nothing was changed."
    ),
    # sign in
    "desk.sign_in.title": "Sign in",
    "desk.sign_in.what": "Setup sheets, bale records and work due for your round baler-wrappers.",
    "desk.sign_in.name": "Name",
    "desk.sign_in.password": "Password",
    "desk.sign_in.do": "Sign in",
    "desk.sign_in.demo": "Go on as the demo manager",
    "desk.sign_in.wrong": "Name and password do not go together. Check both and try again.",
    "desk.sign_in.too_many": (
        "Too many failed tries. Wait a quarter of an hour, or ask a manager for a new password."
    ),
    "desk.sign_in.forgotten": "No account, or password forgotten? A manager adds and resets both.",
    # help
    "desk.help.title": "Help and cautions",
    "desk.help.harm.title": "Before anyone goes near a machine",
    "desk.help.harm.1": (
        "Stop the drive shaft, switch the engine off, take the key out and wait until "
        "everything stands still."
    ),
    "desk.help.harm.2": (
        "Knives, an open gate, oil under pressure and charged accumulators injure at rest too. "
        "Secure the gate before anybody goes under it."
    ),
    "desk.help.harm.3": (
        "A bale rolls. Never stand downhill of a machine that tips, and tip across the slope."
    ),
    "desk.help.harm.4": (
        "Never bridge an interlock or guard, not even for a moment and not for a test."
    ),
    "desk.help.harm.5": (
        "What stands on this desk is an estimate. The machine's own manual, local rules and a "
        "licensed or trained person come before it."
    ),
    "desk.help.pages.title": "What the pages are for",
    "desk.help.pages.today": "what needs attention on your machines, most urgent first.",
    "desk.help.pages.machines": "one machine: its counters, bales, findings and work due.",
    "desk.help.pages.sheet": (
        "a setup sheet for a machine, a crop, the ground and the rolls, with the reason for "
        "every setting, and an A5 card to print or send."
    ),
    "desk.help.pages.intake": (
        "task data or a bale CSV: what was kept, refused and doubtful is listed, nothing is "
        "repaired in silence."
    ),
    "desk.help.pages.book": "bales by customer, job and day, as a table or a CSV file.",
    "desk.help.roles.title": "Who may do what",
    "desk.help.limits.title": "What it cannot tell",
    "desk.help.limits.1": (
        "A value the machine does not sense is unknown here. It is never shown as zero."
    ),
    "desk.help.limits.2": (
        "Stretch worked out from metres is good to about 8 points; one dispenser against the "
        "other to about 2. Judge the ratio first."
    ),
    "desk.help.limits.3": (
        "Findings on film stand on physics and on simulated seasons until open records of "
        "round balers exist."
    ),
    "desk.help.licence.title": "Licence",
    "desk.help.licence.text": (
        "Balewright is free software under the Apache License 2.0, without warranty of any kind."
    ),
    # setup sheet
    "desk.sheet.title": "Setup sheet",
    "desk.sheet.what": "Say what will be baled and on what ground; the sheet follows as you type.",
    "desk.sheet.amount": "{name}, {unit}",
    "desk.sheet.machine": "Machine",
    "desk.sheet.of_fleet": "Machines of the fleet",
    "desk.sheet.of_make": "Any machine of a make",
    "desk.sheet.part.crop": "Machine and crop",
    "desk.sheet.part.ground": "Ground",
    "desk.sheet.part.rolls": "Rolls, as their labels say",
    "desk.sheet.crop": "Crop",
    "desk.sheet.moisture": "Moisture",
    "desk.sheet.moisture.hint": "Of the fresh mass: 62 means 38 % dry matter.",
    "desk.sheet.windrow": "Windrow",
    "desk.sheet.windrow.hint": "Fresh mass on a metre of row.",
    "desk.sheet.speed": "Speed",
    "desk.sheet.slope": "Slope",
    "desk.sheet.slope.hint": "Rise in metres on 100 m.",
    "desk.sheet.dusty": "Dusty",
    "desk.sheet.stony": "Stones",
    "desk.sheet.film": "Film",
    "desk.sheet.film_width": "Film width",
    "desk.sheet.film_thickness": "Film thickness",
    "desk.sheet.film_roll": "Film on a roll",
    "desk.sheet.stretch": "Pre-stretch",
    "desk.sheet.stretch.hint": "70 means that 1 m becomes 1.7 m.",
    "desk.sheet.net_roll": "Net on a roll",
    "desk.sheet.net_roll.hint": "Leave empty without net.",
    "desk.sheet.storage": "Storage",
    "desk.sheet.bales": "Bales",
    "desk.sheet.film_missing": (
        "A roll of film needs all of width, thickness, metres and pre-stretch. "
        "Leave all four empty when the job uses no film."
    ),
    "desk.sheet.show": "Show the sheet",
    "desk.sheet.keep": "Keep this sheet",
    "desk.sheet.keep.what": "A kept sheet can be opened again and is what bales are held against.",
    "desk.sheet.kept": "The sheet is kept.",
    "desk.sheet.card": "A5 card (PDF)",
    "desk.sheet.again": "Change and make again",
    "desk.sheet.cautions": "Cautions first",
    "desk.sheet.expected": "What to expect",
    "desk.sheet.settings": "Settings",
    "desk.sheet.col.setting": "Setting",
    "desk.sheet.col.value": "Set to",
    "desk.sheet.col.why": "Why",
    "desk.sheet.own_word": "on the machine: {word}",
    "desk.sheet.dial": "position {position}",
    "desk.sheet.allowed": "allowed {range}",
    "desk.sheet.sure.settled": "settled",
    "desk.sheet.sure.likely": "likely",
    "desk.sheet.sure.starting_point": "a starting point",
    "desk.sheet.sources": "Where these rules come from",
    "desk.sheet.group.drive": "Driving",
    "desk.sheet.group.chamber": "Chamber",
    "desk.sheet.group.knives": "Knives",
    "desk.sheet.group.binding": "Binding",
    "desk.sheet.group.film": "Film",
    "desk.sheet.group.tip": "Rolling and tipping",
    "desk.sheet.group.other": "Other",
    "desk.sheet.pace": "Pace",
    "desk.sheet.layers": "Layers at the thinnest spot",
    "desk.sheet.mass": "A bale weighs about",
    "desk.sheet.mass_range": "Mass, from and to",
    "desk.sheet.film_rolls": "Film rolls for {bales} bales",
    "desk.sheet.dry": "Dry matter",
    "desk.sheet.size": "Bale",
    "desk.sheet.density": "Density",
    "desk.sheet.cycle": "A bale every",
    "desk.sheet.held_back": "Held back by",
    "desk.sheet.short": "Round side short of layers",
    "desk.sheet.film": "Film",
    "desk.sheet.net": "Net",
    "desk.sheet.net_rolls": "Net rolls for {bales} bales",
    "desk.sheet.unknown": "What this sheet cannot tell",
    "desk.sheet.wrong": "The sheet cannot be made yet",
    "desk.sheet.waiting": "Fill in the fields; the sheet appears here.",
    "desk.sheet.up_to_date": "Sheet up to date.",
    "desk.sheet.none": "No sheet was kept for this machine yet.",
    "desk.sheet.made": "Made {when}",
    "desk.crop.grass_silage": "Grass silage",
    "desk.crop.haylage": "Haylage",
    "desk.crop.lucerne": "Lucerne silage",
    "desk.crop.hay": "Hay",
    "desk.crop.straw": "Straw",
    "desk.unit.percent": "%",
    "desk.unit.kg_m": "kg/m",
    "desk.unit.km_h": "km/h",
    "desk.unit.mm": "mm",
    "desk.unit.um": "µm",
    "desk.unit.m": "m",
    "desk.unit.months": "months",
    "desk.film.title": "Where the film lies",
    "desk.film.turn": "Drag it, or use the arrow keys, to turn the bale; Home shows the thin spot.",
    # today
    "desk.today.title": "Today",
    "desk.today.count": "{count} to look at, on {machines} of {fleet} machines. Most urgent first.",
    "desk.today.calm": "Nothing needs attention on any of {fleet} machines.",
    "desk.today.calm.text": (
        "What machines do not sense is not watched: each machine's page says what it cannot tell."
    ),
    "desk.today.no_fleet": "No machine is in the register yet.",
    "desk.today.begin": "Begin here",
    "desk.today.begin.text": (
        "Add a machine under the serial that its records carry, make a setup sheet for it, then "
        "take its records in. Findings and work due follow by themselves."
    ),
    "desk.weight.harm": "Harm",
    "desk.weight.cost": "Cost",
    "desk.weight.note": "Note",
    # machines
    "desk.machines.title": "Machines",
    "desk.machines.count": "{count} in the register.",
    "desk.machines.items": "{count} to look at",
    "desk.machines.calm": "Calm",
    "desk.machines.add": "Add a machine",
    "desk.machines.added": "{name} is in the register.",
    "desk.machines.serial": "Serial",
    "desk.machines.serial.hint": "As its records say it; it stays for ever.",
    "desk.machines.serial.wrong": "Use letters, digits, spaces, dots, hyphens and underscores.",
    "desk.machines.serial.taken": "A machine of this serial is in the register already.",
    "desk.machines.name": "Name",
    "desk.machines.profile_key": "Make",
    "desk.machines.zone": "Time zone",
    "desk.machines.zone.hint": "Says what counts as one day, for example Etc/UTC.",
    "desk.machines.zone.wrong": "No such time zone. Choose one of the list.",
    "desk.machines.customer": "Customer (may stay empty)",
    # people
    "desk.people.title": "People",
    "desk.people.who": "Who may use this desk",
    "desk.people.add": "Add or change a person",
    "desk.people.name": "Name",
    "desk.people.name.hint": "A known name is changed, a new one is added.",
    "desk.people.name.wrong": "Use letters, digits and . @ + - _ without spaces.",
    "desk.people.name.demo": "This name belongs to the demo. Choose another one.",
    "desk.people.role": "Role",
    "desk.people.role.hint": "Each role may do what the one before it may, and more.",
    "desk.people.role.own": "You cannot take the manager's role from yourself.",
    "desk.people.password": "Password",
    "desk.people.password.hint": "At least 8 characters. Leave empty to keep a known person's.",
    "desk.people.password.missing": "A new person needs a password.",
    "desk.people.do": "Save",
    "desk.people.saved": "{name} is saved.",
    "desk.role.reader": "Reader",
    "desk.role.technician": "Technician",
    "desk.role.manager": "Manager",
    "desk.role.none": "No role: sees nothing",
    # intake
    "desk.intake.title": "Take in",
    "desk.intake.what": (
        "Task data (a zip of the folder) or a bale CSV. Good rows are kept, refused ones are "
        "listed with their place and reason."
    ),
    "desk.intake.files": "Files",
    "desk.intake.files.hint": "Up to {count} at once. The same file twice changes nothing.",
    "desk.intake.do": "Take in",
    "desk.intake.none": "Choose at least one file.",
    "desk.intake.empty": "This file is empty. Choose the one the machine wrote.",
    "desk.intake.too_many": "At most {count} files at once. Send the others afterwards.",
    "desk.intake.too_large": (
        "{name} is larger than the desk takes. Use `balewright take-in` on the desk's computer."
    ),
    "desk.intake.recent": "On their way and just arrived",
    "desk.intake.ledger": "Everything taken in",
    "desk.intake.ledger.empty": "Nothing was taken in yet.",
    "desk.intake.col.file": "File",
    "desk.intake.col.when": "When (UTC)",
    "desk.intake.col.form": "Read as",
    "desk.intake.col.where": "Where",
    "desk.intake.col.stood": "What stood there",
    "desk.intake.col.why": "Why",
    "desk.intake.kept": "Bales kept",
    "desk.intake.events": "Events kept",
    "desk.intake.refused": "Refused",
    "desk.intake.refused.title": "What was refused",
    "desk.intake.doubtful": "Doubtful",
    "desk.intake.doubtful.title": "What was kept with a doubt",
    "desk.intake.machines": "Machines",
    "desk.intake.first": "The first {shown} of {total}.",
    "desk.intake.stage.waiting": "Waiting for its turn",
    "desk.intake.stage.copying": "Keeping the file as it came",
    "desk.intake.stage.reading": "Reading the file",
    "desk.intake.stage.writing": "Writing the journal",
    "desk.intake.stage.reviewing": "Looking for findings",
    "desk.intake.progress": "{done} of {total}",
    "desk.intake.progress.unknown": "{done} so far; how many there are is known at the end.",
    "desk.intake.state.done": "Done",
    "desk.intake.state.failed": "Failed",
    "desk.intake.state.refused": "Refused",
    "desk.intake.done": "Bales kept: {kept}. Refused: {refused}. Kept with a doubt: {doubtful}.",
    "desk.intake.already": "This file was taken in before. Nothing changed; this is its account.",
    "desk.intake.refused.whole": "The file was refused. Nothing of it was kept.",
    "desk.intake.failed": (
        "The desk made a mistake with this file, and kept nothing of it. What was there before "
        "is still there. Send it again; if that fails too, tell whoever runs the desk."
    ),
    "desk.intake.gone": "The uploaded file was no longer there. Send it again.",
    "desk.intake.unknown_machine": (
        "Bales of {serial} were kept, but no machine of that serial is in the register, so they "
        "are not reviewed yet."
    ),
    # one machine
    "desk.machine.make_sheet": "Make a setup sheet",
    "desk.machine.counters": "Counters",
    "desk.machine.lifetime": "Lifetime bales",
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
    "desk.machine.film.what": "As the sheet of the newest bale asks for it.",
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
    "desk.machine.says.sensors": "fills {count} columns",
    "desk.column.job": "Job",
    "desk.column.status": "Status",
    "desk.column.wrap_turns": "Wrap turns",
    "desk.column.film_m": "Film (m)",
    "desk.column.film1_m": "Film 1 (m)",
    "desk.column.film2_m": "Film 2 (m)",
    "desk.column.binding_turns": "Binding turns",
    "desk.column.binding_m": "Binding (m)",
    "desk.column.gate_opening_mm": "Gate opening (mm)",
    "desk.column.chamber_bar": "Pressure (bar)",
    "desk.column.diameter_m": "Diameter (m)",
    "desk.column.mass_kg": "Mass (kg)",
    "desk.column.moisture_frac": "Moisture",
    # bale book
    "desk.book.title": "Bale book",
    "desk.book.what": "Bales by customer, job and day. A day is the machine's own, by its time zone.",
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
