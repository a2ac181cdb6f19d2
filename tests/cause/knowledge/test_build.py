"""A fault network's files: what they must say, and that every fault of theirs is told at once."""

from __future__ import annotations

import json
import math
from collections.abc import Iterator
from contextlib import suppress
from copy import deepcopy
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from balewright.cause.facts import FACTS, machine_facts
from balewright.cause.knowledge.build import build_network
from balewright.cause.network import Kind, Reading, Way
from balewright.quantities.errors import BadInput
from balewright.readers.fault_network import read_network
from balewright.readers.profile import shipped_profiles

pytestmark = pytest.mark.own

SAID = {"en": "a", "de": "b", "fr": "c", "pl": "d"}
WHY = {"why": "because", "strength": "fair"}
SMALL: dict[str, Any] = {
    "key": "small",
    "version": 1,
    "tool": {"torch": {"name": SAID}},
    "part": {"roller": {"name": SAID, "money": 90}},
    "cause": {
        "roller_rough": {
            **WHY,
            "each": "dispenser",
            "system": "dispensers",
            "side": "machine",
            "arises_per_1000": 0.1,
            "stays_bales": 500,
            "name": {code: f"{word} {{number}}" for code, word in SAID.items()},
            "tells": SAID,
            "repair": {
                "words": SAID,
                "minutes": 30,
                "by": "technician",
                "parts": ["roller"],
                "tools": ["torch"],
                "cautions": ["caution.wrapper_moves"],
            },
            "shows": [
                {"on": "breaks_at", "chance": 0.8, "strength": "good"},
                {"on": "breaks", "chance": 0.9, "strength": "good"},
            ],
        }
    },
    "report": {
        "breaks": {
            **WHY,
            "system": "dispensers",
            "leak": 0.05,
            "words": SAID,
            "also": {code: ["x"] for code in SAID},
        }
    },
    "finding": {
        "breaks_at": {
            **WHY,
            "each": "dispenser",
            "system": "dispensers",
            "leak": 0.02,
            "words": SAID,
            "senses": ["film{number}_breaks"],
            "matches": [{"kind": "breaks more", "measure": "film{number}_breaks", "way": "up"}],
        }
    },
}


def test_one_of_each_dispenser_is_written_once() -> None:
    """Such a cause becomes two; it shows in its own dispenser's observation and in shared ones,
    its number stands in its texts, and the second needs a second dispenser.
    """
    network = build_network(SMALL, "small")
    assert [one.key for one in network.causes] == ["roller_rough_1", "roller_rough_2"]
    assert {link.on for link in network.shows["roller_rough_2"]} == {"breaks_at_2", "breaks"}
    second = network.cause("roller_rough_2")
    assert second.name.in_language("de") == "b 2"
    assert second.name.in_language("it") == "a 2", "what is not there is English"
    assert second.exists_if == ("two dispensers",)
    seen = network.observation("breaks_at_1")
    assert (seen.kind, seen.senses) == (Kind.FINDING, ("film1_breaks",))
    assert (seen.matches[0].measure, seen.matches[0].way) == ("film1_breaks", Way.UP)


def test_a_machine_has_the_causes_its_profile_allows() -> None:
    """No wrapper, no dispensers; what no cause left can show is not asked about."""
    network = build_network(SMALL, "small")
    profiles = shipped_profiles()
    both = network.for_machine(machine_facts(profiles["mossgrinder-m2"]))
    assert len(both.causes) == 2
    none = network.for_machine(machine_facts(profiles["plainrow-p0"]))
    assert (none.causes, none.observations, none.links) == ((), (), ())


def test_facts_come_from_the_profile_and_the_records() -> None:
    """Every fact is a known word or a sensed column, and a column in the records is a fact too."""
    for machine in shipped_profiles().values():
        plain = {fact for fact in machine_facts(machine) if not fact.startswith("senses ")}
        assert plain <= set(FACTS)
    bare = shipped_profiles()["plainrow-p0"]
    assert "additive" not in machine_facts(bare)
    assert {"additive", "senses additive_l"} <= machine_facts(bare, ("additive_l",))


BROKEN = {
    "cause.roller_rough.system": ("dispenser", "dispensers"),
    "cause.roller_rough.repair.cautions": ([], "caution.none"),
    "cause.roller_rough.repair.parts": (["rollers"], "Did you mean roller?"),
    "cause.roller_rough.exists_if": (["wraper"], "Did you mean wrapper?"),
    "cause.roller_rough.colour": ("red", "Take it out"),
    "cause.roller_rough.name": ({"en": "a", "de": "b", "fr": "c"}, "the words in pl"),
    "report.breaks.also": ({**{key: ["x"] for key in SAID}, "fr": []}, "how people say it"),
    "report.breaks.leak": (1.5, "Check the unit"),
    "finding.breaks_at.matches": ([{"kind": "breaks mor"}], "breaks more"),
}


@pytest.mark.parametrize("place", BROKEN)
def test_a_fault_names_its_place_and_a_cure(place: str) -> None:
    """Each kind of wrong entry is told with where it stands and what to do."""
    value, cure = BROKEN[place]
    raw = deepcopy(SMALL)
    *path, last = place.split(".")
    table = raw
    for name in path:
        table = table[name]
    table[last] = value
    with pytest.raises(BadInput) as met:
        build_network(raw, "small")
    assert any(path[1] in fault.place and cure in str(fault) for fault in met.value.faults)


def test_all_faults_are_told_at_once() -> None:
    """Nobody has to mend a file one fault a try."""
    raw = deepcopy(SMALL)
    for place, (value, _) in BROKEN.items():
        *path, last = place.split(".")
        table = raw
        for name in path:
            table = table[name]
        table[last] = value
    with pytest.raises(BadInput) as met:
        build_network(raw, "small")
    assert len(met.value.faults) >= len(BROKEN)


def whole() -> dict[str, Any]:
    """The small network with one of everything that a file may hold."""
    raw = deepcopy(SMALL)
    raw["check"] = {
        "turns": {
            **WHY,
            **dict.fromkeys(("words", "asks", "how", "risks"), SAID),
            "system": "dispensers", "leak": 0.05, "exists_if": ["wrapper|net"],
            "minutes": 3, "by": "operator", "at_rest": True, "money": 2,
            "tools": ["torch"], "cautions": ["caution.none"],
            "reading": {
                "unit": "N", "limit": 3, "bad": "up", "in_order": [1, 0.5], "at_fault": [5, 1],
            },
        }
    }  # fmt: skip
    raw["cause"]["roller_rough"]["shows"].append({"on": "turns", "chance": 0.5, "strength": "weak"})
    raw["alike"] = [{"causes": ["roller_rough_1", "roller_rough_2"], "why": "one is the other"}]
    raw["rehearsed"] = [{"cause": "roller_rough_1", "on": "breaks_at_1", "yes": 1, "of": 3}]
    copied: dict[str, Any] = json.loads(json.dumps(raw))  # no place shares its value with another
    return copied


def places(held: Any, place: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """Every place in nested tables and lists."""
    inside = held.items() if isinstance(held, dict) else enumerate(held)
    for key, one in inside:
        yield (*place, key)
        if isinstance(one, dict | list):
            yield from places(one, (*place, key))


ODD = (
    *([], {}, "", -1, 10**400, math.nan, math.inf, True, date(2031, 1, 1)),
    *([[]], [{}], {"a": []}, [math.nan, 1], [1, 10**400]),
)


@pytest.mark.law
def test_no_odd_value_at_any_place_gets_past_the_errors_of_the_house() -> None:
    """Each place of a file with each odd value in it: a network all the same, or told faults."""
    assert len(build_network(whole(), "small").causes) == 2
    for place in places(whole()):
        for odd in ODD:
            raw = whole()
            table: Any = raw
            for key in place[:-1]:
                table = table[key]
            table[place[-1]] = deepcopy(odd)
            with suppress(BadInput):
                build_network(raw, "small")


@pytest.mark.parametrize("odd", [math.nan, math.inf, 10**400, True])
def test_a_reading_has_a_shape_of_finite_numbers(odd: Any) -> None:
    """No mean and no spread without a size: every weight would be none."""
    for name in ("in_order", "at_fault"):
        for place in (0, 1):
            raw = whole()
            raw["check"]["turns"]["reading"][name][place] = odd
            with pytest.raises(BadInput, match=name):
                build_network(raw, "small")


def test_a_finding_stands_for_something_and_a_report_can_be_said() -> None:
    """A finding that matches nothing would always count as not seen; a blank is no way to say."""
    raw = whole()
    raw["finding"]["breaks_at"]["matches"] = []
    raw["report"]["breaks"]["also"] = {code: ["x", " "] for code in SAID}
    with pytest.raises(BadInput) as met:
        build_network(raw, "small")
    said = str(met.value)
    assert "finding.breaks_at_1.matches" in said
    assert "report.breaks.also.pl" in said


def test_counts_from_seasons_move_the_chances_of_findings() -> None:
    """What was judged weighs as twelve seasons of a link, fifty of a leak; a count of what is no
    link to a finding is a fault.
    """
    counted = [
        {"cause": "roller_rough_1", "on": "breaks_at_1", "yes": 3, "of": 12},
        {"on": "breaks_at_1", "yes": 0, "of": 50},
    ]
    network = build_network({**SMALL, "rehearsed": counted}, "small")
    by_on = {link.on: link.chance_frac for link in network.shows["roller_rough_1"]}
    assert by_on == pytest.approx({"breaks_at_1": (12 * 0.8 + 3) / 24, "breaks": 0.9})
    assert network.observation("breaks_at_1").leak_frac == pytest.approx(0.01)
    assert network.observation("breaks_at_2").leak_frac == 0.02
    for wrong in (
        {"cause": "roller_rough_1", "on": "breaks", "yes": 1, "of": 2},
        {"cause": "roller_rough_1", "on": "breaks_at_2", "yes": 1, "of": 2},
        {"on": "breaks_at_1", "yes": 3, "of": 2},
    ):
        with pytest.raises(BadInput, match="rehearsed"):
            build_network({**SMALL, "rehearsed": [wrong]}, "small")


def test_files_of_a_folder_are_one_network(tmp_path: Path) -> None:
    """An entry in two files is a fault that names the second, as is a file that is no TOML."""
    with pytest.raises(BadInput, match="none"):
        read_network(tmp_path)
    (tmp_path / "a.toml").write_text("[tool.torch.name]\nen='a'\nde='b'\nfr='c'\npl='d'\n")
    (tmp_path / "b.toml").write_text('key="n"\nversion=3\n')
    assert read_network(tmp_path).version == 3
    (tmp_path / "c.toml").write_text("[tool.torch.name]\nen='a'\n")
    with pytest.raises(BadInput, match=r"c.toml: tool.torch"):
        read_network(tmp_path)
    (tmp_path / "c.toml").write_text("key=1979-05-27\n")
    with pytest.raises(BadInput, match=r"c.toml: key"):
        read_network(tmp_path)
    (tmp_path / "c.toml").write_text("when=1979-05-27\n")
    with pytest.raises(BadInput, match="when"):
        read_network(tmp_path)
    (tmp_path / "c.toml").write_text("key=")
    with pytest.raises(BadInput, match=r"c.toml"):
        read_network(tmp_path)


@pytest.mark.parametrize("value", [1e308, -1e308, 1e160, 5e-324])
def test_a_reading_far_off_weighs_and_breaks_nothing(value: float) -> None:
    """A phone sends any number. So far off both shapes the one is as good as the other."""
    weights = Reading("V", 11.5, Way.UP, (10.0, 0.5), (13.0, 0.5)).weights(value)
    assert all(0.0 < one <= 1.0 for one in weights)
    if abs(value) > 1.0:
        assert weights == pytest.approx((1.0, 1.0))


@pytest.mark.law
@given(st.floats(0.0, 30.0), st.sampled_from([Way.UP, Way.DOWN]))
def test_a_reading_weighs_for_the_side_it_lies_on(value: float, bad: Way) -> None:
    """The nearer to what is read at fault, the more it speaks for it, and neither weight is 0."""
    shapes = ((10.0, 0.5), (13.0, 0.5)) if bad is Way.UP else ((13.0, 0.5), (10.0, 0.5))
    reading = Reading("V", 11.5, bad, *shapes)
    on, off = reading.weights(value)
    assert on > 0.0
    assert off > 0.0
    nearer_fault = abs(value - reading.at_fault[0]) < abs(value - reading.in_order[0])
    assert (on > off) == nearer_fault or value == 11.5
