"""Published networks: the eight-node example, an alarm system, and printer troubleshooting."""

from __future__ import annotations

import numpy as np
import pytest

from balewright.cause.infer.arrays import Arrays
from balewright.cause.infer.posterior import infer
from balewright.cause.infer.sweep import sweep

from .elimination import posterior_of
from .libraries import ask_pgmpy, ask_pyagrum, published

# tuberculosis and lung cancer, before anything is known, and what follows from either of them
CHEST = Arrays([0.0104, 0.055], [0, 2], [0, 1], [1.0, 1.0], [0.0])


def _yes(name: str, *seen: str) -> float:
    """Chance that something is so in the chest clinic; seen: "xray", or "no xray"."""
    net = published("asia")
    told = {one.split()[-1]: "no" if one.startswith("no ") else "yes" for one in seen}
    answer = posterior_of(net.tables, net.told(told), name)
    return float(answer[net.state(name, "yes")])


@pytest.mark.published
@pytest.mark.check(model="elimination on the eight-node example", source="lauritzen-1988")
def test_the_eight_node_example_is_answered_as_published() -> None:
    """Lauritzen and Spiegelhalter's chest clinic: the marginals, and dyspnoea given smoking and
    the other way round."""
    for name, expected in (("tub", 0.0104), ("lung", 0.055), ("bronc", 0.45)):
        assert _yes(name) == pytest.approx(expected, abs=1e-15)
    assert _yes("either") == pytest.approx(0.064828, abs=5e-7)
    assert _yes("xray") == pytest.approx(0.11029, abs=5e-6)
    assert _yes("dysp") == pytest.approx(0.4359706, abs=5e-8)
    assert _yes("dysp", "smoke") == pytest.approx(0.552808, abs=5e-7)
    assert _yes("smoke", "dysp") == pytest.approx(0.6339968796, abs=5e-11)


@pytest.mark.derived
def test_the_eight_node_example_is_answered_as_going_through_all_states_does() -> None:
    """After a visit to Asia with dyspnoea, and with an X-ray that shows something or nothing."""
    asia = ("asia", "dysp")
    for name, expected in (("tub", 0.087751), ("lung", 0.099525), ("bronc", 0.811402)):
        assert _yes(name, *asia) == pytest.approx(expected, abs=5e-7)
    assert _yes("smoke", *asia) == pytest.approx(0.62592, abs=5e-6)
    for xray, expected in (
        ("xray", (0.391712, 0.444271, 0.628822)),
        ("no xray", (0.002249, 0.00255, 0.862761)),
    ):
        got = [_yes(name, xray, *asia) for name in ("tub", "lung", "bronc")]
        assert got == pytest.approx(expected, abs=5e-7)


@pytest.mark.published
@pytest.mark.check(model="noisy-OR of the eight-node example", source="lauritzen-1988")
def test_the_noisy_or_of_the_eight_node_example_is_answered_by_causes_and_links() -> None:
    """Tuberculosis or lung cancer is a noisy-OR of two causes: its published chance of 0.064828,
    and the X-ray's 0.11029, which shows it with 0.98 and otherwise something with 0.05."""
    assert sweep(CHEST, [1.0], [1.0], [0]).on_frac[0] == pytest.approx(0.064828, abs=5e-7)
    read = infer(CHEST, [0.98], [0.05])
    assert np.exp(read.log_evidence) == pytest.approx(0.11029, abs=5e-6)


@pytest.mark.reference
@pytest.mark.check(model="noisy-OR of the eight-node example", source="pyagrum")
@pytest.mark.check(model="noisy-OR of the eight-node example", source="pgmpy")
@pytest.mark.parametrize("xray", ["yes", "no"])
def test_an_x_ray_as_a_reading_says_what_the_whole_network_says(xray: str) -> None:
    """The X-ray as soft evidence on the noisy-OR: the posteriors of tuberculosis and lung cancer
    that two libraries get from the whole network with the X-ray seen, whichever way it came out.
    """
    net = published("asia")
    weights = {"yes": ([0.98], [0.05]), "no": ([0.02], [0.95])}[xray]
    got = infer(CHEST, *weights).posterior_frac
    for answer in (
        ask_pyagrum(net.pyagrum, net.told({"xray": xray}), ("tub", "lung")),
        ask_pgmpy(net.pgmpy, net.told({"xray": xray}), ("tub", "lung")),
    ):
        expected = [answer[one][net.state(one, "yes")] for one in ("tub", "lung")]
        assert got == pytest.approx(expected, abs=1e-12)


@pytest.mark.reference
@pytest.mark.check(model="elimination on published networks", source="pyagrum")
@pytest.mark.check(model="elimination on published networks", source="pgmpy")
@pytest.mark.parametrize(
    ("name", "seen", "asked"),
    [
        ("asia", {"dysp": "yes", "xray": "no"}, ("tub", "lung", "bronc", "smoke")),
        (
            "alarm",
            {"HRBP": "HIGH", "SAO2": "LOW", "PRESS": "HIGH"},
            ("LVFAILURE", "KINKEDTUBE", "INTUBATION", "HYPOVOLEMIA"),
        ),
        (
            "win95pts",
            {"Problem1": "No_Output", "PrtStatOff": "No_Error"},
            ("PrtOn", "PrtPaper", "NtwrkCnfg", "CblPrtHrdwrOK", "AppData", "PrtDriver"),
        ),
    ],
)
def test_published_networks_are_answered_as_by_two_libraries(
    name: str, seen: dict[str, str], asked: tuple[str, ...]
) -> None:
    """The chest clinic, the alarm system of an operating theatre, and printer troubleshooting: our
    elimination (the second opinion on random networks), pyAgrum and pgmpy agree to 1e-9, without
    evidence and with it."""
    net = published(name)
    for told in ({}, net.told(seen)):
        for answer in (ask_pyagrum(net.pyagrum, told, asked), ask_pgmpy(net.pgmpy, told, asked)):
            for one in asked:
                ours = posterior_of(net.tables, told, one)
                assert ours == pytest.approx(answer[one], abs=1e-9)
