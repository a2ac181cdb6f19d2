"""Charts of what was watched: nothing far out is lost, nothing is drawn that was not read."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from balewright.pictures.fleet_chart import Beside, draw_fleet
from balewright.pictures.measure_chart import NARROW, WIDE, Told, View, draw_readings
from balewright.pictures.readings import MOST_DOTS, Readings, gather_bars
from balewright.quantities.interval import Interval
from balewright.words.say import say

SVG = "{http://www.w3.org/2000/svg}"


Values = np.ndarray[tuple[int], np.dtype[np.float64]]


def readings(values: Values, is_rate: bool = False) -> Readings:
    """Readings with an expected level of their median, limits of 1, and jobs of 40 bales."""
    count = len(values)
    level = np.full(count, np.nanmedian(values) if np.isfinite(values).any() else 0.0)
    none = np.full(count, np.nan)
    begins = np.arange(count) % 40 == 0
    numbers = np.arange(1, count + 1)
    return Readings("chamber_bar", is_rate, numbers, values, level, level - 1, level + 1, none,
                    none, begins)  # fmt: skip


@pytest.mark.law
@given(
    arrays(np.float64, st.integers(1, 6_000), elements=st.floats(-1e6, 1e6) | st.just(np.nan)),
    st.integers(0, 3_000),
)
@settings(max_examples=60, deadline=None)
def test_gathering_loses_no_extreme_and_makes_up_none(values: Values, first: int) -> None:
    """The lowest and highest known reading stay; few bales stay as they are; unknown stay out."""
    first = min(first, len(values) - 1)
    known = values[first:][np.isfinite(values[first:])]
    bars = gather_bars(values, first, len(values))
    assert len(bars.places) <= MOST_DOTS
    if not len(known):
        assert not len(bars.places)
        return
    assert bars.low.min() == known.min()
    assert bars.high.max() == known.max()
    assert (bars.low <= bars.middle).all()
    assert (bars.middle <= bars.high).all()
    if len(values) - first <= MOST_DOTS:
        assert bars.bales == 1
        np.testing.assert_array_equal(bars.middle, known)


@pytest.mark.law
@pytest.mark.parametrize("width", [NARROW, WIDE])
def test_each_bale_is_a_dot_inside_the_picture(width: float) -> None:
    """As many dots as known readings, all within the frame; a lone wild one is counted, not lost;
    words are escaped; the description says what is drawn."""
    rng = np.random.default_rng(7)
    values = rng.normal(100.0, 1.0, 300)
    values[50:60] = np.nan
    values[200] = 900.0
    told = Told(start=(149, 152), since=150, told=160)
    drawn = draw_readings(readings(values), told, View(0, 300, width, "<b>", "bar"), say)
    root = ET.fromstring(drawn)
    _, _, wide, high = (float(one) for one in root.attrib["viewBox"].split())
    (dots,) = (
        one.attrib["d"] for one in root.iter(f"{SVG}path") if one.attrib["d"].count("h0") > 1
    )
    places = [tuple(map(float, one)) for one in re.findall(r"M([\d.]+) ([\d.]+)h0", dots)]
    assert len(places) == 290
    assert all(0 <= x <= wide and 0 <= y <= high for x, y in places)
    said = root.findtext(f"{SVG}desc") or ""
    assert "1\N{NO-BREAK SPACE}reading" in said or "1 reading" in said
    assert "it began between bales 150 and 153" in said
    assert root.findtext(f"{SVG}title") == "<b>"


@pytest.mark.law
def test_a_rate_shows_its_events_and_both_rates() -> None:
    """Events stand one by one, with the rate before and since and its interval."""
    values = np.zeros(400)
    values[[20, 210, 215, 230, 260]] = 1.0
    told = Told(since=200, told=232, rate_since=Interval(1.0, 2.0, 4.0, 0.95))
    shown = readings(values, is_rate=True)
    drawn = draw_readings(shown, told, View(0, 400, NARROW, "breaks", ""), say)
    said = ET.fromstring(drawn).findtext(f"{SVG}desc") or ""
    assert "5 times on these 400 bales" in said
    assert "since: 2.0 (1.0 to 4.0) in 100 bales" in said


@pytest.mark.law
def test_machines_beside_each_other_keep_their_order_on_the_axis() -> None:
    """A higher value lies further right, within its own interval, whatever its name."""
    some = [
        Beside("A & <b>", Interval(8.0, 9.0, 11.0), True),
        Beside("B", Interval(4.0, 5.0, 5.5), False),
        Beside("C", Interval(-1.0, 0.5, 1.0), False),
    ]
    root = ET.fromstring(draw_fleet(some, 5.0, "bar", say))
    across = [float(one.attrib["cx"]) for one in root.iter(f"{SVG}circle")]
    assert across == sorted(across, reverse=True)
    bars = [one for one in root.iter(f"{SVG}line") if one.get("stroke-linecap") == "round"]
    for at, bar in zip(across, bars, strict=True):
        assert float(bar.attrib["x1"]) <= at <= float(bar.attrib["x2"])


@pytest.mark.law
def test_each_job_has_a_line_at_its_middle_reading() -> None:
    """Eight jobs of 40 bales, four of them higher: eight level lines and a legend that names them;
    a job without a reading has none, and of one job alone none is drawn."""
    values = np.where(np.arange(320) < 160, 100.0, 103.0) + np.tile([-1.0, 0.0, 1.0, 0.0], 80)
    values[40:80] = np.nan
    drawn = _drawn_level_lines(values, 320)
    assert len(drawn) == 7
    assert len({y for y, _ in drawn}) == 2
    assert not _drawn_level_lines(values, 40)


def _drawn_level_lines(values: Values, last: int) -> list[tuple[str, str]]:
    """Where lines of one height in the colour of the text stand, and where they begin."""
    picture = draw_readings(readings(values), Told(), View(0, last, WIDE, "t", "bar"), say)
    assert ("middle reading of each job" in picture) == (last > 40)
    found = []
    for path in ET.fromstring(picture).iter(f"{SVG}polyline"):
        points = [point.split(",") for point in path.get("points", "").split()]
        if path.get("stroke") == "currentColor" and len(points) == 2:
            assert points[0][1] == points[1][1]
            found.append((points[0][1], points[0][0]))
    return found
