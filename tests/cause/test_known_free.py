"""Base rates count from where a machine was last known free of a cause."""

from __future__ import annotations

from dataclasses import replace

import pytest

from balewright.cause.known_free import PutRight, known_free
from balewright.readers.fault_network import shipped_network
from balewright.records.events import Event, EventKind

pytestmark = pytest.mark.own


def test_what_ends_a_cause_starts_its_count_anew() -> None:
    """Turned knives, the one part its repair needs, and a proved cure; the last of them counts. A
    part that is one of several a repair needs proves nothing.
    """
    network = shipped_network()
    turned = Event("M", EventKind.KNIVES_TURNED, 10)
    part = next(one for one in network.causes if len(one.repair.parts) == 1)
    several = next(one for one in network.causes if len(one.repair.parts) > 1)
    events = [
        (turned, 900.0),
        (turned, 40.0),
        (Event("M", EventKind.PART_REPLACED, 10, item=part.repair.parts[0]), 70.0),
        (Event("M", EventKind.PART_REPLACED, 10, item=several.repair.parts[0]), 70.0),
    ]
    found = known_free(network, events, [PutRight("oil_low", 25.0), PutRight("oil_low", 800.0)])
    assert found["knives_blunt"] == 40.0
    assert found[part.key] == 70.0
    assert several.key not in found
    assert found["oil_low"] == 25.0


@pytest.mark.law
def test_the_longer_it_ran_the_likelier_it_is_back() -> None:
    """Nothing has arisen in no bales; the chance grows with them, to that of nobody knowing."""
    for cause in shipped_network().causes:
        grown = [cause.prior_frac(bales) for bales in (0.0, 10.0, 100.0, cause.stays_bales)]
        assert grown[0] == 0.0
        assert grown == sorted(grown) or cause.stays_bales < 100.0
        assert grown[-1] == cause.prior_frac() == cause.prior_frac(1e9)
        assert 0.0 < cause.prior_frac() < replace(cause, arises_per_1000=100.0).prior_frac()
