"""Pictures of the pace under chance: current, told in words, true to their values."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest

from balewright.pictures.pace_chance import draw_finish, draw_match
from balewright.pictures.plot import on_paper
from balewright.plan.pace.answer import PaceAnswer, answer_pace
from balewright.plan.pace.match import AtMatch, match_paces
from balewright.plan.pace.variation import Variation
from balewright.quantities.errors import BadInput
from plan.pace.examples import PLAIN, SILAGE

SVG = "{http://www.w3.org/2000/svg}"
MODELS = Path(__file__).parents[2] / "docs" / "models"


@pytest.fixture(scope="module")
def answer() -> PaceAnswer:
    """The answer that the documentation shows."""
    return answer_pace(SILAGE)


@pytest.fixture(scope="module")
def points() -> tuple[AtMatch, ...]:
    """The matches that the documentation shows."""
    return match_paces(PLAIN, Variation(fill_frac=0.25, wrap_frac=0.08))


@pytest.mark.own
def test_documentation_shows_the_current_pictures(
    answer: PaceAnswer, points: tuple[AtMatch, ...]
) -> None:
    """Both pictures of docs/models/pace-chance.md are what the code draws today."""
    for name, drawn in (("finish", draw_finish(answer)), ("match", draw_match(points))):
        page = (MODELS / f"pace-{name}.svg").read_text(encoding="utf-8")
        assert page == on_paper(drawn)


@pytest.mark.law
def test_a_screen_reader_hears_the_quantiles(answer: PaceAnswer) -> None:
    """The description names the hours within which 5, 50 and 95 % of the runs are done."""
    tree = ET.fromstring(draw_finish(answer))
    told = tree.findtext(f"{SVG}desc") or ""
    done = answer.chance.finish_h
    for hours in (done.low, done.best, done.high):
        assert f"{hours:.2f} h" in told


@pytest.mark.law
def test_hours_rise_with_the_share_done(answer: PaceAnswer) -> None:
    """Each share of the runs takes at least as long as a smaller one, the ends as the quantiles."""
    hours = answer.chance.finish_by_h
    assert list(hours) == sorted(hours)
    done = answer.chance.finish_h
    assert (hours[1], hours[10], hours[19]) == pytest.approx((done.low, done.best, done.high))


@pytest.mark.law
def test_chance_costs_most_where_both_match(points: tuple[AtMatch, ...]) -> None:
    """Chance never makes bales; what it costs is largest near equal times and fades either way."""
    lost = [at.steady_bales_h - at.chance_bales_h for at in points]
    assert min(lost) > 0.0
    assert points[lost.index(max(lost))].ratio == pytest.approx(1.0, abs=0.05)
    assert lost[0] < 0.05 * max(lost)
    assert lost[-1] < 0.05 * max(lost)
    paces = [at.chance_bales_h for at in points]
    assert paces == sorted(paces, reverse=True)


@pytest.mark.own
def test_a_match_without_wrapping_is_refused() -> None:
    """A wrapper whose handling alone is too long has no wrapping to change."""
    slow = replace(PLAIN, phases=replace(PLAIN.phases, take_over_s=40.0))
    with pytest.raises(BadInput, match="take_over_s"):
        match_paces(slow, Variation())
