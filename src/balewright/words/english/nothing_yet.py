"""Where there is nothing yet: what the command line says, and how to begin."""

from typing import Final

MESSAGES: Final = {
    "command.findings.no_machine": (
        "No machine is in the register, so nothing can be found: add it at the desk "
        "(`balewright serve`), or see an invented fleet with `balewright demo`."
    ),
    "intake.holds_nothing": "It holds no bale and no event.",
}
