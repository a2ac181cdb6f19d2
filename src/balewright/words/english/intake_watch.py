"""A watched folder, as the command line says it: one line a file."""

from typing import Final

MESSAGES: Final = {
    "watch.begun": "Watching {folder}. Ctrl-C ends it.",
    "watch.taken": (
        "{name}: taken in; {kept:bale|bales} ({new} new), {events:event|events}, {refused} "
        "refused, {doubtful} doubtful."
    ),
    "watch.new_unknown": "not told how many",
    "watch.already": "{name}: taken in before; nothing changed.",
    "watch.refused": "{name}: refused, nothing of it was kept. {why}",
    "watch.not_taken": "{name}: could not be taken in, and is tried again later. {why}",
    "watch.moved": "Moved to {to}.",
    "watch.grows": "{name}: still growing, left for the next time.",
}
