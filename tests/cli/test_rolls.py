"""`balewright rolls` in a shell."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from balewright.cli.entry import run

LINE = ["rolls", "--diameter-m", "1.25", "--length-m", "1.23", "--turns", "12"]
LINE += ["--film-roll-m", "1500", "--stretch", "0.7"]


def answered(capsys: pytest.CaptureFixture[str], *more: str) -> dict[str, Any]:
    """The JSON answer."""
    assert run([*LINE, *more, "--json"]) == 0
    answer: dict[str, Any] = json.loads(capsys.readouterr().out)
    return answer


@pytest.mark.derived
def test_ends_of_both_rolls(capsys: pytest.CaptureFixture[str]) -> None:
    """1500 m at 35.01 m a bale end in bale 43, 620 m in bale 18."""
    said = answered(capsys, "--left-m", "1500", "620", "--bales", "50")
    assert [(end["bale_no"], end["roll"]) for end in said["ends"]] == [(18, 2), (43, 1)]
    assert said["money_bale"] is None
    assert said["new_rolls"] == 2


@pytest.mark.derived
def test_text_says_money_ends_and_load(capsys: pytest.CaptureFixture[str]) -> None:
    """A price and dry matter give money; too few spares say where film is out."""
    assert (
        run([*LINE, "--film-roll-money", "95", "--dm-kg", "220", "--spare", "0", "--bales", "60"])
        == 0
    )
    said = capsys.readouterr().out.replace("\N{NO-BREAK SPACE}", " ")
    assert "Film for a bale: 4.43 in your own currency." in said
    assert "A tonne of dry matter: 5.52 kg of film, 20.16 in your own currency." in said
    assert "Film is out in bale 43." in said
    assert "Load 2 new rolls" in said
    assert run([*LINE, "--bales", "10", "--dm-kg", "220"]) == 0
    said = capsys.readouterr().out.replace("\N{NO-BREAK SPACE}", " ")
    assert "no roll ends" in said
    assert "What is on the machine is enough" in said
    assert "5.52 kg of film." in said


@pytest.mark.derived
def test_a_roll_alone_draws_more(capsys: pytest.CaptureFixture[str]) -> None:
    """24 turns alone: the roll that is left ends 13 bales after the other, not 25."""
    said = answered(capsys, "--left-m", "1500", "620", "--spare", "0", "--alone-turns", "24")
    assert [end["replaced"] for end in said["ends"]] == [False, False]
    assert said["stopped_at"] == 18 + 13


@pytest.mark.derived
def test_the_binding_roll_ends_too(capsys: pytest.CaptureFixture[str]) -> None:
    """9.82 m of net a bale: 500 m end in bale 51, and the bale is not passed on."""
    net = ["--binding-turns", "2.5", "--binding-left-m", "500"]
    said = answered(capsys, *net)
    assert said["binding_m_bale"] == pytest.approx(9.817, abs=1e-3)
    assert said["binding_end"]["bale_no"] == 51
    assert answered(capsys, "--binding-turns", "2.5")["binding_end"] is None
    assert run([*LINE, *net]) == 0
    assert "must not be passed on" in capsys.readouterr().out


@pytest.mark.law
@pytest.mark.parametrize(
    ("more", "words"),
    [
        *((["--turns", bad], "--turns") for bad in ("nan", "inf", "0", "-1")),
        (["--left-m", "10"], "--left-m"),
        (["--left-m", "nan", "10"], "--left-m"),
        (["--bales", "0"], "--bales"),
        (["--bales", "many"], "--bales"),
        (["--spare", "-1"], "--spare"),
        (["--rest-m", "1000", "--film-roll-m", "1001"], "--rest-m"),
        (["--film-roll-money", "-1"], "--film-roll-money"),
        (["--chance", "1"], "--chance"),
        (["--stretch-spread", "nan"], "--stretch-spread"),
        (["--svg", "/no/such/folder/x.svg"], "--svg"),
    ],
)
def test_slips_are_refused(more: list[str], words: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Exit code 2, naming the option."""
    assert run([*LINE, *more]) == 2
    assert words in capsys.readouterr().err


@pytest.mark.own
def test_picture_is_written(tmp_path: Path) -> None:
    """`--svg` draws the day."""
    file = tmp_path / "rolls.svg"
    assert run([*LINE, "--svg", str(file)]) == 0
    assert 'class="roll-day"' in file.read_text(encoding="utf-8")
