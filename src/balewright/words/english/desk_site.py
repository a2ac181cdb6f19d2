"""The map of the desk on its help page: what each page is for."""

from typing import Final

MESSAGES: Final = {
    "desk.site.today": "what needs attention on your machines, most urgent first.",
    "desk.site.machines": (
        "one machine: its findings and work due, all its bales with where each value comes from, "
        "its counts, its settings, and what it would give: layers, keeping, pace, cost."
    ),
    "desk.site.sheet": (
        "a setup sheet for a machine, a crop, the ground and the rolls, with the reason for "
        "every setting, and an A5 card to print or send."
    ),
    "desk.site.intake": (
        "what machines hand over: dropped here, sent by a device, or from a folder; what was kept, "
        "refused and doubtful is told by reason, nothing is repaired in silence."
    ),
    "desk.site.columns": "what the columns of other programs' tables mean, said once.",
    "desk.site.senders": "tokens for devices that send a machine's records by themselves.",
    "desk.site.book": "bales by customer, job and day, as a table or a CSV file.",
    "desk.site.misplaced": "bales that lie in another job's field, and putting them right.",
    "desk.site.fields": "outlines of fields, from task data or added as GeoJSON.",
    "desk.site.rolls": "which bales have film or net of a batch, over all machines.",
    "desk.site.people": "who may sign in, and what each may do.",
    "desk.site.health": "whether everything that is kept is well, and how to mend what is not.",
    "desk.site.personal": "where personal data lies, how long originals are kept, erasing.",
}
