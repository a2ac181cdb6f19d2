"""Since how many bales a machine is known to be free of a cause: base rates count from there."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from balewright.cause.network import Cause, Network
from balewright.records.events import Event, EventKind


@dataclass(frozen=True)
class PutRight:
    """That a cause was put right on a machine. run_bales: bales made since, 0 or more."""

    cause: str
    run_bales: float


def known_free(
    network: Network, events: Iterable[tuple[Event, float]], put_right: Sequence[PutRight] = ()
) -> Mapping[str, float]:
    """Bales run since each cause was last known not to be there, by its key; only what is known.

    events: each with the bales made since it; put_right: repairs with a proved cure. Turned knives
    end what names them in `ended_by`; a part replaced ends the causes whose repair needs that part
    and no other.
    """
    found: dict[str, float] = {}
    for one in put_right:
        found[one.cause] = min(one.run_bales, found.get(one.cause, one.run_bales))
    for event, run_bales in events:
        for cause in network.causes:
            if _ends(event, cause):
                found[cause.key] = min(run_bales, found.get(cause.key, run_bales))
    return found


def _ends(event: Event, cause: Cause) -> bool:
    if event.kind is EventKind.PART_REPLACED:
        return bool(event.item) and cause.repair.parts == (event.item,)
    return event.kind.value in cause.ended_by
