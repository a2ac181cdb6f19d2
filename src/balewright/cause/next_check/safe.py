"""No step may leave its cautions undecided or contradict them."""

from __future__ import annotations

from typing import Final

from balewright.cause.network import Network
from balewright.plan.cautions import STOP_AND_LOCK
from balewright.quantities.errors import BadInput, Fault

_NONE: Final = "caution.none"


def refuse_unsafe(network: Network) -> None:
    """Raise BadInput for every check or repair that must not be asked for as it stands.

    Each needs its cautions decided; "nothing to be careful of" stands by itself or not at all; and
    what is done with the machine running cannot ask for it to be stopped and locked.
    """
    faults = []
    for cause in network.causes:
        faults += _undecided(f"cause {cause.key}, repair", cause.repair.cautions)
    for one in network.observations:
        if one.check is None:
            continue
        place = f"check {one.key}"
        faults += _undecided(place, one.check.cautions)
        if not one.check.at_rest and STOP_AND_LOCK in one.check.cautions:
            cure = "Let it be done at rest, or take the caution out if nobody comes near."
            faults.append(Fault(place, "at rest where it is stopped and locked", "running", cure))
    if faults:
        raise BadInput(*faults)


def _undecided(place: str, cautions: tuple[str, ...]) -> list[Fault]:
    if not cautions or (_NONE in cautions and len(cautions) > 1):
        cure = "Name what comes first, or that nothing does."
        return [Fault(f"{place}, cautions", "a decision", ", ".join(cautions) or "none", cure)]
    return []
