"""Profile files: three makes that differ, and one broken file for each defect."""

from __future__ import annotations

from pathlib import Path

import pytest

from balewright.plan.machine import Machine
from balewright.plan.profile.checks import ranges
from balewright.plan.profile.keys import SECTIONS, settable, sheet_lines
from balewright.quantities.errors import BadProfile
from balewright.readers.profile import MAKES, MAX_BYTES, read_profile, shipped_profiles

BROKEN = Path(__file__).parent / "profiles_broken"
DOCS = Path(__file__).parents[2] / "docs" / "profiles.md"

# Each broken file is named by its one defect; the message says where, what is needed, what was
# given and the cure. Written by hand from the schema's documentation.
MESSAGES = {
    "binary_junk": "needs a text file, was given binary content. Give the TOML file",
    "binding_in_single_brackets": "binding: needs tables [[binding]], was given {'kind': 'net'",
    "binding_kind_twice": "binding[2].kind: needs each kind of binding once, was given 'net'.",
    "brackets_without_end": "needs TOML, was given",
    "caution_not_known": "was given 'caution.gat'. Did you mean 'caution.gate'?",
    "density_beside_full_pressure": "chamber.density_bar: needs no density_bar where pressure is",
    "dial_not_rising": "dials.chamber_bar.values: needs rising numbers",
    "dial_of_a_setting_it_lacks": "dials.roll_after_s: needs a setting this machine has",
    "dial_of_no_setting": "dials.chamber_bars: needs a key of the schema, was given "
    "'chamber_bars'. Did you mean chamber_bar?",
    "dial_outside_the_range": "dials.chamber_bar.values: needs values inside the setting's range, "
    "50 to 100, was given 120.",
    "dial_position_twice": "dials.chamber_bar.positions: needs each position once",
    "dial_with_a_value_too_few": "dials.chamber_bar: needs as many values as positions, was given "
    "3 positions, 2 values.",
    "endless_whole_number": "needs numbers a machine can have, was given a number of thousands",
    "fixed_chamber_with_a_range": "chamber.diameter_m: needs twice the same diameter in a fixed "
    "chamber, was given [1, 1.5]. Write the one diameter twice.",
    "flag_in_quotes": "wrapper.break_monitor: needs true or false, was given 'yes'.",
    "full_outside_the_chamber": "chamber.full_at_m: needs diameters inside diameter_m, 1 to 1.5",
    "full_sign_of_another_kind": "chamber.full_at_mm: needs no full_at_mm where full_sign is "
    "diameter, was given [10, 20]. Take it out, or set full_sign to 'gate opening'.",
    "full_sign_without_its_key": "chamber.full_at_m: needs two numbers [lowest, highest] from 0.5 "
    "to 2.2, was given nothing.",
    "key_missing": "version: needs a whole number from 1 to 10000, was given nothing. Add version",
    "key_missing_in_a_section": "wrapper.advance_m: needs a number from 0.05 to 1.5, was given "
    "nothing. Add advance_m: surface advance of the bale per wrap turn.",
    "key_twice_in_a_table": "(at line 9,",
    "key_with_capitals": "key: needs a name of small letters, digits and hyphens, was given "
    "'Tin Hen'.",
    "latin_1": "needs UTF-8 text, was given another encoding in line 3. Save the file as UTF-8.",
    "list_empty": "knives.banks: needs whole numbers from 1 to 40, was given [].",
    "no_binding": "binding: needs at least one table [[binding]], was given nothing.",
    "no_equals_sign": "(at line 8,",
    "number_in_millimetres": "chamber.width_m: needs a number from 0.6 to 2, was given 1200. Check "
    "the unit: the key ends in it.",
    "number_in_quotes": "was given '1.2 m'. Write a bare number, without quotes or a unit.",
    "number_is_nan": "wrapper.advance_m: needs a number from 0.05 to 1.5, was given nan.",
    "number_too_long_for_a_float": "needs a number from 0.05 to 1.5, was given 1000",
    "own_word_of_a_setting_it_lacks": "own_words.roll_before_s: needs a setting this machine has",
    "range_is_one_number": "wrapper.rpm: needs two numbers [lowest, highest] from 1 to 80, was "
    "given 20.",
    "range_of_three": "was given [10, 20, 30]. Write [lowest, highest].",
    "range_upside_down": "was given [30, 10]. Write [lowest, highest].",
    "section_is_a_number": "knives: needs a table [knives], was given 13. Write it as [knives].",
    "section_missing": "counter: needs a table [counter], was given nothing.",
    "sensor_of_no_column": "sensors.diametre_m: needs a key of the schema, was given "
    "'diametre_m'. Did you mean diameter_m?",
    "service_item_twice": "service[2].key: needs each item once, was given 'belts'.",
    "service_with_two_intervals": "service[1]: needs exactly one of every_bales and every_hours, "
    "was given both.",
    "service_without_interval": "service[1]: needs exactly one of every_bales and every_hours, "
    "was given neither.",
    "side_twice": "tip.sides: needs a list, each one of round, end, was given ['round', 'round'].",
    "steps_not_rising": "knives.pressure_bar: needs rising numbers from 1 to 250, was given "
    "[20, 40, 30]. Write each number once, lowest first.",
    "three_dispensers": "wrapper.dispensers: needs a whole number from 1 to 2, was given 3.",
    "title_not_text": "title: needs text of 1 to 60 characters, was given 7. Write text in quotes.",
    "title_too_long": "Write one line of that length at most.",
    "unknown_key_at_the_top": "titel: needs a key of the schema, was given 'titel'. Did you mean "
    "title?",
    "unknown_key_in_a_section": "chamber.widht_m: needs a key of the schema, was given 'widht_m'. "
    "Did you mean width_m?",
    "unknown_section": "trailer: needs a key of the schema, was given 'trailer'. Take it out.",
    "variable_chamber_without_a_range": "chamber.diameter_m: needs a range of diameters in a "
    "variable chamber, was given [1.2, 1.2].",
    "version_with_a_point": "version: needs a whole number from 1 to 10000, was given 1.0.",
    "word_not_known": "wrapper.kind: needs one of ring, arms, table, was given 'arm'. Did you "
    "mean 'arms'?",
}
MANY = {"empty": 7, "four_faults_at_once": 4}


@pytest.mark.derived
@pytest.mark.parametrize("defect", sorted(MESSAGES))
def test_one_defect_gives_one_clear_fault(defect: str) -> None:
    """A file with one defect gives one fault that names the file, the key and the cure."""
    with pytest.raises(BadProfile) as caught:
        read_profile(BROKEN / f"{defect}.toml")
    assert len(caught.value.faults) == 1
    assert str(caught.value).startswith(f"{defect}.toml: ")
    assert MESSAGES[defect] in str(caught.value)


@pytest.mark.derived
@pytest.mark.parametrize("defect", sorted(MANY))
def test_all_faults_of_the_schema_come_at_once(defect: str) -> None:
    """A file with several faults of the schema gives every one of them in one go."""
    with pytest.raises(BadProfile, match=defect) as caught:
        read_profile(BROKEN / f"{defect}.toml")
    assert len(caught.value.faults) == MANY[defect]


@pytest.mark.own
def test_every_broken_file_is_expected() -> None:
    """No fixture of a defect is left untested."""
    assert {path.stem for path in BROKEN.glob("*.toml")} == MESSAGES.keys() | MANY.keys()


@pytest.mark.derived
def test_files_that_are_no_profile(tmp_path: Path) -> None:
    """A missing file, a folder and a file far too big are refused by name, never with a trace."""
    big = tmp_path / "big.toml"
    big.write_bytes(b"#" * (MAX_BYTES + 1))
    with pytest.raises(BadProfile, match=r"big\.toml: needs at most 65536 bytes, was given more"):
        read_profile(big)
    with pytest.raises(BadProfile, match=r"gone\.toml: needs a file that can be read"):
        read_profile(tmp_path / "gone.toml")
    with pytest.raises(BadProfile, match="needs a file, was given a folder"):
        read_profile(tmp_path)


@pytest.mark.own
def test_three_makes_differ_in_every_respect() -> None:
    """No two shipped makes share a size, a sign, a range, a binding range, a wrapper or a count."""
    makes = list(shipped_profiles().values())
    assert len(makes) == 3

    def differ(*values: object) -> None:
        assert len(set(values)) == len(values), values

    differ(*(make.chamber.width_m for make in makes))
    differ(*(make.chamber.diameter_m for make in makes))
    differ(*(make.chamber.full_sign for make in makes))
    differ(*(make.chamber.full_at for make in makes))
    differ(*(tuple(sorted(binding.kind for binding in make.bindings)) for make in makes))
    differ(*(make.bindings[0].turns for make in makes))
    differ(*(make.bindings[0].delay_s for make in makes))
    differ(*(make.bindings[0].roll_width_m for make in makes))
    differ(*(make.wrapper and (make.wrapper.kind, make.wrapper.dispensers) for make in makes))
    differ(*(make.wrapper and make.wrapper.film_width_m for make in makes))
    differ(*(make.wrapper and make.wrapper.pre_stretch_frac for make in makes))
    differ(*(make.wrapper and make.wrapper.advance_m for make in makes))
    differ(*(make.wrapper and make.wrapper.metres_counted for make in makes))
    differ(*(make.wrapper and make.wrapper.rpm for make in makes))
    differ(*(make.knives for make in makes))
    differ(*(make.tip for make in makes))
    differ(*(make.oil_ml_bale for make in makes))
    differ(*(make.grease_cartridge_bales for make in makes))
    differ(*(make.counter for make in makes))
    differ(*(make.dials for make in makes))
    differ(*(tuple(sensor.column for sensor in make.sensors) for make in makes))


@pytest.mark.own
def test_no_make_carries_one_designs_habits_together() -> None:
    """No make has the 30 mm opening, 35/45/55 bar knives or the 300 bale cartridge."""
    for make in shipped_profiles().values():
        assert make.grease_cartridge_bales != 300
        assert make.knives is None or {35, 45, 55}.isdisjoint(make.knives.pressure_bar)
        assert not (make.chamber.full_at.low <= 30 <= make.chamber.full_at.high)


@pytest.mark.law
@pytest.mark.parametrize("make", shipped_profiles().values(), ids=lambda make: str(make.key))
def test_dials_turn_back_exactly(make: Machine) -> None:
    """Every position of every dial gives a value whose position is the same one."""
    for dial in make.dials:
        for position in dial.positions:
            assert dial.position_for(dial.value_at(position)) == position
        assert dial.setting in ranges(make)


@pytest.mark.own
def test_file_name_follows_the_key() -> None:
    """A shipped file is found by its profile's key."""
    names = {path.stem.replace("_", "-") for path in MAKES.glob("*.toml")}
    assert names == set(shipped_profiles())


@pytest.mark.own
def test_the_schema_document_is_complete() -> None:
    """docs/profiles.md has a row for every key, with its form and its meaning."""
    document = DOCS.read_text(encoding="utf-8")
    for section in SECTIONS:
        for key in section.keys:
            dotted = f"{section.path}.{key.name}" if section.path else key.name
            sets = ", ".join(f"`{line}`" for line in key.sets) or "fixed"
            need = "no" if key.optional else "yes"
            row = f"| `{dotted}` | {key.form.need} | {need} | {sets} | {key.meaning} |"
            assert row in document, row


@pytest.mark.own
def test_what_a_machine_can_set_are_sheet_lines() -> None:
    """Every setting of every make is a line of the sheet, and each set key names one."""
    for make in shipped_profiles().values():
        assert set(ranges(make)) <= set(sheet_lines())
    assert {line for _, line in settable()} <= set(sheet_lines())
