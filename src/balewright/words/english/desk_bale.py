"""The desk's pages of a machine's bales and of one bale."""

from __future__ import annotations

from typing import Final

MESSAGES: Final = {
    "desk.machine.all_bales": "All bales",
    "desk.bale.list.title": "Bales",
    "desk.bale.list.total": "bales: {count}",
    "desk.bale.list.number": "Number",
    "desk.bale.list.day": "Day",
    "desk.bale.list.job": "Job",
    "desk.bale.list.any": "all",
    "desk.bale.list.show": "Show",
    "desk.bale.list.bale": "Bale",
    "desk.bale.list.when": "When",
    "desk.bale.list.files": "Files",
    "desk.bale.list.none": "No bale is recorded for that.",
    "desk.bale.title": "Bale {number}",
    "desk.bale.title.nameless": "A bale without a number",
    "desk.bale.key": "key {named}",
    "desk.bale.counts": "counts in the book",
    "desk.bale.counts_not": "not a bale of its own",
    "desk.bale.is_pass": "a further pass over the wrapper",
    "desk.bale.repeated": (
        "One file gives this bale more than once. The first counts; the others stand beside it."
    ),
    "desk.bale.sources": "Where it is recorded",
    "desk.bale.sources.one": "One row of one file tells of this bale.",
    "desk.bale.sources.more": (
        "{count} rows tell of this bale. It is one bale; the first row counts, the others fill "
        "what it does not know."
    ),
    "desk.bale.source.knows": "values: {count}",
    "desk.bale.at.line": "line {at}",
    "desk.bale.at.row": "row {at}",
    "desk.bale.at.byte": "byte {at}",
    "desk.bale.at.message": "message {at}",
    "desk.bale.at.none": "row {at} of those kept; its place in the file was not noted",
    "desk.bale.group.which": "Which bale",
    "desk.bale.group.times": "Times",
    "desk.bale.group.bale": "The bale itself",
    "desk.bale.group.wrapping": "Binding and film",
    "desk.bale.group.work": "Machine and ground",
    "desk.bale.col.what": "What",
    "desk.bale.col.counts": "Counts",
    "desk.bale.col.others": "What others say, and why this counts",
    "desk.bale.unknown": "not known",
    "desk.bale.differ": "differ",
    "desk.bale.same": "the same",
    "desk.bale.why.same": "all that say it agree",
    "desk.bale.why.more_known": "counts because its row knows more of this bale",
    "desk.bale.why.lower_hash": "counts because of two rows that know as much one must",
    "desk.bale.why.same_file": "counts because it comes first in its file",
    "desk.bale.why.corrected": "put right by a person",
    "desk.bale.corrected.tag": "corrected",
    "desk.bale.corrections": "Corrections",
    "desk.bale.corrections.none": "None. What the files say counts.",
    "desk.bale.back": "Take back",
    "desk.bale.back.why": "Why it is taken back",
    "desk.bale.back.unsaid": "no reason given",
    "desk.bale.back.tag": "taken back",
    "desk.bale.back.said": "Taken back:",
    "desk.bale.back.done": "Taken back. What the files say counts again.",
    "desk.bale.back.gone": "That correction was taken back already.",
    "desk.bale.corrected": "Corrected. What the files say stays beside it.",
    "desk.bale.form": "Put a value right",
    "desk.bale.form.what": (
        "It counts from now on in the book and in findings. The record itself stays."
    ),
    "desk.bale.form.column": "What",
    "desk.bale.form.value": "What should stand there",
    "desk.bale.form.value.hint": (
        "In the unit of its name: metres, kilograms, shares such as 0.55 for 55 %, a time such as "
        "2031-06-14T09:30:00Z. Empty says that it is not known."
    ),
    "desk.bale.form.why": "How it is known",
    "desk.bale.form.why.hint": "A few words, such as: weighbridge ticket 118.",
    "desk.bale.form.do": "Correct",
    "desk.bale.form.fault": "{fault}",
}
