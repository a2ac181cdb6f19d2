"""The fault network that comes with the program, tested as the data it is."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from bench.causes.counts import table, written_once
from bench.causes.truth_book import CAUSES, COUNTED
from bench.findings.judging import Tells
from bench.findings.told_by import TOLD_BY

from balewright.cause.facts import machine_facts
from balewright.cause.network import NO_CAUTION, Hands, Kind, Match, Network, System, Text
from balewright.findings.measures.book import MEASURES
from balewright.readers.fault_network import shipped_network
from balewright.readers.profile import shipped_profiles
from balewright.records.columns import COLUMNS
from balewright.rehearsal.faults import FaultKind

pytestmark = pytest.mark.own

NETWORK = shipped_network()
COMMONEST = sorted(NETWORK.causes, key=lambda one: (-one.prior_frac(), one.key))[:20]
APART_FRAC = 0.5
BYPASS = re.compile(
    r"\bbridg(e|es|ed|ing)\b|bypass|jumper|overrid|defeat|\bshunt"
    r"|überbrück|kurzschließ|außer kraft|stilllegen"
    r"|\bpont(er|é|ez|age)\b|shunt|contourn|neutralis"
    r"|mostkow|zwora|zwork|zewrz|zwiera|obejści",
    re.IGNORECASE,
)
FORBIDS = re.compile(
    r"Never bridge it\.|Niemals überbrücken\.|Ne jamais le ponter\.|Nigdy nie mostkować\."
)
PLACEHOLDER = re.compile(r"TODO|TBD|XXX|\?\?|[{}]|lorem|placeholder", re.IGNORECASE)
FROM_AFAR = re.compile(r"\bseat\b|\bscreen\b|display|page of")
NOBODY_NEAR = re.compile(r"[Nn]obody|every(one|body) away|[Ss]tay in the seat")
STANDS = re.compile(
    r"key out|[Ii]gnition (on|off)|ignition only|lies? still|[Aa]way from|windrow|laid"
    r"|Stay in the seat"
)
LESSER = {"caution.hot_parts", "caution.dust_fire", "caution.mouldy_bale", "caution.lone_work"}
SAME_EVERYWHERE = {("tool multimeter", "de")}


def texts() -> Iterator[tuple[str, Text]]:
    """Every text people read, with where it stands."""
    for cause in NETWORK.causes:
        yield f"cause {cause.key} name", cause.name
        yield f"cause {cause.key} tells", cause.tells
        yield f"cause {cause.key} repair", cause.repair.words
    for one in NETWORK.observations:
        yield f"{one.key} words", one.words
        if one.check is not None:
            yield f"{one.key} asks", one.check.asks
            yield f"{one.key} how", one.check.how
            if one.check.risks is not None:
                yield f"{one.key} risks", one.check.risks
    yield from ((f"part {one.key}", one.name) for one in NETWORK.parts)
    yield from ((f"tool {one.key}", one.name) for one in NETWORK.tools)


@cache
def machines() -> tuple[tuple[str, Network], ...]:
    """The network of each make as it is, and with every column sensed."""
    whole = tuple(one.name for one in COLUMNS)
    return tuple(
        (f"{key} {len(columns)}", NETWORK.for_machine(machine_facts(machine, columns)))
        for key, machine in shipped_profiles().items()
        for columns in ((), whole)
    )


def shown_alone(network: Network) -> np.ndarray:
    """[observations, causes]: chance that each is on where that cause alone is there."""
    leak = np.array([one.leak_frac for one in network.observations])
    found = np.repeat(leak[:, None], len(network.causes), axis=1)
    column = {one.key: at for at, one in enumerate(network.causes)}
    for row, one in enumerate(network.observations):
        for link in network.shown_by[one.key]:
            dark = (1.0 - one.leak_frac) * (1.0 - link.chance_frac)
            found[row, column[link.cause]] = 1.0 - dark
    return found


def nearest_rivals(network: Network) -> Iterator[tuple[str, str, float]]:
    """Each cause with the one whose reports and findings are most like its own.

    Like: the least expected logarithm of the likelihood ratio between the two, where the first is
    there. Third: how far the check that tells them apart best sets them apart.
    """
    shown = shown_alone(network)
    checks = np.array([one.kind is Kind.CHECK for one in network.observations])
    signs = np.clip(shown[~checks], 1e-4, 1.0 - 1e-4)
    for at, cause in enumerate(network.causes):
        own = signs[:, [at]]
        told = own * np.log(own / signs) + (1.0 - own) * np.log((1.0 - own) / (1.0 - signs))
        ratio = told.sum(axis=0)
        ratio[at] = np.inf
        rival = int(ratio.argmin())
        apart = np.abs(shown[checks][:, at] - shown[checks][:, rival]).max()
        yield cause.key, network.causes[rival].key, float(apart)


def test_it_is_as_large_as_a_workshop_needs() -> None:
    """Ninety causes and 220 observations of three kinds, dispensers counted once; all systems."""
    causes = written_once(NETWORK.cause_by_key)
    seen = [NETWORK.observation(key) for key in written_once(NETWORK.observation_by_key)]
    assert len(causes) >= 90
    assert len(seen) >= 220
    assert min(sum(one.kind is kind for one in seen) for kind in Kind) >= 60
    assert {NETWORK.cause(key).system for key in causes} == set(System)


def test_every_cause_can_be_reached_from_a_call_or_the_records_and_by_a_check() -> None:
    """On a machine with every sensor: something said or found shows it, and a check does."""
    for name, network in machines():
        if name.endswith(" 0"):
            continue
        for cause in network.causes:
            kinds = {network.observation(link.on).kind for link in network.shows[cause.key]}
            assert kinds & {Kind.REPORT, Kind.FINDING}, f"{name}: {cause.key}"
            best = max(
                (link.chance_frac for link in network.shows[cause.key]
                 if network.observation(link.on).kind is Kind.CHECK), default=0.0,
            )  # fmt: skip
            assert best >= APART_FRAC, f"{name}: {cause.key}"


def test_every_observation_can_come_about() -> None:
    """Nothing is asked for that no cause shows in."""
    assert not [one.key for one in NETWORK.observations if not NETWORK.shown_by[one.key]]


def test_a_check_tells_each_cause_from_its_nearest_rival() -> None:
    """Nearest by reports and findings; one pair in ten may be listed as alike, with its reason."""
    alike = {frozenset(one.causes) for one in NETWORK.alike}
    pairs: set[frozenset[str]] = set()
    for name, network in machines():
        for cause, rival, apart_frac in nearest_rivals(network):
            pair = frozenset((cause, rival))
            pairs.add(pair)
            assert apart_frac >= APART_FRAC or pair in alike, f"{name}: {cause}, {rival}"
    assert len(alike) <= len(pairs) / 10
    assert all(len(one.why) > 20 for one in NETWORK.alike)


def test_no_two_causes_show_alike() -> None:
    """Each cause has links, and links of its own."""
    held: dict[frozenset[tuple[str, float]], str] = {}
    for cause in NETWORK.causes:
        links = frozenset((link.on, link.chance_frac) for link in NETWORK.shows[cause.key])
        assert len(links) >= 3, cause.key
        assert links not in held, f"{cause.key} and {held.get(links)}"
        held[links] = cause.key


def test_the_commonest_causes_give_a_reason_for_every_link() -> None:
    """And every cause for its base rate."""
    for cause in COMMONEST:
        for link in NETWORK.shows[cause.key]:
            assert len(link.grounds.why) >= 8, f"{cause.key} -> {link.on}"
    assert not [one.key for one in NETWORK.causes if len(one.grounds.why) < 15]


def test_a_base_rate_is_no_certainty_and_no_never() -> None:
    """Between one machine in 2,000 and one in eight at any time."""
    for cause in NETWORK.causes:
        assert 0.0005 <= cause.prior_frac() <= 0.12, cause.key


def test_a_base_rate_keeps_to_the_reason_it_gives() -> None:
    """Where the reason counts, the number does: a bearing or two in ten thousand bales, a rubbed
    hose every season or two of 3,000 to 8,000, a blade in ten thousand."""
    for key, least, most in (
        ("chamber_bearing_failing", 0.1, 0.2),
        ("density_hose_leaks", 0.06, 0.33),
        ("binding_knife_blunt", 0.05, 0.15),
        ("chain_worn", 0.03, 0.1),
    ):
        assert least <= NETWORK.cause(key).arises_per_1000 <= most, key


def test_every_text_is_there_in_four_languages_and_none_is_left_to_do() -> None:
    """Each differs from the English one, and no placeholder is left."""
    for place, text in texts():
        said = dict(text.said)
        assert set(said) == {"en", "de", "fr", "pl"}, place
        for code, words in said.items():
            assert words.strip(), f"{place} {code}"
            assert not PLACEHOLDER.search(words), f"{place} {code}: {words}"
            if code != "en" and (place, code) not in SAME_EVERYWHERE:
                assert words != said["en"], f"{place} {code}"
    for one in NETWORK.observations:
        if one.kind is Kind.REPORT:
            assert {code for code, ways in one.also if ways} == {"en", "de", "fr", "pl"}, one.key


def test_an_apostrophe_looks_the_same_all_through_a_language() -> None:
    """The typographic one in French; the plain one elsewhere, where it is used at all."""
    ways = [(one.key, code, words) for one in NETWORK.observations
            for code, said in one.also for words in said]  # fmt: skip
    ways += [(place, code, words) for place, text in texts() for code, words in text.said]
    for place, code, words in ways:
        other = "'" if code == "fr" else "\N{RIGHT SINGLE QUOTATION MARK}"
        assert other not in words, f"{place} {code}: {words}"


def test_no_words_ask_for_a_guard_or_stop_to_be_set_aside() -> None:
    """The words for it stand nowhere but where they forbid it."""
    for place, text in texts():
        for code, words in text.said:
            found = BYPASS.search(FORBIDS.sub("", words))
            assert found is None, f"{place} {code}: {words}"


def test_every_step_has_its_caution_decided() -> None:
    """Something, or by itself that nothing; a technician's work always says to stop and lock."""
    steps = [(f"{one.key} repair", one.repair.cautions) for one in NETWORK.causes]
    steps += [(one.key, one.check.cautions) for one in NETWORK.observations if one.check]
    for place, cautions in steps:
        assert cautions, place
        assert cautions == (NO_CAUTION,) or NO_CAUTION not in cautions, place
    for one in NETWORK.observations:
        if one.check is not None and one.check.at_rest and one.check.by is not Hands.OPERATOR:
            needs_care = one.check.cautions != (NO_CAUTION,)
            assert needs_care, one.key


def test_what_is_looked_at_while_it_runs_needs_nobody_near() -> None:
    """From the seat or at a screen; or a kit fitted at rest whose figure is read from there."""
    for one in NETWORK.observations:
        if one.check is None or one.check.at_rest:
            continue
        how = one.check.how.in_language("en")
        assert FROM_AFAR.search(how), f"{one.key}: {how}"
        assert one.check.by is Hands.OPERATOR or "everybody away" in how, one.key
        if one.check.by is Hands.OPERATOR:
            assert not set(one.check.tools) & {"spanners", "grease_gun", "knife_tool"}, one.key
        if set(one.check.cautions) & {"caution.gate", "caution.wrapper_moves"}:
            assert NOBODY_NEAR.search(how), f"{one.key}: {how}"


def test_a_hand_at_the_machine_takes_the_key_along() -> None:
    """Each check to stop and lock for says so; else the ignition is on and nobody touches what
    moves, or it is done at a bale that lies still or away from the machine."""
    for one in NETWORK.observations:
        if one.check is None or not one.check.at_rest:
            continue
        if "caution.stop_and_lock" in one.check.cautions:
            how = one.check.how.in_language("en")
            assert STANDS.search(how), f"{one.key}: {how}"


def test_what_only_burns_or_dusts_comes_after_what_kills() -> None:
    """The cautions of a check or a repair begin with the most dangerous."""
    steps = [(f"{one.key} repair", one.repair.cautions) for one in NETWORK.causes]
    steps += [(one.key, one.check.cautions) for one in NETWORK.observations if one.check]
    for place, cautions in steps:
        lesser = [at for at, one in enumerate(cautions) if one in LESSER]
        assert lesser == list(range(len(cautions) - len(lesser), len(cautions))), place


def test_nobody_opens_a_circuit_that_an_accumulator_may_hold_up() -> None:
    """Whatever touches the density circuit says that its accumulator stays charged."""
    for cause in NETWORK.causes:
        if cause.system is System.DENSITY:
            assert "caution.accumulator" in cause.repair.cautions, cause.key
    for one in NETWORK.observations:
        if one.check and one.system is System.DENSITY and one.check.at_rest:
            assert "caution.accumulator" in one.check.cautions, one.key


def meets(match: Match, way: Tells) -> bool:
    """Whether a finding told that way is one the match takes, by its kind and its columns."""
    columns = {one.key: set(one.columns) for one in MEASURES}
    own = columns.get(match.measure, {match.measure})
    return match.kind == way.kind and (not match.measure or set(way.columns) <= own)


@pytest.mark.parametrize("fault", list(FaultKind))
def test_a_rehearsed_fault_has_a_cause_that_shows_in_what_tells_it(fault: FaultKind) -> None:
    """Each of its causes shows, three times in ten at least, in a finding it may be told by."""
    causes = CAUSES.get(fault) or tuple(key for keys in COUNTED.values() for key in keys)
    assert causes
    for cause in causes:
        best_frac = max(
            (link.chance_frac for link in NETWORK.shows[cause]
             for match in NETWORK.observation(link.on).matches
             if any(meets(match, way) for way in TOLD_BY[fault])), default=0.0,
        )  # fmt: skip
        assert best_frac >= 0.15, cause  # half of it is counted where moderate faults are missed


def test_the_counts_of_the_page_are_those_of_the_network() -> None:
    """docs/fault-network.md carries the table that `python -m bench.causes.counts` prints."""
    page = (Path(__file__).parents[2] / "docs" / "fault-network.md").read_text()
    assert "\n".join(table(NETWORK)) in page
