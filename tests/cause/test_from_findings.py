"""Findings as evidence: what stands, what does not, and what the records cannot say."""

from __future__ import annotations

from dataclasses import replace

import pytest
from tests.cause.knowledge.test_build import SAID, SMALL, WHY

from balewright.cause.evidence_value import NO, YES
from balewright.cause.from_findings import ENOUGH_BALES, findings_of, observe_findings
from balewright.cause.knowledge.build import build_network
from balewright.cause.network import Network
from balewright.findings.finding import Finding, FindingKind, Weight
from balewright.quantities.interval import Interval
from balewright.quantities.reason import Reason

pytestmark = pytest.mark.own


def a_finding(kind: FindingKind, measure: str, moved: float) -> Finding:
    """A finding that a chart told."""
    words = Reason("findings.any")
    plain = Finding("M", kind, Weight.COST, 1, 9, 0, 5, 9, None, None, "", (), None, words)
    return replace(plain, measure=measure, moved=Interval(moved, moved, moved))


def a_network(kind: str, *matches: tuple[str, str]) -> Network:
    """The small network with a finding that stands for these measures and ways."""
    entry = {
        **WHY,
        "system": "dispensers",
        "leak": 0.02,
        "words": SAID,
        "senses": ["film1_m"],
        "matches": [{"kind": kind, "measure": name, "way": way} for name, way in matches],
    }
    raw = {**SMALL, "finding": {**SMALL["finding"], "metres": entry}}
    return build_network(raw, "small")


def test_a_finding_speaks_and_silence_speaks_where_it_could_have_spoken() -> None:
    """The dispenser whose breaks rose says yes and its twin, of one matter, stays open; where
    nothing rose both say no; a column that is not recorded says nothing, nor do too few bales.
    """
    network = build_network(SMALL, "small")
    rose = a_finding(FindingKind.BREAKS_MORE, "film1_breaks", 0.02)
    columns = ("film1_breaks", "film2_breaks")
    none = {"breaks_at_1": NO, "breaks_at_2": NO}
    assert observe_findings(network, [rose], columns, ENOUGH_BALES) == {"breaks_at_1": YES}
    assert observe_findings(network, [], columns, ENOUGH_BALES) == none
    assert observe_findings(network, [], columns[:1], ENOUGH_BALES) == {"breaks_at_1": NO}
    assert observe_findings(network, [], columns, ENOUGH_BALES - 1) == {}
    fell = replace(rose, moved=Interval(-0.03, -0.02, -0.01))
    assert "breaks_at_1" not in observe_findings(network, [fell], columns, ENOUGH_BALES)


def test_what_another_finding_of_its_matter_hides_stays_open() -> None:
    """Of measures that move together one is told: the others' silence is no evidence."""
    network = a_network("metres moved", ("film1_stretch_ratio", "up"))
    other = a_finding(FindingKind.METRES_MOVED, "film2_stretch_ratio", -0.03)
    assert "metres" not in observe_findings(network, [other], ("film1_m",), ENOUGH_BALES)
    apart = a_finding(FindingKind.PRESSURE_MOVED, "knife_bar", -3.0)
    assert observe_findings(network, [apart], ("film1_m",), ENOUGH_BALES)["metres"] is NO


def test_a_column_a_finding_rests_on_is_enough() -> None:
    """Sensors that freeze have no measure; they are met by the column they rest on."""
    network = a_network("sensor frozen", ("film1_m", "either"))
    frozen = replace(a_finding(FindingKind.SENSOR_FROZEN, "", 0.0), evidence=("film1_m",))
    one = network.observation("metres")
    assert findings_of(one, [frozen]) == (frozen,)
    assert findings_of(one, [replace(frozen, evidence=("mass_kg",))]) == ()
