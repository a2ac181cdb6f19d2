"""`balewright layers --chance`."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from balewright.cli.entry import run

LINE = ["layers", "--diameter-m", "1.25", "--length-m", "1.23", "--advance-m", "0.491"]
FILM = ["--film-width-mm", "750", "--stretch", "0.70"]
TURNS = ["--turns", "12"]
DIAMETERS_M = (1.24, 1.29, 1.21, 1.26, 1.33, 1.25, 1.22, 1.27)
SPREAD = ["--diameter-spread-m", "0.03", "--advance-spread-m", "0.01", "--stretch-spread", "0.03"]
SPREAD += ["--neck-in-spread", "0.02"]


def asked(capsys: pytest.CaptureFixture[str], *more: str) -> dict[str, Any]:
    """The answer as JSON."""
    assert run([*LINE, *FILM, *TURNS, *more, "--json"]) == 0
    answer: dict[str, Any] = json.loads(capsys.readouterr().out)
    return answer


@pytest.mark.own
def test_chance_and_turns(capsys: pytest.CaptureFixture[str]) -> None:
    """Chance now, chance of layers, and the turns for the wanted chance with their table."""
    answer = asked(capsys, *SPREAD, "--chance", "0.99")
    assert answer["chance_fraction"] == pytest.approx(0.9679, abs=5e-4)
    assert answer["turns_for_chance"] == 13
    assert [row["turns"] for row in answer["by_turns"]] == list(range(10, 17))
    assert answer["by_turns"][2]["chance_fraction"] == answer["chance_fraction"]
    assert answer["film_m_bale"] == pytest.approx(70.05, abs=0.01)
    assert {one["layers"] for one in answer["layer_chances"]} >= {5, 6, 7}


@pytest.mark.law
def test_what_may_stay_short_makes_it_likelier(capsys: pytest.CaptureFixture[str]) -> None:
    """A sliver or a share allowed never lowers the chance; the flat sides never raise it."""
    chances = [
        asked(capsys, *SPREAD, *more)["chance_fraction"]
        for more in ([], ["--allow-sliver-mm", "20"], ["--allow-short-area", "0.01"])
    ]
    assert chances[0] < min(chances[1:])
    assert asked(capsys, *SPREAD, "--everywhere")["chance_fraction"] <= chances[0]


@pytest.mark.law
def test_without_spread_it_agrees_with_the_count(capsys: pytest.CaptureFixture[str]) -> None:
    """A wanted chance and nothing that varies: the turns that `layers` finds itself."""
    answer = asked(capsys, "--chance", "0.95")
    assert run([*LINE, *FILM, *TURNS, "--json"]) == 0
    plain = json.loads(capsys.readouterr().out)
    assert answer["turns_for_chance"] == plain["turns_from_start"]
    assert (answer["chance_fraction"], answer["chance_error_fraction"]) == (1.0, 0.0)
    assert answer["film_m_bale"] == pytest.approx(plain["film_m_bale"])


@pytest.mark.own
def test_words_for_a_measured_strip_and_a_lost_roll(capsys: pytest.CaptureFixture[str]) -> None:
    """A strip's own deviation; with a lost roll there is a chance and no table of turns."""
    strip = ["--strip-m", "0.60", "--strip-spread-m", "0.01"]
    assert run([*LINE, *strip, *TURNS, "--diameter-spread-m", "0.03"]) == 0
    said = capsys.readouterr().out
    assert "strip 10\xa0mm" in said
    assert "film a bale" not in said
    assert run([*LINE, *strip, *TURNS, "--lost-at", "6", "--chance", "0.9"]) == 0
    said = capsys.readouterr().out
    assert "the other is lost at 6" in said
    assert "bales as wanted" not in said


@pytest.mark.derived
def test_spreads_from_records(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """What records show is used where nothing is given, and told with how well it is known."""
    file = tmp_path / "bales.csv"
    rows = [f"M-1,{place},{across}" for place, across in enumerate(DIAMETERS_M, start=1)]
    head = ["# balewright bale table 1", "machine,bale_no,diameter_m"]
    file.write_text("\n".join([*head, *rows]) + "\n", encoding="utf-8")
    answer = asked(capsys, "--spread-from", str(file))
    shown = answer["spread_from"]
    assert (shown["bales"], shown["diameter_m"]["readings"], shown["stretch"]) == (8, 8, None)
    assert shown["diameter_m"]["deviation"] == pytest.approx(0.0387, abs=5e-5)
    assert answer["chance_fraction"] < asked(capsys, "--chance", "0.95")["chance_fraction"]
    assert run([*LINE, *FILM, *TURNS, "--spread-from", str(file)]) == 0
    said = capsys.readouterr().out
    assert "diameters of 8 bales differ by 39 mm, known between 26 and 79 mm" in said
    assert "stretch: fewer than five" in said


@pytest.mark.law
def test_records_that_tell_nothing_are_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Four bales are too few to tell a spread; the option that helps is named."""
    file = tmp_path / "bales.csv"
    rows = [f"M-1,{place},1.25" for place in range(4)]
    head = ["# balewright bale table 1", "machine,bale_no,diameter_m"]
    file.write_text("\n".join([*head, *rows]) + "\n", encoding="utf-8")
    assert run([*LINE, *FILM, *TURNS, "--spread-from", str(file)]) == 2
    assert "--diameter-spread-m 0.03" in capsys.readouterr().err


@pytest.mark.own
def test_a_picture_is_drawn(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """--svg draws the chance over turns; a folder that is not there is told."""
    file = tmp_path / "chance.svg"
    assert run([*LINE, *FILM, *TURNS, *SPREAD, "--svg", str(file)]) == 0
    assert file.read_text(encoding="utf-8").startswith("<svg ")
    lost = tmp_path / "none" / "chance.svg"
    assert run([*LINE, *FILM, *TURNS, *SPREAD, "--svg", str(lost)]) == 2
    assert "--svg" in capsys.readouterr().err


@pytest.mark.law
@pytest.mark.parametrize(
    ("more", "place"),
    [
        (["--chance", "95"], "--chance"),
        (["--chance", "1"], "--chance"),
        (["--chance", "nan"], "--chance"),
        (["--diameter-spread-m", "-1"], "--diameter-spread-m"),
        (["--diameter-spread-m", "inf"], "--diameter-spread-m"),
        (["--stretch-spread", "3"], "--stretch-spread"),
        (["--neck-in-spread", "nan"], "--neck-in-spread"),
        (["--strip-spread-m", "0.01"], "--strip-spread-m"),
        (["--allow-short-area", "1", "--allow-sliver-mm", "5"], "--allow-short-area"),
        (["--chance", "0.9", "--event", "roll 2 runs out at 6"], "--chance"),
        (["--chance", "0.9", "--allow-sliver-mm", "nan"], "--allow-sliver-mm"),
        (["--chance", "0.9", "--diameter-m", "125"], "--diameter-m"),
        (["--chance", "0.9", "--turns", "2000"], "--turns"),
    ],
)
def test_bad_input_is_told_by_option(
    more: list[str], place: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """Exit code 2 and the option's name, as people typed it."""
    assert run([*LINE, *FILM, *TURNS, *more]) == 2
    assert place in capsys.readouterr().err


@pytest.mark.law
@pytest.mark.parametrize("option", ["--stretch-spread", "--neck-in-spread"])
def test_deviations_of_a_roll_want_the_roll(
    option: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """A strip measured on the bale does not say what stretch and neck-in make of a roll."""
    assert run([*LINE, "--strip-m", "0.6", *TURNS, option, "0.02"]) == 2
    assert "--film-width-mm" in capsys.readouterr().err
