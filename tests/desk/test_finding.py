"""A finding opened from a phone: what it rests on, setting it aside, taking that back."""

from __future__ import annotations

import re
from html import unescape
from pathlib import Path
from typing import TYPE_CHECKING, Any
from urllib.parse import quote

import pytest
from django.urls import reverse
from tests.desk.finding_records import FELL_AT, SERIAL, keep_machine, key_of_pressure

if TYPE_CHECKING:
    from tests.desk.conftest import Desk

    from balewright.findings.episode import Episode

pytestmark = pytest.mark.own


@pytest.fixture
def key(desk: Desk, tmp_path: Path) -> str:
    """The finding on machine Q-7's pressure."""
    from balewright.desk.workplace import the_workplace

    keep_machine(the_workplace(), tmp_path)
    return key_of_pressure(the_workplace())


def at(key: str, rest: str = "") -> str:
    """Its address."""
    return f"/findings/{quote(key)}{rest}"


def text_of(answer: Any) -> str:
    """A page's words without its tags."""
    page = re.sub(r"<style.*?</style>|<script.*?</script>", "", answer.content.decode(), flags=re.S)
    return re.sub(r"\s+", " ", unescape(re.sub(r"<[^>]+>", " ", page)))


def test_a_finding_opens_to_what_it_rests_on(desk: Desk, key: str) -> None:
    """Sentence, start with its interval, size, certainty, chart, bales with their file."""
    answer = desk.reader.get(at(key))
    page, said = answer.content.decode(), text_of(answer)
    assert answer.status_code == 200
    assert "the chamber presses less hard" in said
    began = re.search(r"it began between (\d+) and (\d+) \(95\s%\s*sure\)", said)
    assert began is not None
    assert int(began[1]) <= FELL_AT <= int(began[2])
    for name in ("Before", "Now", "Moved by", "How sure", "By chance", "Taken out before judging"):
        assert name in said, name
    assert "what each job adds" in said
    assert page.count("<svg") >= 2 + 1  # a chart for a phone, one for a wide page, and the brand
    assert "expected before the bale was seen" in page
    assert f"/machines/{SERIAL}/bales/" in page
    assert re.search(r'href="/intake/reports/[0-9a-f]{64}">Q-7.csv', page)
    assert "it begins here" in said
    assert 'style="' not in page


def test_the_rows_turn_pages_and_the_chart_shows_the_whole_history(desk: Desk, key: str) -> None:
    """The first page of rows holds the first bale; later ones follow; the chart can be widened."""
    first = desk.reader.get(at(key)).content.decode()
    assert first.count("<tr") == 1 + 20
    later = re.search(r'rel="next" href="\?page=(\d+)#rows"', first)
    assert later is not None
    assert desk.reader.get(at(key, f"?page={later[1]}")).status_code == 200
    assert 'href="?whole=1#chart"' in first
    whole = desk.reader.get(at(key, "?whole=1")).content.decode()
    assert "Show the bales where it began" in whole


def test_set_aside_with_a_reason_that_is_kept_and_take_it_back(desk: Desk, key: str) -> None:
    """It leaves Today; reason and name stay on its page for ever, also once it is taken back."""
    path = reverse("finding", args=[key])
    assert path in desk.technician.get("/").content.decode()
    reason = "the gauge was swapped <b>on purpose</b>"
    answer = desk.post(desk.technician, at(key, "/aside"), reason=reason, until="")
    assert answer.status_code == 302
    assert path not in desk.technician.get("/").content.decode()
    page = desk.reader.get(at(key)).content.decode()
    assert "Set aside by tove" in page
    assert "on purpose&lt;/b&gt;" in page
    assert desk.post(desk.technician, at(key, "/back")).status_code == 302
    said = text_of(desk.reader.get(at(key)))
    assert "Taken back by tove" in said
    assert reason in said
    assert path in desk.reader.get("/").content.decode()


def test_what_is_wrong_is_told_beside_its_field(desk: Desk, key: str) -> None:
    """No reason, and a day that is past: nothing is kept, each is told where it stands."""
    answer = desk.post(desk.technician, at(key, "/aside"), reason=" ", until="2020-01-01")
    assert answer.status_code == 422
    assert "Say why, in 500 characters at most." in answer.content.decode()
    answer = desk.post(desk.technician, at(key, "/aside"), reason="seen", until="2020-01-01")
    assert answer.status_code == 422
    assert "A day to come, or nothing." in answer.content.decode()
    assert "Set aside by" not in desk.reader.get(at(key)).content.decode()


def test_readers_look_and_change_nothing(desk: Desk, key: str) -> None:
    """No form for them, no door either; an unknown key is a page that is not there."""
    assert "/aside" not in desk.reader.get(at(key)).content.decode()
    for rest in ("/aside", "/back"):
        assert desk.post(desk.reader, at(key, rest), reason="no").status_code == 403
        assert desk.post(desk.technician, at("Q-7:none:::1", rest), reason="no").status_code == 404
    assert desk.reader.get(at("Q-7:none:::1")).status_code == 404


def test_a_machine_begins_with_what_is_open_and_draws_what_is_asked(desk: Desk, key: str) -> None:
    """The finding stands first with its chart; a measure of the list is drawn when asked for; what
    is set aside is folded away, and an unknown measure draws nothing."""
    page = desk.reader.get(f"/machines/{SERIAL}").content.decode()
    address = reverse("finding", args=[key])
    assert f'class="item cost" href="{address}"' in page
    assert "<figcaption>Chamber pressure</figcaption>" in page
    assert "<figcaption>Film breaks</figcaption>" not in page
    asked = desk.reader.get(f"/machines/{SERIAL}?measure=film_breaks").content.decode()
    assert '<option value="film_breaks" selected>' in asked
    assert re.search(r"when it happened: \d+ times on these 420 bales", asked)
    unknown = desk.reader.get(f"/machines/{SERIAL}?measure=x").content.decode()
    assert "<figcaption>Film breaks</figcaption>" not in unknown
    desk.post(desk.technician, at(key, "/aside"), reason="known")
    page = desk.reader.get(f"/machines/{SERIAL}").content.decode()
    assert f'class="item cost" href="{address}"' not in page
    assert "Set aside (1)" in page


def test_a_machine_unlike_its_kind_is_held_against_the_others(desk: Desk, key: str) -> None:
    """Its page says what others of its kind have and how far apart it stands; nothing moved."""
    from dataclasses import replace

    from balewright.desk.workplace import the_workplace
    from balewright.findings.finding import FindingKind

    def make_unlike(episodes: tuple[Episode, ...]) -> tuple[Episode, ...]:
        (one,) = (one for one in episodes if one.key == key)
        finding = replace(one.finding, kind=FindingKind.UNLIKE_ITS_KIND, start=None)
        return (replace(one, finding=finding),)

    the_workplace().register.revise_episodes(SERIAL, make_unlike)
    page = text_of(desk.reader.get(at(key)))
    assert "Others of its kind" in page
    assert "Apart by" in page
    assert "Moved by" not in page
