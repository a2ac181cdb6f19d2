"""`balewright power` and `balewright cost` as people type them."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any
from xml.etree import ElementTree as ET

import pytest

from balewright.cli.entry import run

POWER = (
    *("power", "--chamber", "fixed", "--windrow-kg-m", "2.4", "--speed-km-h", "9"),
    *("--knives", "13", "--machine-kg", "7500", "--oil-l-min", "45", "--oil-bar", "180"),
    *("--tractor-kw", "110", "--tractor-kg", "7000"),
)
COST = (
    *("cost", "--chamber", "fixed", "--diameter-m", "1.25", "--length-m", "1.23"),
    *("--dm-kg-m3", "180", "--moisture", "0.55", "--windrow-kg-m", "4", "--speed-km-h", "9"),
    *("--turns", "12", "--tractor-kw", "110", "--dm-t-year", "1200", "--dm-t-ha", "4"),
    *("--price", "120000", "--years", "8", "--interest", "0.04", "--tih", "0.01"),
    *("--tractor-price", "130000", "--tractor-years", "12", "--tractor-hours", "700"),
    *("--film-roll-money", "95", "--binding-roll-money", "230", "--binding-roll-m", "3000"),
    *("--fuel-money-l", "1.10", "--wage-money-h", "20"),
)


def asked(capsys: pytest.CaptureFixture[str], *words: str) -> dict[str, Any]:
    """The JSON answer; the command must end well."""
    assert run([*words, "--json"]) == 0
    answer: dict[str, Any] = json.loads(capsys.readouterr().out)
    return answer


@pytest.mark.derived
def test_power_by_hand(capsys: pytest.CaptureFixture[str]) -> None:
    """2.4 kg/m at 9 km/h are 21.6 t/h: 2.5 + 1.8 x 21.6 = 41.4 kW; oil 13.5 kW behind a pump."""
    answer = asked(capsys, *POWER)
    assert (answer["balewright"], answer["version"]) == ("power", 1)
    assert answer["parts_kw"]["baling"]["best"] == pytest.approx(41.38)
    assert answer["parts_kw"]["oil"]["best"] == pytest.approx(13.5 / 0.85)
    assert answer["power"] == "not certain"
    assert answer["oil_flow"] == answer["free_return"] == "unknown"


@pytest.mark.own
def test_cautions_are_said_before_anything_else(capsys: pytest.CaptureFixture[str]) -> None:
    """The first line on paper is a caution, and every caution comes before the table."""
    assert run(list(POWER)) == 0
    lines = capsys.readouterr().out.splitlines()
    cautions = [row for row, line in enumerate(lines) if line.startswith("! ")]
    assert cautions == list(range(len(cautions)))
    assert len(cautions) == 4


@pytest.mark.law
def test_cost_closes_on_the_command_line(capsys: pytest.CaptureFixture[str]) -> None:
    """Parts sum to the bale, and the bales of a hectare to the hectare."""
    answer = asked(capsys, *COST)
    assert sum(answer["parts"].values()) == pytest.approx(answer["bale_money"])
    assert answer["bale_money"] * answer["bales_ha"] == pytest.approx(answer["money_ha"])
    assert answer["area_ha_h"] == pytest.approx(answer["bales_h"] / answer["bales_ha"])
    assert answer["fuel_l_ha"] * answer["area_ha_h"] == pytest.approx(answer["fuel_l_h"])
    assert answer["own_from_bales"] is None
    assert answer["ends_money_t_dm"] is None
    assert len(answer["changes"]) == 6


@pytest.mark.own
def test_a_hired_rate_and_what_is_uncertain(capsys: pytest.CaptureFixture[str]) -> None:
    """Owning pays from some number of bales on, earlier where the rate has no film in it."""
    spread = ("--uncertain", "prices.fuel_money_l=0.9..1.6", "--uncertain", "made.bales_h=25..45")
    answer = asked(capsys, *COST, "--hired-money", "16", *spread)
    ends = answer["ends_money_t_dm"]
    assert ends["low"] < answer["money_t_dm"] < ends["high"]
    without = asked(capsys, *COST, "--hired-money", "16", "--hired-without-film")
    assert 0 < without["own_from_bales"] < answer["own_from_bales"]
    assert run([*COST, "--hired-money", "16", *spread]) == 0
    told = capsys.readouterr().out
    assert "own machine pays from" in told
    assert "Indiana, 2023: 12.70 to 13.81 USD" in told
    assert run([*COST, "--hired-money", "1"]) == 0
    assert "never pays" in capsys.readouterr().out


@pytest.mark.own
@pytest.mark.parametrize(
    ("line", "more", "place"),
    [
        (POWER, ("--slope", "8"), "--slope"),
        (POWER, ("--knives", "nan"), "--knives"),
        (COST, ("--interest", "4"), "--interest"),
        (COST, ("--film-roll-money", "0"), "--film-roll-money"),
        (COST, ("--uncertain", "prices.fuel=1"), "--uncertain"),
        (COST, ("--uncertain", "prices.fuel=1..2"), "--uncertain"),
        (COST, ("--uncertain", "prices.fuel_money_l=2..1"), "--uncertain"),
        (COST, ("--svg", "/nowhere/at/all.svg"), "--svg"),
    ],
)
def test_slips_are_told_with_exit_code_2(
    capsys: pytest.CaptureFixture[str], line: tuple[str, ...], more: tuple[str, ...], place: str
) -> None:
    """Per cent for fractions, no number, an unknown name, a file that cannot be: named, not run."""
    assert run([*line, *more]) == 2
    assert f"balewright: {place}:" in capsys.readouterr().err


@pytest.mark.own
@pytest.mark.parametrize("line", [POWER, COST])
def test_a_drawing_is_written(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, line: tuple[str, ...]
) -> None:
    """The file holds a picture with a title and a description."""
    file = tmp_path / "drawn.svg"
    assert run([*line, "--svg", str(file)]) == 0
    capsys.readouterr()
    tree = ET.parse(file).getroot()
    assert tree[0].tag.endswith("title")
    assert len(tree[1].text or "") > 60


@pytest.mark.law
@pytest.mark.parametrize(("command", "line"), [("power", POWER), ("cost", COST)])
def test_every_json_field_is_documented(
    capsys: pytest.CaptureFixture[str], command: str, line: tuple[str, ...]
) -> None:
    """What the answer holds stands on the page of the commands under its heading."""
    page = (Path(__file__).parents[2] / "docs" / "commands.md").read_text()
    section = page.split(f"\n## {command}\n", 1)[1].split("\n## ", 1)[0]
    fields = set(asked(capsys, *line)) - {"balewright", "version"}
    assert {name for name in fields if f"`{name}`" not in section} == set()
