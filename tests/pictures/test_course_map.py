"""The picture of what the rolls did: what it shows is what happened."""

from __future__ import annotations

from pathlib import Path
from xml.etree import ElementTree as ET

import pytest

from balewright.pictures.course_map import Told, draw_course
from balewright.plan.film.count_course import count_course
from balewright.plan.film.event_text import read_events
from balewright.plan.film.events import Running, tell_story
from balewright.plan.film.layers import Bale, bale_turn_from_advance
from balewright.words.say import say

SVG = "{http://www.w3.org/2000/svg}"
BALE = Bale(1.25, 1.23)
PAGE = ("roll 2 breaks at 5.3", "roll 2 back after 3", "stop at 10 and the bale rolls 0.2")


def drawn(*lines: str, turns: float = 12.0, rolls: int = 2) -> str:
    """The picture of a bale with these events."""
    plan = Running(turns, rolls, bale_turn_from_advance(0.491, 1.25))
    events = read_events(lines)
    story = tell_story(plan, events)
    count = count_course(BALE, 0.60, story.course, 6)
    return draw_course(Told(BALE, events, story, count, 6), say)


@pytest.mark.derived
def test_bars_are_the_turns_in_which_film_ran() -> None:
    """Roll 2 of 12 turns lays film up to 5.3 and from 8.3 on: 9 of 12 parts of roll 1's bar."""
    tree = ET.fromstring(drawn(*PAGE))
    bars = [node for node in tree.iter(f"{SVG}rect") if node.get("class") == "course-map-ran"]
    wide = [float(node.get("width", "0")) for node in bars]
    assert len(bars) == 3
    assert (wide[1] + wide[2]) / wide[0] == pytest.approx(9 / 12, abs=1e-3)  # two decimals printed


@pytest.mark.derived
def test_screen_reader_hears_every_event() -> None:
    """Title and description tell what happened, in order; the map below tells its own."""
    tree = ET.fromstring(drawn(*PAGE))
    said = (tree[1].text or "").replace("\N{NO-BREAK SPACE}", " ")
    for words in ("roll 2 breaks at turn 5.3", "roll 2 is back at turn 8.3", "rolls 0.2 turns"):
        assert words in said
    assert len(list(tree.iter(f"{SVG}desc"))) == 2
    assert "12" in (ET.fromstring(drawn())[1].text or "")


@pytest.mark.law
@pytest.mark.parametrize(
    "lines", [(), ("cut at 6", "cut roll 2 at 6.5"), ("stop at 0", "stop at 12"), PAGE]
)
def test_strict_content_policy_can_hold_it(lines: tuple[str, ...]) -> None:
    """No script, style, event, outside address or id; everything inside the frame."""
    tree = ET.fromstring(drawn(*lines))
    for node in tree.iter():
        names = set(node.keys())
        assert not names & {"style", "id", "href"}
        assert not any(name.startswith("on") for name in names)
        assert node.tag != f"{SVG}script"
        if node.tag == f"{SVG}rect":
            left = float(node.get("x", "0"))
            assert left >= 0.0
            assert left + float(node.get("width", "0")) <= 480.0


@pytest.mark.derived
def test_thousands_of_turns_stay_a_small_picture() -> None:
    """The axis thins out its ticks."""
    assert len(drawn("roll 2 out at 500", turns=3000.0)) < 400_000


@pytest.mark.own
def test_picture_in_the_documentation_is_current() -> None:
    """The picture of the model page is what is drawn today."""
    page = Path(__file__).parents[2] / "docs" / "models" / "events.svg"
    assert page.read_text(encoding="utf-8") == drawn(*PAGE)
