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
        "Readers see, and say how a sheet worked. Technicians also take files in, make and share "
        "setup sheets and keep a machine's settings. Managers also add machines and people, and "
        "let devices send. "
        "Ask a manager if you need more."
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
    "desk.help.weights.title": "How much it matters",
    "desk.help.weights.harm": "spoils feed or can hurt: stop it now.",
    "desk.help.weights.cost": "costs film, net, time or wear as long as it goes on.",
    "desk.help.weights.note": "keeps the book right, or can wait for the next visit.",
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
}
