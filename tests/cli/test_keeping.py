"""`balewright keeping`: tables, JSON, pictures, and every slip at once."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from balewright.cli.entry import run

LINE = ["keeping", "--diameter-m", "1.25", "--length-m", "1.2", "--moisture", "0.5"]
LINE += ["--months", "12"]
MONEY = ["--film-money-kg", "3", "--dm-money-t", "180"]


@pytest.mark.own
def test_caution_stands_first(capsys: pytest.CaptureFixture[str]) -> None:
    """The first words are those that keep animals safe; both schools follow."""
    assert run([*LINE, *MONEY, "--waited-h", "30", "--holes", "1"]) == 0
    said = capsys.readouterr().out
    assert said.startswith("Do not feed what is mouldy")
    for word in ("well made: lost", "barrier trials: lost", "disputed", "advice of no source"):
        assert word in said
    assert "Close holes the day they are found" in said


@pytest.mark.own
def test_json_holds_intervals_and_both_schools(capsys: pytest.CaptureFixture[str]) -> None:
    """Every loss has three ends in order; without prices the least cost is null."""
    assert run([*LINE, "--json"]) == 0
    answer = json.loads(capsys.readouterr().out)
    assert (answer["balewright"], answer["version"]) == ("keeping", 1)
    assert answer["least_cost"] is None
    total = answer["total_fraction"]
    assert 0.0 < total["low"] < total["best"] < total["high"] < 1.0
    assert [one["school"] for one in answer["schools"]] == ["well made", "barrier trials"]
    assert {one["seen"] for one in answer["mould"]} >= {None, "some"}
    assert run([*LINE, *MONEY, "--json"]) == 0
    least = json.loads(capsys.readouterr().out)["least_cost"]
    assert least["advised_layers"][0] >= 4
    assert [one["layers"] for one in least["by_layers"]] == list(range(4, 13))


def names_in(value: object) -> set[str]:
    """Every field name of an answer, however deep, school names left out."""
    if isinstance(value, dict):
        return {str(name) for name in value if " " not in name}.union(
            *map(names_in, value.values())
        )
    return set().union(*map(names_in, value)) if isinstance(value, list) else set()


@pytest.mark.law
def test_json_fields_are_on_the_page(capsys: pytest.CaptureFixture[str]) -> None:
    """Every field of the answer stands under the command's heading, nested ones too."""
    page = (Path(__file__).parents[2] / "docs" / "commands.md").read_text()
    section = page.split("\n## keeping\n", 1)[1].split("\n## ", 1)[0]
    assert run([*LINE, *MONEY, "--json"]) == 0
    found = names_in(json.loads(capsys.readouterr().out)) - {"balewright", "version"}
    assert {name for name in found if f"`{name}`" not in section} == set()


@pytest.mark.own
def test_own_climate_and_barrier_film_change_the_answer(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """A year at freezing lets less in than one at 30 C; a tighter film less than plain."""
    doses = []
    for means in ("0", "30"):
        own = "--monthly-c=" + ",".join([means] * 12)
        assert run([*LINE, own, "--sun-share", "0", "--sun-excess-k", "5", "--json"]) == 0
        doses.append(json.loads(capsys.readouterr().out)["oxygen_mol_m2"])
    assert doses[0] < doses[1]
    assert run([*LINE, "--times-tighter", "20", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["oxygen_mol_m2"] < doses[0]


@pytest.mark.own
def test_pictures_are_written(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Both pictures go where they are asked for; a folder that is not there is a slip."""
    chart, mould = tmp_path / "chart.svg", tmp_path / "mould.svg"
    assert run([*LINE, *MONEY, "--svg", str(chart), "--mould-svg", str(mould)]) == 0
    assert chart.read_text().startswith("<svg")
    assert mould.read_text().startswith("<svg")
    assert run([*LINE, "--svg", str(tmp_path / "no" / "chart.svg")]) == 2
    assert "--svg" in capsys.readouterr().err


@pytest.mark.own
@pytest.mark.parametrize(
    ("more", "place"),
    [
        (["--moisture", "55"], "--moisture"),
        (["--months", "nan"], "--months"),
        (["--months", "-1"], "--months"),
        (["--layers", "0"], "--layers"),
        (["--wrapped-in", "13"], "--wrapped-in"),
        (["--monthly-c", "1,2"], "--monthly-c"),
        (["--monthly-c", "a,b"], "--monthly-c"),
        (["--film-money-kg", "3"], "--dm-money-t"),
        (["--hole-mm", "inf"], "--hole-mm"),
        (["--holes", "-1"], "--holes"),
        (["--climate", "moon"], "--climate"),
    ],
)
def test_slips_are_told_with_their_place(
    more: list[str], place: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """Bad input ends with 2 and names the option."""
    assert run([*LINE, *more]) == 2
    assert f"balewright: {place}:" in capsys.readouterr().err


@pytest.mark.own
def test_every_slip_is_told_at_once(capsys: pytest.CaptureFixture[str]) -> None:
    """Two slips, two lines."""
    assert run([*LINE, "--moisture", "7", "--holes", "-2"]) == 2
    assert capsys.readouterr().err.count("balewright: --") == 2
