"""Taking files in and the bale book, as the command line says them."""

from typing import Final

MESSAGES: Final = {
    "intake.taken": "{name}: taken in as {form}. {kept:bale|bales} and {events:event|events} kept.",
    "intake.already": "{name}: taken in before; nothing changed. What was noted then:",
    "intake.not_of": (
        "Not read again for {machine}: its bales stay under {machines}. Were they put there by "
        "mistake, only a backup from before brings that back; take one before you go on."
    ),
    "intake.refused": "{name}: refused, nothing of it was kept.",
    "intake.span": "Bales from {first} to {last} (UTC).",
    "intake.machines": "Machines: {machines}.",
    "intake.no_machine": "No machine is named.",
    "intake.unknown_machines": (
        "Machine not in the register: {machines}. The bales are kept; enter the machine to have "
        "its own days, its profile and its findings."
    ),
    "intake.refusals": "{refused} refused:",
    "intake.doubts": "{doubtful} kept with a doubt:",
    "intake.more": "and {more} more",
    "intake.group": "{count:time|times}: {reason}",
    "intake.group.column": "{count:time|times}, column {column}: {reason}",
    "intake.group.others": "{count} further ones, of many kinds",
    "intake.group.first": "first at {spots}",
    "intake.group.do": "Do: {cure}",
    "intake.machine": "{serial}: {count:bale|bales}",
    "intake.machine.events": "{count:event|events}",
    "intake.machine.numbers": "numbers {numbers}",
    "intake.machine.numbers.epoch": "{numbers} (control {epoch})",
    "intake.machine.days": "on {days:day|days}",
    "intake.machine.jobs": "jobs: {jobs}",
    "intake.machine.jobs.more": "{jobs} and {count} more",
    "intake.machine.new": "{count} new",
    "intake.machine.known": "{count} there already",
    "intake.machine.again": "{count:row|rows} of a bale given before in the file",
    "intake.machine.not_told": "how many are new was not told: too many for one file",
    "intake.machines.more": "{count} further machines",
    "intake.only_machine": "Only rows of {machine} were taken: its sender speaks of no other.",
    "intake.stopped": "{name}: stopped. Nothing of it was kept.",
    "intake.file_of": "file {number} of {count}: {name}",
    "intake.total": (
        "{files:file|files}: {taken} taken in, {already} known already, {refused} refused. "
        "{kept:bale|bales} and {events:event|events} kept; {lines:line|lines} refused, "
        "{doubtful} doubtful."
    ),
    "book.empty": (
        "The book is empty: nothing was taken in yet. Take a file in with "
        "`balewright take-in FILE`."
    ),
    "book.none": "No bales match.",
    "book.column.customer": "customer",
    "book.column.job": "job",
    "book.column.machine": "machine",
    "book.column.day": "day",
    "book.column.bales": "bales",
    "book.column.ok": "to bill",
    "book.column.burst": "burst",
    "book.column.tests": "tests",
    "book.column.rewrapped": "wrapped again",
    "book.column.mass": "mass",
    "book.total": "in all",
    "book.unknown": "unknown",
    "book.mass": "{mass_kg} of {weighed}",
    "book.column.lifetime": "lifetime bales",
    "book.lifetime.least": "at least {bales}",
    "book.column.counted": "counted here",
    "book.column.register": "register",
    "book.not_in_register": "machine not in the register: its days are UTC",
    "book.in_register": "known",
}
