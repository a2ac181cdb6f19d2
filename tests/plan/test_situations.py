"""The setup sheet against a table written before its rules were run on it."""

from __future__ import annotations

import ast
import hashlib
from pathlib import Path

import pytest

import situations_page
from balewright.quantities.sources import Strength, source
from situation_rows import TABLE, Row, noted, notes, put_right, rows, situations, table
from situations import compare, compared

_WRITTEN_SHA256 = "ae669134a3eb8d1b6028892dff8cf23d8a2c4e541a8d55a5d0510b1ce16723a1"
"""Of the table as it was written, before any rule was run on it."""
_COUNTED = (Strength.PUBLISHED, Strength.STANDARD)


def all_agree(model: str) -> bool:
    """Whether every expectation of a model that rests on a source's number is met, but for those
    told as disagreements; what is not stands in the failure.
    """
    asked = [
        one
        for one in compared()
        if one.row.model == model
        and one.row.pairs
        and (one.row.situation, one.row.said) not in noted()
    ]
    wrong = [(one.row.situation, one.row.said, one.found) for one in asked if not one.agrees]
    assert wrong == []
    return bool(asked)


@pytest.mark.own
def test_the_table_is_the_one_that_was_written_first() -> None:
    """Nothing in the table is loosened after the rules were run: the file is the one of then."""
    assert hashlib.sha256(TABLE.read_bytes()).hexdigest() == _WRITTEN_SHA256


@pytest.mark.own
def test_the_table_is_wide_enough() -> None:
    """Every make and crop, 15 to 78 % moisture, flat to 60 %, dust, stones, one roll and two."""
    asked = list(situations().values())
    assert len(asked) >= 48
    assert {one["make"] for one in asked} == {"mossgrinder-m2", "thistlewick-t1", "plainrow-p0"}
    assert {one["crop"] for one in asked} >= {"hay", "straw", "haylage", "grass silage", "lucerne"}
    wet = [one["moisture_frac"] for one in asked if one["moisture_frac"] < 0.9]
    assert min(wet) <= 0.15
    assert max(wet) >= 0.78
    assert {one["slope_frac"] for one in asked} >= {0.02, 0.08, 0.20, 0.60}
    assert any(one["dusty"] for one in asked)
    assert any(one["stony"] for one in asked)
    assert {one["film_width_m"] for one in asked} >= {0.0, 0.50, 0.60, 0.75}


@pytest.mark.law
@pytest.mark.parametrize("row", rows(), ids=lambda row: f"{row.situation}: {row.said}")
def test_the_sheet_says_what_the_table_expects_or_the_difference_is_told(row: Row) -> None:
    """Exactly the noted expectations disagree: neither more nor, once mended, fewer."""
    found = compare(row)
    told = noted().get((row.situation, row.said))
    assert found.agrees == (told is None), found.found


@pytest.mark.law
def test_every_expectation_names_sources_that_can_be_looked_up() -> None:
    """A row nobody can check is no row; common practice says that it is that."""
    for row in rows():
        assert row.sources
        assert all(source(key).text for key in row.sources)


@pytest.mark.law
def test_every_disagreement_says_what_stood_there_who_was_right_and_why() -> None:
    """A disagreement belongs to a row of the table, holds the value of today and is reasoned."""
    answers = {(one.row.situation, one.row.said): one for one in compared()}
    for key, told in noted().items():
        assert answers[key].found == told["found"]
        assert told["right"] in ("table", "rules", "both")
        assert len(told["why"]) > 20
    for key, told in put_right().items():
        assert answers[key].agrees
        assert told["was"]
        assert told["now"]


@pytest.mark.law
def test_stricter_patterns_only_narrow_a_topic_of_the_table() -> None:
    """What was added after the table can make a comparison fail, never pass."""
    assert set(notes()["stricter"]) <= set(table()["topics"])


@pytest.mark.own
def test_the_first_run_counted_every_row() -> None:
    """What is published of the first run adds up: agreed, put right since, and disagreeing."""
    first = notes()["first_run"]
    assert first["compared"] == len(rows())
    assert first["compared"] - first["agreed"] == len(noted()) + len(put_right())


@pytest.mark.own
def test_the_page_of_situations_is_current() -> None:
    """docs/situations.md is what the table and the notes say."""
    page = situations_page.PAGE.read_text()
    assert page == situations_page.page(), "run: python tests/situations_page.py"


@pytest.mark.law
def test_what_counts_as_a_check_is_what_the_table_compares() -> None:
    """Every (model, source) pair this file claims is compared by a number in the table, and
    agrees; and none that is published is left out.
    """
    tree = ast.parse(Path(__file__).read_text())
    calls = [node for node in ast.walk(tree) if isinstance(node, ast.Call)]
    marked = [node for node in calls if ast.unparse(node.func) == "pytest.mark.check"]
    claimed = {tuple(ast.literal_eval(word.value) for word in node.keywords) for node in marked}
    agreeing = {pair for one in compared() if one.agrees for pair in one.row.pairs}
    counted = {pair for pair in agreeing if source(pair[1]).strength in _COUNTED}
    assert claimed <= agreeing
    assert counted <= claimed


@pytest.mark.published
@pytest.mark.check(model="sheet.additive", source="kentucky-acid-rates")
def test_acid_as_the_table_expects() -> None:
    """Acid for damp hay is what sources print for its moisture."""
    assert all_agree("sheet.additive")


@pytest.mark.practice
@pytest.mark.check(model="sheet.binding_delay_s", source="practice")
def test_binding_delay_as_the_table_expects() -> None:
    """Net waits until the machine has stopped feeding, film does not."""
    assert all_agree("sheet.binding_delay_s")


@pytest.mark.published
@pytest.mark.check(model="sheet.binding_turns", source="ifj-net")
@pytest.mark.check(model="sheet.binding_turns", source="practice")
@pytest.mark.check(model="sheet.binding_turns", source="shinners-net")
def test_binding_turns_as_the_table_expects() -> None:
    """Net and twine get the turns that sources print."""
    assert all_agree("sheet.binding_turns")


@pytest.mark.published
@pytest.mark.check(model="sheet.density_kg_m3", source="missouri-g1250")
def test_hay_density_as_the_table_expects() -> None:
    """Hay bales are as dense as hay bales are found to be."""
    assert all_agree("sheet.density_kg_m3")


@pytest.mark.derived
@pytest.mark.check(model="sheet.dry_matter_kg_m3", source="fas-bales-2021")
def test_dry_matter_density_as_the_table_expects() -> None:
    """A silage bale holds the dry matter that weighed bales held."""
    assert all_agree("sheet.dry_matter_kg_m3")


@pytest.mark.derived
@pytest.mark.check(model="sheet.film_g_bale", source="fas-bales-2021")
def test_film_mass_as_the_table_expects() -> None:
    """A bale takes the film that farms were found to use."""
    assert all_agree("sheet.film_g_bale")


@pytest.mark.published
@pytest.mark.check(model="sheet.layers", source="borreani-2010")
@pytest.mark.check(model="sheet.layers", source="ifj-film-binding")
@pytest.mark.check(model="sheet.layers", source="mceniry-2011")
@pytest.mark.check(model="sheet.layers", source="muller-2011")
@pytest.mark.check(model="sheet.layers", source="nonaka-1999")
@pytest.mark.check(model="sheet.layers", source="penn-state-baleage")
@pytest.mark.check(model="sheet.layers", source="shinners-press")
@pytest.mark.check(model="sheet.layers", source="teagasc-tips")
@pytest.mark.check(model="sheet.layers", source="uk-baleage-q14")
@pytest.mark.check(model="sheet.layers", source="wisconsin-silage-bales")
@pytest.mark.check(model="sheet.layers", source="wisconsin-wrapped-squares")
def test_layers_as_the_table_expects() -> None:
    """Layers lie in the range of advice for crop, moisture, climate and months."""
    assert all_agree("sheet.layers")


@pytest.mark.published
@pytest.mark.check(model="sheet.mass_kg", source="kerryman-2017")
def test_mass_as_the_table_expects() -> None:
    """Wrapped bales weigh what wrapped bales weigh."""
    assert all_agree("sheet.mass_kg")


@pytest.mark.published
@pytest.mark.check(model="sheet.overlap_frac", source="penn-state-baleage")
@pytest.mark.check(model="sheet.overlap_frac", source="uk-baleage-q14")
def test_overlap_as_the_table_expects() -> None:
    """Film of the usual width laps over half."""
    assert all_agree("sheet.overlap_frac")


@pytest.mark.published
@pytest.mark.check(model="sheet.pre_stretch_frac", source="en-14932")
@pytest.mark.check(model="sheet.pre_stretch_frac", source="uk-baleage-q14")
def test_pre_stretch_as_the_table_expects() -> None:
    """Film is stretched as the standard and advice have it."""
    assert all_agree("sheet.pre_stretch_frac")


@pytest.mark.published
@pytest.mark.check(model="sheet.says.heating", source="florida-ag181")
@pytest.mark.check(model="sheet.says.heating", source="mississippi-hay-fire")
@pytest.mark.check(model="sheet.says.heating", source="ohio-agf010")
@pytest.mark.check(model="sheet.says.heating", source="practice")
@pytest.mark.check(model="sheet.says.heating", source="purdue-hay-fire")
@pytest.mark.check(model="sheet.says.heating", source="umn-wrapping-hay")
@pytest.mark.check(model="sheet.says.heating", source="wisconsin-propionic")
@pytest.mark.check(model="sheet.says.heating", source="wisconsin-silage-bales")
def test_heating_as_the_table_expects() -> None:
    """Hay above the limits is warned of fire; below them it is not."""
    assert all_agree("sheet.says.heating")


@pytest.mark.published
@pytest.mark.check(model="sheet.says.too_dry_to_ferment", source="georgia-baleage")
@pytest.mark.check(model="sheet.says.too_dry_to_ferment", source="west-virginia-wrap")
def test_too_dry_as_the_table_expects() -> None:
    """Wrapped crop drier than sources want is told that it may not ferment."""
    assert all_agree("sheet.says.too_dry_to_ferment")


@pytest.mark.published
@pytest.mark.check(model="sheet.says.wrong_fermentation", source="coblentz-2018")
@pytest.mark.check(model="sheet.says.wrong_fermentation", source="florida-ag181")
@pytest.mark.check(model="sheet.says.wrong_fermentation", source="georgia-baleage")
@pytest.mark.check(model="sheet.says.wrong_fermentation", source="kentucky-botulism")
@pytest.mark.check(model="sheet.says.wrong_fermentation", source="minnesota-baleage")
@pytest.mark.check(model="sheet.says.wrong_fermentation", source="ohio-agf010")
def test_wrong_fermentation_as_the_table_expects() -> None:
    """Crop above the limit is warned of wrong fermentation; in the window not."""
    assert all_agree("sheet.says.wrong_fermentation")


@pytest.mark.practice
@pytest.mark.check(model="sheet.speed_m_s", source="d497-memory")
def test_speed_as_the_table_expects() -> None:
    """Forward speed is one that round balers are driven at."""
    assert all_agree("sheet.speed_m_s")


@pytest.mark.published
@pytest.mark.check(model="sheet.windrow_width_m", source="pami-round-baling")
@pytest.mark.check(model="sheet.windrow_width_m", source="progressive-windrow-width")
def test_row_width_as_the_table_expects() -> None:
    """The row to make is as wide as the chamber or a little wider."""
    assert all_agree("sheet.windrow_width_m")
