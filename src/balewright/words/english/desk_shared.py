"""What the desk says round links to a sheet and the answers people give to it."""

from __future__ import annotations

from typing import Final

MESSAGES: Final = {
    # the page behind a link
    "desk.shared.valid_until": "Valid until",
    "desk.shared.may_end": (
        "Whoever sent this link can withdraw it sooner; without signal this page cannot know."
    ),
    "desk.shared.is_kept": "Kept on this phone: it opens here without signal too.",
    "desk.shared.no_keeping": (
        "This browser does not keep the page for when there is no signal. Save the file or the "
        "card before you drive off."
    ),
    "desk.shared.file": "Save as a file",
    "desk.shared.from_kept": "No signal: this is the copy kept on this phone on",
    "desk.shared.from_kept.what": "It may have been withdrawn since.",
    "desk.shared.over.title": "This link opens nothing",
    "desk.shared.over.text": (
        "It is over, was withdrawn, or was cut off when it was passed on. Ask whoever sent it "
        "for a new one. Do not work by a copy that was withdrawn."
    ),
    "desk.shared.too_often.title": "Too many at once",
    "desk.shared.too_often.text": "Wait a minute, then load the page again.",
    # answers
    "desk.feedback.title": "What operators said",
    "desk.feedback.ask": "How did this sheet work?",
    "desk.feedback.what": "One tap is enough. It goes to whoever made the sheet; no name is asked.",
    "desk.feedback.what.desk": "One tap is enough. Your name stands beside what you say.",
    "desk.feedback.worked": "Worked",
    "desk.feedback.did_not": "Did not work",
    "desk.feedback.changed": "Changed something",
    "desk.feedback.more": "Say what you changed, or more",
    "desk.feedback.outcome": "How it went",
    "desk.feedback.line": "Setting {number}",
    "desk.feedback.line.none": "none",
    "desk.feedback.value": "Set to",
    "desk.feedback.text": "In your words",
    "desk.feedback.text.hint": "Up to 500 characters: what the machine did. No names, please.",
    "desk.feedback.send": "Send",
    "desk.feedback.sent": "It has arrived. Thank you.",
    "desk.feedback.queued": "No signal. It waits on this phone and is sent once there is.",
    "desk.feedback.over": "The link has ended since, so this could not be sent.",
    "desk.feedback.waiting.one": "1 answer waits for signal",
    "desk.feedback.waiting.many": "# answers wait for signal",
    "desk.feedback.fault": "Needs {need}. {cure}",
    "desk.feedback.none": "Nobody said anything about this sheet yet.",
    "desk.feedback.bales": "Bales made by it",
    "desk.feedback.burst": "{bales} of them burst",
    "desk.feedback.days": "{first} to {last}",
    "desk.feedback.changes": "Set otherwise",
    "desk.feedback.newest": "Newest",
    "desk.feedback.by_link": "by the link",
    "desk.feedback.set_to": "{name}: {value}",
    "desk.feedback.instead": "{name}: {value} instead of {planned}",
    "desk.feedback.times": "{what} ({times}×)",
    "desk.feedback.open_sheet": "Open this sheet",
    # links of a sheet
    "desk.links.title": "Links to this sheet",
    "desk.links.share": "Share by link",
    "desk.links.what": (
        "Whoever has the link reads this one sheet and can answer to it, without an account. "
        "They see nothing else of the desk."
    ),
    "desk.links.new": "New link",
    "desk.links.days": "Opens for, days",
    "desk.links.days.hint": "1 to 365. It can be withdrawn sooner.",
    "desk.links.note": "A word above the sheet",
    "desk.links.note.hint": "Everybody with the link reads it. Leave it empty to say nothing.",
    "desk.links.names_machine": "Say the machine's name and serial",
    "desk.links.names_machine.hint": "Left out otherwise. Customer and place are never on it.",
    "desk.links.do": "Make the link",
    "desk.links.made": "The link is made",
    "desk.links.made.once": (
        "Copy it or have it scanned now: only a fingerprint of it is kept, so nobody can show it "
        "again. Another one can be made at any time."
    ),
    "desk.links.code": "The link as a code for a phone's camera",
    "desk.links.copy": "Copy",
    "desk.links.copied": "Copied",
    "desk.links.try": "Open it",
    "desk.links.near": (
        "This desk answers on this computer alone, so the link opens nowhere else. "
        "The documentation says how to put it behind a proxy that speaks HTTPS."
    ),
    "desk.links.open": (
        "This desk is not reached over HTTPS: others on the way can read the link, and phones "
        "cannot keep the page for when there is no signal."
    ),
    "desk.links.all": "Links so far",
    "desk.links.none": "No link was made for this sheet yet.",
    "desk.links.state.good": "opens",
    "desk.links.state.over": "over",
    "desk.links.state.withdrawn": "withdrawn",
    "desk.links.made_by": "Made {day} UTC by {name}",
    "desk.links.until": "Opens until {day} UTC",
    "desk.links.opened": "Opened {times} times",
    "desk.links.opened.one": "Opened once",
    "desk.links.opened.never": "Not opened yet",
    "desk.links.opened.what": (
        "Only the number is kept, of people and of programs that look at links in messages alike; "
        "no addresses."
    ),
    "desk.links.names": "says the machine's name",
    "desk.links.withdraw": "Withdraw",
    "desk.links.withdraw.this": "Withdraw the link made {day} UTC",
    "desk.links.withdrawn.done": "The link is withdrawn. It opens nothing from now on.",
}
