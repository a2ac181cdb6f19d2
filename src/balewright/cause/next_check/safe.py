"""No step may leave its cautions undecided."""

from __future__ import annotations

from typing import Final

from balewright.cause.network import Network
from balewright.quantities.errors import BadInput, Fault

_NONE: Final = "caution.none"


def refuse_unsafe(network: Network) -> None:
    """Raise BadInput for every check or repair that must not be asked for as it stands.

    Each needs its cautions decided; "nothing to be careful of" stands by itself or not at all.
    """
    faults = []
    for cause in network.causes:
        faults += _undecided(f"cause {cause.key}, repair", cause.repair.cautions)
    for one in network.observations:
        if one.check is not None:
            faults += _undecided(f"check {one.key}", one.check.cautions)
    if faults:
        raise BadInput(*faults)


def _undecided(place: str, cautions: tuple[str, ...]) -> list[Fault]:
    if not cautions or (_NONE in cautions and len(cautions) > 1):
        cure = "Name what comes first, or that nothing does."
        return [Fault(f"{place}, cautions", "a decision", ", ".join(cautions) or "none", cure)]
    return []
