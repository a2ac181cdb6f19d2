"""What stands on the case page of a phone."""

from __future__ import annotations

from typing import Final

_PHONE: Final = {
    "title": "Case",
    "no_script": "This page works with scripts alone. Allow them, or enter the case at the desk.",
    "known": "Known so far",
    "seen.yes": "yes",
    "seen.no": "no",
    "seen.unknown": "cannot tell",
    "seen.skipped": "skipped",
    "first": "First",
    "who.operator": "Whoever drives can do this",
    "who.technician": "For a technician",
    "who.workshop": "For a workshop",
    "minutes": "About # min",
    "tools": "Tools",
    "risks": "Mind",
    "reading": "Reading",
    "reading.use": "Take this reading",
    "reading.wrong": "Write a number.",
    "yes": "Yes",
    "no": "No",
    "cannot_tell": "Cannot tell",
    "skip": "Skip",
    "back": "Back: take the last answer back",
    "likely": "Most likely",
    "deed.repair": "Put this right",
    "deed.send": "Somebody has to come",
    "deed.swap": "Another machine instead is the better way now",
    "deed.ask": "Ask somebody who knows more: nothing here is worth trying further",
    "deed.nothing": "Nothing was seen that wants explaining",
    "parts": "Parts",
    "ends": "The questions kept on this phone end here. With a signal they go on.",
    "more": "Load the next questions",
    "no_tree": "What is known fits no questions kept here. Enter what you see and do below.",
    "this_was_it": "This was it",
    "cause": "Enter the cause",
    "cause.words": "What it was, in your own words",
    "repair": "Enter a repair",
    "repair.words": "What was done",
    "repair.parts": "Parts put in, one a line; a count in front where it is not 1",
    "repair.minutes": "Minutes of work",
    "repair.travel": "Minutes on the road",
    "repair.at_bale": "Bale number on the machine's counter now",
    "repair.at_bale.hint": "It says from which bale on the repair has to show.",
    "note": "Enter a note",
    "note.words": "Note",
    "photo": "Add a photo",
    "photo.file": "Photo",
    "photo.words": "What it shows",
    "photo.position": "Keep where it was taken, if the photo says so",
    "photo.wrong": "This photo could not be read. Take it again, or choose another one.",
    "photo.place_lost": "This photo is too large to go with its place: it was kept without.",
    "photo.lost": "Without room on this phone, photos are lost once the page is closed.",
    "keep": "Enter",
    "close": "Close the case",
    "close.words": "What remains to be said",
    "closed": "This case is closed.",
    "log": "Entered on this phone",
    "log.withdrawn": "taken back",
    "log.sent": "sent",
    "by": "Your name",
    "by.hint": "It stands beside what you enter. It may stay empty.",
    "waiting.none": "Nothing waits to be sent",
    "waiting.one": "# entry waits for signal",
    "waiting.many": "# entries wait for signal",
    "refused": "Not taken by the desk",
    "over": (
        "This link is over or was withdrawn. What was not sent stays on this phone: save it as a "
        "file and hand it in at the desk."
    ),
    "export": "Save what was not sent as a file",
    "export.all": "Save all entries of this phone as a file",
    "save_page": "Save this page as a file",
    "no_keeping": (
        "This browser does not keep the page for when there is no signal. Save the page as a file "
        "before you drive off: it guides without signal, and saves what you enter as a file."
    ),
    "saved_page": (
        "This is a saved page: it sends nothing by itself. Save what you entered as a file and "
        "hand it in at the desk."
    ),
    "not_stored": "This browser stores nothing: what you enter is lost once the page is closed.",
    "rescue": "Entries of this case that were not sent are on this phone",
}

MESSAGES: Final = {f"desk.case_phone.{name}": text for name, text in _PHONE.items()}
