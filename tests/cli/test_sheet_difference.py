"""`balewright sheet --what-if` and `--compare` as a technician types them."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from balewright.cli.entry import run

JOB = (
    *("sheet", "--profile", "mossgrinder-m2", "--crop", "grass-silage", "--moisture", "55%"),
    *("--windrow-kg-m", "4", "--film-width-mm", "750", "--film-thickness-um", "25"),
    *("--film-roll-m", "1500", "--stretch", "70%", "--net-roll-m", "3000", "--bales", "200"),
)
PRICES = (
    "film-money=90", "binding-money=200", "fuel-money-l=1.2", "wage-money-h=20",
    "machine-money=90000", "tractor-money=120000", "tractor-kw=110", "tractor-h=700", "years=8",
    "interest-frac=0.04", "tih-frac=0.01", "bales-year=4000",
)  # fmt: skip


def said(capsys: pytest.CaptureFixture[str], *words: str) -> str:
    """What is printed, with plain spaces."""
    assert run([*JOB, *words]) == 0
    return capsys.readouterr().out.replace("\N{NO-BREAK SPACE}", " ")


def written(capsys: pytest.CaptureFixture[str], file: Path, *words: str) -> str:
    """A sheet as JSON in a file; its path."""
    file.write_text(said(capsys, *words, "--json"))
    return str(file)


@pytest.mark.practice
def test_what_if_prints_cautions_first_then_what_it_does_and_what_is_set(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """A steep slope: its caution, the five effects, the lines with arrow and word."""
    text = said(capsys, "--what-if", "slope=15%")
    order = [text.index(part) for part in
             ("now: On a slope", "Slope", "Layers", "Pace", "Film", "Cost", "Keeping",
              "Set otherwise", "stay as before")]  # fmt: skip
    assert order == sorted(order)
    assert "→ other" in next(row for row in text.splitlines() if row.startswith("Tip onto"))
    assert "↑ more" in next(row for row in text.splitlines() if row.startswith("Chamber open"))


@pytest.mark.own
def test_changes_add_up_and_json_has_them_in_si(capsys: pytest.CaptureFixture[str]) -> None:
    """Two changes at once; per cent, millimetres and km/h become SI."""
    answer = json.loads(said(capsys, "--json", "--what-if", "film-width-mm=500",
                             "--what-if", "speed-km-h=7.2", "--what-if", "dusty=yes"))  # fmt: skip
    asked = {moved["name"]: (moved["one"], moved["other"]) for moved in answer["asked"]}
    assert asked["film_width_m"] == (0.75, 0.5)
    assert asked["speed_m_s"][1] == pytest.approx(2.0)
    assert asked["dusty"] == (False, True)
    turns = next(line for line in answer["lines"] if line["name"] == "wrap_turns")
    assert (turns["one"]["value"], turns["other"]["value"], turns["how"]) == (12, 17, "set")
    assert [effect["effect"] for effect in answer["effects"]] == [
        "layers", "pace", "film", "cost", "keeping"
    ]  # fmt: skip
    assert "layers" in answer["same"]


@pytest.mark.own
def test_money_needs_every_price(capsys: pytest.CaptureFixture[str]) -> None:
    """With all of them a bale in money; with one less it is asked for, not guessed."""
    priced = [word for price in PRICES for word in ("--price", price)]
    by_yield = ("--gathered-m", "7")
    job = list(JOB)
    at = job.index("--windrow-kg-m")
    job[at : at + 2] = ["--yield-t-ha", "2.6", *by_yield]
    for given, is_money in ((priced, True), (priced[2:], False)):
        assert run([*job, "--what-if", "film-width-mm=500", *given]) == 0
        text = capsys.readouterr().out
        assert ("a tonne of dry matter instead of" in text) == is_money
        assert ("prices are missing" in text) != is_money


@pytest.mark.own
def test_two_files_are_set_side_by_side(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """What --json wrote reads back; equal files do not differ; nothing else has to be said."""
    one = written(capsys, tmp_path / "a.json")
    other = written(capsys, tmp_path / "b.json", "--stony")
    assert run(["sheet", "--compare", one, other]) == 0
    text = capsys.readouterr().out
    assert "Mossgrinder M2 beside Mossgrinder M2" in text
    assert "Knives in" in text
    assert "as before" in text
    assert run(["sheet", "--compare", one, one]) == 0
    assert "Nothing differs." in capsys.readouterr().out


@pytest.mark.own
@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--what-if", "moistre=40%"), "Did you mean moisture?"),
        (("--what-if", "moisture"), "needs NAME=VALUE"),
        (("--what-if", "moisture=wet"), "needs a number"),
        (("--what-if", "moisture=nan"), "needs a number"),
        (("--what-if", "moisture=40"), "Write moisture=62% or moisture=0.62."),
        (("--what-if", "moisture=-0.1"), "moisture from 0.03"),
        (("--what-if", "dusty=maybe"), "dusty=yes or dusty=no"),
        (("--what-if", "bales=2.5"), "a whole number"),
        (("--what-if", "film-width-mm=1e9"), "film_width_m"),
        (("--what-if", "speed-km-h=inf"), "needs a number"),
        (("--what-if", "slope=5%", "--price", "film-mony=90"), "Did you mean film-money?"),
        (("--what-if", "slope=5%", "--price", "film-money=-1"), "from 0 to 1e+09"),
        (("--what-if", "slope=5%", "--keep"), "Make the sheet you want by itself."),
        (("--compare", "no.json", "none.json"), "no.json"),
    ],
)
def test_what_is_wrong_names_the_option_and_the_cure(
    words: tuple[str, ...], told: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """Exit code 2, and what would do."""
    assert run([*JOB, *words]) == 2
    assert told in capsys.readouterr().err


@pytest.mark.own
def test_a_sheet_still_needs_what_it_needs(capsys: pytest.CaptureFixture[str]) -> None:
    """Only two files make the rest unneeded."""
    assert run(["sheet"]) == 2
    assert "--crop" in capsys.readouterr().err
    file = "tests/cli/test_sheet_difference.py"
    assert run(["sheet", "--compare", file, file]) == 2
    assert "a setup sheet as JSON" in capsys.readouterr().err
