"""Originals' retention, personal data: where it lies, erasing it, who looked."""

from __future__ import annotations

from typing import Final

MESSAGES: Final = {
    "originals.kept": "Originals kept: {contents}, {size_bytes}.",
    "originals.for_good": (
        "They are kept for good. Set a rule with `balewright originals --keep DAYS`."
    ),
    "originals.rule": (
        "They are kept for {days} days; without its original a bale stays, but can no longer be "
        "traced."
    ),
    "originals.let_go": "Let go: {count}.",
    "originals.due": (
        "Older than the rule: {count}, {due_bytes}. `balewright originals --let-go` removes them."
    ),
    "desk.personal.holds.customer": "customer",
    "desk.personal.holds.operator": "operator",
    "desk.personal.holds.position": "position",
    "desk.personal.holds.account": "who did it here",
    "desk.personal.holds.written": "what people wrote",
    "desk.personal.holds.photo": "photos",
    "desk.personal.holds.any": "whatever it holds",
    "desk.personal.leaves.erased": "by erasing",
    "desk.personal.leaves.rule": "by the rule of originals, or by erasing",
    "desk.personal.leaves.file": "by removing the file",
    "desk.personal.leaves.by_hand": "by hand",
    "desk.personal.nothing": "Nothing is held.",
    "personal.held": "Held:",
    "personal.erased": "Erased:",
    "personal.originals": (
        "Original files that hold it and would go too: {count}. Their bales stay, but can no "
        "longer be traced."
    ),
    "personal.originals_gone": (
        "Original files that held it and went too: {count}. Their bales stay, but can no longer "
        "be traced."
    ),
    "personal.totals": "Erasing (`--erase`) changes no total. It cannot be taken back.",
    "personal.backups": (
        "Totals are what they were. Earlier backups still hold it: remove them, or erase again "
        "after restoring one."
    ),
    "desk.personal.title": "Personal data",
    "desk.personal.what": (
        "Where it lies, how long originals are kept, what is held of somebody, and erasing it."
    ),
    "desk.personal.where": "Where it lies",
    "desk.personal.col.kind": "What it may be",
    "desk.personal.col.place": "Where",
    "desk.personal.col.leaves": "How it leaves",
    "desk.personal.originals": "Originals",
    "desk.personal.originals.kept": "Kept: {contents}, {size_bytes}.",
    "desk.personal.originals.due": "Older than the rule: {count}, {due_bytes}.",
    "desk.personal.days": "Keep files as they came for so many days",
    "desk.personal.days.hint": "From 30 days; empty keeps them for good.",
    "desk.personal.days.wrong": "Give whole days from 30 to 36500, or nothing.",
    "desk.personal.days.do": "Set the rule",
    "desk.personal.days.set": "The rule is set. Nothing was removed yet.",
    "desk.personal.let_go": "Remove what is older",
    "desk.personal.let_go.done": "Let go: {count}. Their bales stay.",
    "desk.personal.ask": "What is held of somebody",
    "desk.personal.kind": "Of whom or what",
    "desk.personal.kind.operator": "an operator",
    "desk.personal.kind.customer": "a customer",
    "desk.personal.kind.positions": "where bales lie (a machine's serial; empty for all)",
    "desk.personal.kind.case": "a case: its words, names and photos (its key stands on its page)",
    "desk.personal.kind.account": "who worked here (the name they sign in with)",
    "desk.personal.subject": "Name",
    "desk.personal.subject.hint": "Written as the records have it.",
    "desk.personal.subject.wrong": "Write the name as the records have it.",
    "desk.personal.before": "Only bales made before",
    "desk.personal.before.hint": "For positions. A day, in UTC; empty takes all.",
    "desk.personal.ask.do": "Look",
    "desk.personal.found": "Held of {subject}",
    "desk.personal.found.all": "Held of every machine's positions",
    "desk.personal.col.count": "How many",
    "desk.personal.erase": "Erase it",
    "desk.personal.sure": (
        "It cannot be taken back. Totals stay as they are; original files that hold it go too. "
        "Write ERASE to go on."
    ),
    "desk.personal.erase.word": "ERASE",
    "desk.personal.erase.wrong": "Write ERASE in capitals, or leave the page.",
    "desk.personal.done": "Erased. Totals are what they were. Earlier backups still hold it.",
    "desk.personal.log": "What was erased, and who looked",
    "desk.personal.log.none": "Nothing was erased and nobody looked yet.",
    "desk.personal.log.erased": "Erased: {kind}",
    "desk.personal.log.looked": "{deed}: {subject}",
    "desk.personal.col.when": "When (UTC)",
    "desk.personal.col.who": "Who",
    "desk.personal.col.deed": "What",
    "desk.personal.command_line": "command line",
}
