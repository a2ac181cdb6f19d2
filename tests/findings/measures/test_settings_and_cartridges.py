"""Settings that moved at one bale, cartridges that do not empty, codes that come with speed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from balewright.findings.finding import Finding, FindingKind, Weight
from balewright.findings.measures.cartridge import find_cartridges
from balewright.findings.measures.codes_with_speed import exact_chance, tie_to_speed, with_speed
from balewright.findings.measures.rates import code_measures, codes_often
from balewright.findings.measures.settings_moved import (
    find_settings_moved,
    find_settings_told,
    settings_told_moved,
)
from balewright.findings.measures.telling import Moved, words_of
from balewright.findings.watched import Watched
from balewright.quantities.interval import Interval
from balewright.records.events import Event, EventKind, Setting
from balewright.words.say import say

Watch = Callable[..., Watched]


@pytest.mark.law
def test_a_setting_that_moved_against_its_sheet_is_told_to_the_bale(watch: Watch) -> None:
    """Wrap turns set from 14 to 12 at bale 130, the sheet still saying 14."""
    found = list(find_settings_moved(watch(60, {(30, 60): {"wrap_turns": 12.0}})))
    assert [(one.kind, one.weight, one.since_bale, one.bales) for one in found] == [
        (FindingKind.SETTING_MOVED, Weight.COST, 130, 30)
    ]
    (finding,) = found
    assert finding.moved is not None
    assert finding.moved.best == -2.0
    assert finding.start is not None
    assert finding.start.first_bale == 130 == finding.start.last_bale
    assert finding.chance_frac is None
    assert say(finding.words) == (
        "From bale 130: wrap turns moved from 14 to 12 at one bale and stayed; the sheet, which "
        "did not change, says 14 (30 bales)."
    )


@pytest.mark.law
@pytest.mark.parametrize(
    "changed",
    [
        {(30, 31): {"wrap_turns": 18.0}, (40, 42): {"wrap_turns": 10.0}},
        {(30, 60): {"wrap_turns": 12.0, "sheet": "s2"}},
        {(0, 30): {"wrap_turns": 12.0}},
        {(30, 60): {"wrap_turns": 28.0, "rolls_on": 1}},
        {(52, 60): {"wrap_turns": 12.0}},
    ],
    ids=["odd bales", "another sheet", "back to the sheet", "one roll out", "too few yet"],
)
def test_what_is_no_setting_is_not_told(watch: Watch, changed: Any) -> None:
    """Single odd bales, a step that came with a sheet or led to it, a roll that was out."""
    assert not list(find_settings_moved(watch(60, changed)))


@pytest.mark.law
def test_odd_bales_do_not_hide_a_step(watch: Watch) -> None:
    """Every seventh bale has a turn more; the setting moved all the same."""
    changed: dict[tuple[int, int], dict[str, Any]] = {(30, 60): {"knives_in": 9}}
    changed[(0, 30)] = {"knives_in": 17}
    changed |= {(row, row + 1): {"knives_in": 12} for row in range(3, 60, 7)}
    (finding,) = find_settings_moved(watch(60, changed))
    assert finding.since_bale == 130
    assert finding.weight is Weight.NOTE
    assert "knives in work moved from 17 to 9" in say(finding.words)


@pytest.mark.law
def test_settings_the_machine_reports_step_only_within_a_sheet() -> None:
    """The same value told again is no step; a step with another sheet is the sheet's."""
    told = [
        Setting("R", "wrap_rpm", 30.0, 100, None, "s1"),
        Setting("R", "wrap_rpm", 30.0, 110, None, "s1"),
        Setting("R", "wrap_rpm", 26.0, 140, None, "s1"),
        Setting("R", "wrap_rpm", 22.0, 160, None, "s2"),
        Setting("R", "chamber_bar", 95.0, 120, None, "s1"),
    ]
    assert settings_told_moved(reversed(told)) == ((told[1], told[2]),)


@pytest.mark.law
def test_a_setting_the_machine_tells_is_held_against_its_sheet(watch: Watch) -> None:
    """Wrapping speed is told to have moved from 30 to 24; the sheet says 30. A delay that no line
    of the sheet names is a note; wrap turns are left to the bales, which show them."""
    watched = watch(60)
    told = [
        Setting("R", "wrap_rpm", 30.0, 100, None, "s1"),
        Setting("R", "wrap_rpm", 24.0, 130, None, "s1"),
        Setting("R", "wrap_rpm", 30.0, 150, None, "s1"),
        Setting("R", "tip_delay_s", 1.0, 100, None, "s1"),
        Setting("R", "tip_delay_s", 3.0, 140, None, "s1"),
        Setting("R", "wrap_turns", 14.0, 100, None, "s1"),
        Setting("R", "wrap_turns", 12.0, 120, None, "s1"),
    ]
    found = find_settings_told(watched, told)
    assert [(one.part, one.since_bale, one.weight) for one in found] == [
        ("wrap_rpm", 130, Weight.COST), ("tip_delay_s", 140, Weight.NOTE),
    ]  # fmt: skip
    text = say(found[0].words).replace("\N{NO-BREAK SPACE}", " ")
    assert text.startswith("From bale 130: wrapping speed was set from 30 rpm to 24 rpm; the sheet")
    assert "tip delay was set from 1" in say(found[1].words)
    assert find_settings_told(watch(0), told) == ()


def changed_at(*numbers: int) -> list[Event]:
    """Cartridge changes before these bales."""
    return [Event("RING-1", EventKind.CARTRIDGE_CHANGED, number) for number in numbers]


@pytest.mark.practice
def test_a_cartridge_far_past_its_bales_is_told(watch: Watch) -> None:
    """One lasts 420 bales on this make: after 640 it does not empty, after 500 it may be late."""
    watched = watch(700)  # bales 100 to 799
    (finding,) = find_cartridges(watched, changed_at(160))
    assert (finding.kind, finding.since_bale, finding.bales) == (
        FindingKind.CARTRIDGE_STUCK, 160, 640,
    )  # fmt: skip
    assert "has been in for 640 bales where one lasts about 420" in say(finding.words)
    assert find_cartridges(watched, changed_at(300)) == ()
    assert find_cartridges(watched, []) == ()


@pytest.mark.practice
def test_a_cartridge_that_lasted_twice_as_long_is_told(watch: Watch) -> None:
    """Counted by the machine's own numbers, though the records begin later."""
    watched = watch(120)
    lasted = find_cartridges(watched, changed_at(0, 10, 20, 45, 60, 200, 215))
    assert [(one.since_bale, one.bales) for one in lasted] == [(20, 25), (60, 140)]
    assert "lasted 25 bales where they last about 10" in say(lasted[0].words)


@pytest.mark.practice
def test_a_counter_that_began_again_made_no_cartridge_last_long(watch: Watch) -> None:
    """Changed at 12,738 by the old control and at 15 by the new one, 200 bales later: 200 bales."""
    numbers = [*range(12_900, 13_085), *range(1, 116)]
    watched = watch(300, {(n, n + 1): {"bale_no": number} for n, number in enumerate(numbers)})
    first_us = int(watched.made_us[0])
    changes = [
        Event("M", EventKind.CARTRIDGE_CHANGED, 12_738, first_us - 86_400_000_000),
        Event("M", EventKind.CARTRIDGE_CHANGED, 15, int(watched.made_us[199])),
    ]
    assert find_cartridges(watched, changes) == ()
    # nor where all that is handed in comes after the control was changed
    between = Event("M", EventKind.CARTRIDGE_CHANGED, 215, int(watched.made_us[0]) - 400)
    later = watch(100, {(n, n + 1): {"bale_no": 500 + n} for n in range(100)})
    first_us = int(later.made_us[0])
    changes = [replace(one, at_us=first_us - wait) for one, wait in zip(
        (changes[0], changes[1], between), (3_000, 2_000, 1_000), strict=True)]  # fmt: skip
    assert find_cartridges(later, changes) == ()


@pytest.mark.published
@pytest.mark.check(model="exact test of two shares", source="fisher-exact")
def test_exact_test_gives_the_published_chances() -> None:
    """Fisher's tea taster (3 of 4 right: 0.2429 for as many or more, which two-sided is twice
    that by symmetry) and his twins (2 of 17 against 10 of 13)."""
    assert exact_chance(3, 1, 1, 3) == pytest.approx(2 * 0.2429, abs=1e-4)
    assert exact_chance(2, 15, 10, 3) == pytest.approx(0.0005367, abs=5e-8)


@pytest.mark.practice
def test_a_loose_plug_shows_at_speed(watch: Watch) -> None:
    """A code on every third fast bale and on no slow one goes with speed; an even one does not."""
    fast = {(row, row + 1): {"speed_m_s": 3.5} for row in range(0, 120, 2)}
    slow = {(row, row + 1): {"speed_m_s": 2.0} for row in range(1, 120, 2)}
    loose = {(row, row + 1): {"speed_m_s": 3.5, "codes": "168/4 9/2"} for row in range(0, 120, 6)}
    even = {
        (row, row + 1): {"speed_m_s": 2.0 + row % 2, "codes": "9/2"} for row in range(0, 120, 5)
    }
    tie = tie_to_speed(watch(120, fast | slow | loose), "168/4")
    assert tie is not None
    assert tie.slow_frac == 0.0
    assert tie.fast_frac == pytest.approx(1 / 3)
    assert "comes more at speed" in say(tie.words)
    (measure,) = code_measures(["168/4"])
    since = {"since_bale": 100, "first_bale": 100, "last_bale": 100}
    moved = Moved(0.1, Interval(10.0, 17.0, 25.0), since, 0.95)
    bare = Finding(
        "RING-1", FindingKind.CODES_MORE, Weight.NOTE, 100, 219, None, 20, 120, 0.1, None,
        "a hundred bales", ("codes",), None, words_of(measure, moved), part=measure.part,
    )  # fmt: skip
    text = say(with_speed(bare, watch(120, fast | slow | loose)).words)
    assert text.startswith(say(bare.words))
    assert "comes more at speed: on 33" in text
    assert with_speed(bare, watch(120, fast | slow)) is bare
    assert tie_to_speed(watch(120, fast | slow | even), "9/2") is None
    assert tie_to_speed(watch(120, fast | slow | loose), "9/21") is None


@pytest.mark.derived
def test_each_code_that_comes_often_is_a_rate_of_its_own(watch: Watch) -> None:
    """A code is matched whole; one that only two bales showed is not worth watching."""
    watched = watch(
        9, {(0, 3): {"codes": "168/4 9/2"}, (3, 5): {"codes": "9/21"}, (6, 7): {"codes": "9/2"}}
    )
    assert codes_often(watched) == ("168/4", "9/2")
    (measure,) = code_measures(["9/2"])
    assert measure.read(watched).tolist() == [1, 1, 1, 0, 0, 0, 1, 0, 0]
    assert np.isfinite(measure.read(watched)).all()
