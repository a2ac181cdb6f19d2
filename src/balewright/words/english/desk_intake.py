"""What the desk says round taking files in: sending, stopping, going on, the report."""

from __future__ import annotations

from typing import Final

MESSAGES: Final = {
    "desk.intake.title": "Take in",
    "desk.intake.what": (
        "Task data (its folder, or a zip of it), tables of any program, recordings of the bus. "
        "Good rows are kept, refused ones are listed with their place and reason."
    ),
    "desk.intake.files": "Files",
    "desk.intake.files.hint": "Up to {count} at once. The same file twice changes nothing.",
    "desk.intake.drop": "Drop files or a task-data folder here, or choose them below.",
    "desk.intake.folder": "Choose a folder",
    "desk.intake.more_said": "Say what the files do not say themselves",
    "desk.intake.machine": "Whose are they?",
    "desk.intake.machine.none": "The file says it",
    "desk.intake.machine.hint": "Only for rows that name no machine.",
    "desk.intake.map": "By which column map?",
    "desk.intake.map.none": "The one its headings fit",
    "desk.intake.map.hint": "Only for tables of other programs.",
    "desk.intake.begins": "When did the recording begin?",
    "desk.intake.begins.hint": "Only for a trace of a bus that does not say it, by the clock of "
    "the machine chosen above (UTC without one).",
    "desk.intake.do": "Take in",
    "desk.intake.none": "Choose at least one file.",
    "desk.intake.empty": "This file is empty. Choose the one the machine wrote.",
    "desk.intake.too_many": "At most {count} files at once. Send the others afterwards.",
    "desk.intake.too_large": (
        "{name} is larger than the desk takes. Use `balewright take-in` on the desk's computer."
    ),
    # while files are sent
    "desk.intake.sending": "Being sent",
    "desk.intake.sending.yours": "Your files",
    "desk.intake.sending.stays": "Keep this page open until everything has been sent.",
    "desk.intake.sending.queued": "Not sent yet",
    "desk.intake.sending.packing": "Packing the folder",
    "desk.intake.sending.going_on": "Going on where it broke off",
    "desk.intake.sending.broken": "The line broke. Trying again",
    "desk.intake.sending.given_up": (
        "The line stays broken. What came is kept: choose the same file again and it goes on."
    ),
    "desk.intake.sending.failed": "The desk did not take it.",
    "desk.intake.sending.too_many": "Left out: more files than the desk takes at once.",
    "desk.intake.stop": "Stop",
    "desk.intake.stopping": "Stopping",
    "desk.intake.stopped": "Stopped. Nothing of it was kept.",
    "desk.intake.unknown_table": (
        "Its columns are not known here yet. See the report, and say there what they mean."
    ),
    "desk.intake.see": "See the report",
    "desk.intake.broken_off": "Broken off on the way",
    "desk.intake.broken_off.what": (
        "Choose the same file again and it goes on where it stopped. What nobody goes on with is "
        "thrown away after {days} days."
    ),
    "desk.intake.broken_off.share": "{share} % has come.",
    "desk.intake.broken_off.forget": "Throw away",
    "desk.intake.recent": "On their way and just arrived",
    "desk.intake.stage.waiting": "Waiting for its turn",
    "desk.intake.stage.copying": "Keeping the file as it came",
    "desk.intake.stage.reading": "Reading the file",
    "desk.intake.stage.writing": "Writing the journal",
    "desk.intake.stage.reviewing": "Looking for findings",
    "desk.intake.progress": "{share} %",
    "desk.intake.progress.unknown": "{done} so far; how many there are is known at the end.",
    "desk.intake.state.done": "Done",
    "desk.intake.state.failed": "Failed",
    "desk.intake.state.refused": "Refused",
    "desk.intake.state.stopped": "Stopped",
    # the report
    "desk.intake.ledger": "Everything taken in",
    "desk.intake.ledger.empty": "Nothing was taken in yet.",
    "desk.intake.col.file": "File",
    "desk.intake.col.when": "When (UTC)",
    "desk.intake.col.form": "Read as",
    "desk.intake.col.where": "Where",
    "desk.intake.col.stood": "What stood there",
    "desk.intake.col.machine": "Machine",
    "desk.intake.col.bales": "Bales",
    "desk.intake.col.new": "New",
    "desk.intake.col.known": "There already",
    "desk.intake.col.again": "Given again",
    "desk.intake.col.numbers": "Numbers",
    "desk.intake.col.days": "Days",
    "desk.intake.col.jobs": "Jobs",
    "desk.intake.kept": "Bales kept",
    "desk.intake.events": "Events kept",
    "desk.intake.refused": "Refused",
    "desk.intake.refused.title": "What was refused, by reason",
    "desk.intake.doubtful": "Doubtful",
    "desk.intake.doubtful.title": "What was kept with a doubt",
    "desk.intake.machines": "What it holds, machine by machine",
    "desk.intake.machines.more": "And {count} further machines.",
    "desk.intake.numbers.epoch": "{numbers} (control {epoch})",
    "desk.intake.jobs.more": "{jobs} and {count} more",
    "desk.intake.group.count": "{count:time|times}",
    "desk.intake.group.column": "column {column}",
    "desk.intake.group.others": "Further ones, of many kinds",
    "desk.intake.one_by_one": "The first {shown} one by one",
    "desk.intake.json": "Save the report as JSON",
    "desk.intake.done": "Bales kept: {kept}. Refused: {refused}. Kept with a doubt: {doubtful}.",
    "desk.intake.already": "This file was taken in before. Nothing changed; this is its account.",
    "desk.intake.not_of": (
        "Not read again for {machine}: its bales stay under {machines}. Were they put there by "
        "mistake, only a backup from before brings that back."
    ),
    "desk.intake.only_machine": (
        "Only rows of {serial} were taken: its sender speaks of no other machine."
    ),
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
    "desk.intake.unknown_machine.more": "So it is with {count} further machines.",
}
