"""Fields of real task data as outlines, held against shapely, their stated areas and real bales."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import shapely  # type: ignore[import-untyped]

from balewright.readers.task_data import TaskData, open_task_data, task_bales
from balewright.readers.task_data.field_outlines import outlines_of
from balewright.records.bales import BaleTable, bale_table, concatenate
from balewright.records.fields.areas import gather_areas
from balewright.records.fields.find_misplaced import find_misplaced
from balewright.records.fields.inside import area_m2, is_inside, outline_depth_m
from balewright.records.fields.misplaced import JobPlace
from balewright.records.outlines import Outline
from balewright.records.quality import Mark

HEAD = '<ISO11783_TaskData VersionMajor="4" VersionMinor="2">'


@pytest.mark.derived
def test_broken_rings_are_left_out_and_named(tmp_path: Path) -> None:
    """A field of two polygons, one with a bad hole; one whose outer ring has two corners; a zone
    that is no boundary."""
    good = "".join(
        f'<PNT A="2" C="{lat}" D="{lon}"/>' for lat, lon in ((8, -38), (8, -37), (9, -37))
    )
    bad = '<PNT A="2" C="8" D="-38"/><PNT A="2" C="95" D="-38"/><PNT A="2" C="x" D="-38"/>'
    two = '<PNT A="2" C="8" D="-38"/><PNT A="2" C="8" D="-37"/>'
    (tmp_path / "TASKDATA.XML").write_text(
        f'{HEAD}<CTR A="CTR1" B="Umber"/><FRM A="FRM1" B="Yard" I="CTR1"/>'
        f'<PFD A="PFD1" C="Long field" D="1" F="FRM1">'
        f'<PLN A="1"><LSG A="1">{good}</LSG><LSG A="2">{bad}</LSG></PLN>'
        f'<PLN A="1"><LSG A="1">{good}</LSG></PLN><PLN A="2"><LSG A="1">{good}</LSG></PLN></PFD>'
        f'<PFD A="PFD2" C="Round field" D="1"><PLN A="1"><LSG A="1">{two}</LSG></PLN></PFD>'
        "</ISO11783_TaskData>"
    )
    data = open_task_data(tmp_path)
    ring = ((8.0, -38.0), (8.0, -37.0), (9.0, -37.0))
    assert outlines_of(data) == (Outline("Long field", (ring, ring), "Yard", "Umber"),)
    said = [doubt.text for doubt in data.doubts if doubt.kind is Mark.ELEMENT_UNKNOWN]
    assert any("2 corner(s) of this ring are no places" in text for text in said)
    assert any("a ring of 2 different corner(s)" in text for text in said)


@pytest.fixture(scope="module")
def pool(data_dir: Path) -> TaskData:
    """A set with three drawn fields, one with holes."""
    return open_task_data(data_dir / "isoxml" / "01-device-pool-with-round-baler.zip")


@pytest.fixture(scope="module")
def season(data_dir: Path) -> TaskData:
    """The real season of a square baler: five tasks in five drawn fields."""
    return open_task_data(data_dir / "isoxml" / "10-square-baler-5-tasks-14-logs")


@pytest.mark.reference
@pytest.mark.real_data
def test_fields_with_holes_agree_with_shapely_place_by_place(pool: TaskData) -> None:
    """Three fields, one with three holes: 2,000 places over each one's box lie alike."""
    found = outlines_of(pool)
    assert [(one.field, len(one.rings)) for one in found] == [
        ("73.67ac Field", 1),
        ("25.77ha with holes", 4),
        ("14.39ha Field", 1),
    ]
    chance = np.random.default_rng(1)
    for one in found:
        corners = np.concatenate([np.array(ring) for ring in one.rings])
        lat, lon = chance.uniform(corners.min(axis=0), corners.max(axis=0), (2_000, 2)).T
        outer, *holes = ([(x, y) for y, x in ring] for ring in one.rings)
        inside = shapely.contains_xy(shapely.Polygon(outer, holes), lon, lat)
        assert np.array_equal(is_inside(one, lat, lon), inside)
        assert 0.3 < inside.mean() < 0.99


@pytest.mark.reference
@pytest.mark.real_data
def test_areas_come_near_what_the_files_state(pool: TaskData, season: TaskData) -> None:
    """Eight real fields: seven within 0.8 % of the stated area, one (88,034 m2) within 4 %."""
    apart = []
    for data in (pool, season):
        stated = {field.name: field.area_m2 for field in data.fields if field.rings}
        apart += [abs(area_m2(one) / (stated[one.field] or 0) - 1) for one in outlines_of(data)]
    assert len(apart) == 8
    assert sorted(apart)[-2] < 0.008
    assert max(apart) < 0.04


def _bales(season: TaskData) -> BaleTable:
    return concatenate([batch.bales for batch in task_bales(season)])


@pytest.mark.derived
@pytest.mark.real_data
def test_every_real_bale_lies_in_the_field_of_its_task(season: TaskData) -> None:
    """233 bales of two machines: 230 within their own task's field, three less than 15 m outside
    it, none in another; nothing is called misplaced."""
    bales, outlines = _bales(season), {one.field: one for one in outlines_of(season)}
    places = {each.task.job: JobPlace(each.field) for each in season.tasks}
    areas = gather_areas(outlines.values())
    own = np.full(bales.rows, -np.inf)
    for job, place in places.items():
        depth = outline_depth_m(
            outlines[place.field or ""], bales.floats("lat"), bales.floats("lon")
        )
        own = np.where(bales.column("job") == job, depth, own)
    assert (int((own > 0).sum()), int((own > -15).sum())) == (230, 233)
    for machine in sorted(set(bales.column("machine").tolist())):
        rows = bales.take(bales.column("machine") == machine)
        assert find_misplaced(machine, rows, places, areas) == ()
        assert find_misplaced(machine, rows, {}, areas) == ()
        assert find_misplaced(machine, rows, {}) == ()


@pytest.mark.derived
@pytest.mark.real_data
@pytest.mark.parametrize("drawn", [True, False])
def test_a_job_left_open_on_real_bales_is_found(season: TaskData, drawn: bool) -> None:
    """The first 41 bales of the fourth task put under the third: found to the bale, with outlines
    (those near the border by their neighbours) and without."""
    bales = _bales(season)
    machine = bales.column("machine")[bales.column("job") == "Quaderballen 44"][0]
    bales = bales.take(bales.column("machine") == machine)
    jobs = bales.column("job").copy()
    astray = np.flatnonzero(jobs == "Quaderballen 44")[:41]
    jobs[astray] = "Quaderballen 43"
    table = bale_table(bales.rows, {**bales.values, **_unknown(bales), "job": jobs})
    places = {each.task.job: JobPlace(each.field) for each in season.tasks}
    areas = gather_areas(outlines_of(season)) if drawn else ()
    found = find_misplaced(machine, table, places, areas)
    (one,) = found
    assert (one.job, one.belongs_to) == ("Quaderballen 43", "Quaderballen 44")
    assert one.lies_in == "Field 4"
    assert set(one.rows) <= set(astray.tolist())
    assert len(one.rows) >= (38 if drawn else 41)


def _unknown(bales: BaleTable) -> dict[str, list[object]]:
    """Every column with None where it is unknown."""
    return {name: [bales.cell(row, name) for row in range(bales.rows)] for name in bales.values}
