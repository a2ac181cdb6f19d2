"""Words of the command that asks for causes."""

from typing import Final

MESSAGES: Final = {
    "causes.column.key": "Key",
    "causes.column.words": "Says",
    "causes.column.check": "Check",
    "causes.column.asks": "Asks",
    "causes.column.who": "Who",
    "causes.column.on": "Shows a fault",
    "causes.column.saves": "Saves",
    "causes.column.moves": "Moves",
    "causes.nothing_heard": "None of these words is known here. `--list reports` has all of them.",
    "causes.behind": "behind it with {behind_frac}",
    "causes.kit": "Take along: {kit}. That covers {covers_frac}.",
    "causes.deed.check": "Next, {who}:",
    "causes.deed.repair": "Next, {who}:",
    "causes.deed.send": "Next, send a {who}:",
    "causes.deed.swap": "Next:",
    "causes.deed.ask": "Next:",
    "causes.deed.nothing": "Next:",
}
