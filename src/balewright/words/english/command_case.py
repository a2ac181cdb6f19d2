"""Words of the command that keeps cases."""

from typing import Final

MESSAGES: Final = {
    "case.none": "No cases.",
    "case.column.key": "Case",
    "case.column.machine": "Machine",
    "case.column.state": "State",
    "case.column.proof": "Proof",
    "case.column.complaint": "What was said",
    "case.head": "{case}, machine {machine}: {state}",
    "case.reading": "{text}: {said}",
    "case.cause": "Cause found: {words}",
    "case.repair": "Done: {words}",
    "case.proof": "Cure: {outcome} (bales since the repair / needed: {why})",
    "case.odd": (
        "{conflicts:conflict|conflicts} between entries; {newer:entry|entries} of a newer version."
    ),
    "case.shared": (
        "{way} opens it until {until} UTC. Put the desk's address before it; nobody can be told "
        "it a second time."
    ),
    "case.printed": "Written to {file}.",
    "case.taken": (
        "{count:entry is|entries are} kept, {new} of them new; {photos:photo|photos}; cases: "
        "{cases}."
    ),
    "case.refused": "Not taken in, {place}: {reason}",
}
