"""`balewright optimum`: the answer, its JSON, its picture, and slips."""

from __future__ import annotations

import json
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

from balewright.cli.entry import run

PAGE = Path(__file__).parents[2] / "docs" / "commands.md"
SECTION = PAGE.read_text().split("\n## optimum\n", 1)[1].split("\n## ", 1)[0]
SHOWN = next(line for line in SECTION.splitlines() if line.startswith("$ balewright optimum"))
LINE = (*SHOWN.removeprefix("$ balewright ").split(), "--steps", "3")


def asked(capsys: pytest.CaptureFixture[str], *more: str) -> dict[str, object]:
    """The JSON answer to the example of the page with other options behind it."""
    assert run([*LINE, *more, "--json"]) == 0
    answer: dict[str, object] = json.loads(capsys.readouterr().out)
    return answer


@pytest.mark.law
def test_every_json_field_is_documented(capsys: pytest.CaptureFixture[str]) -> None:
    """What the answer holds stands on the page, down to a choice and a curve."""
    answer = asked(capsys)
    settled, curves, bounds = answer["settled"], answer["curves"], answer["bounds"]
    assert isinstance(settled, dict)
    assert isinstance(curves, list)
    assert isinstance(bounds, list)
    names = {*answer, *settled, *curves[0], *curves[0]["points"][0], *bounds[0]}
    names -= {"balewright", "version"}
    assert {name for name in names if f"`{name}`" not in SECTION} == set()


@pytest.mark.own
def test_the_words_say_what_the_json_holds(capsys: pytest.CaptureFixture[str]) -> None:
    """Cautions first, then the settled choice with its turns, then tables."""
    answer = asked(capsys)
    assert run(LINE) == 0
    told = capsys.readouterr().out
    settled = answer["settled"]
    assert isinstance(settled, dict)
    assert told.startswith("The machine's manual")
    assert f"{settled['layers']} layers with {settled['turns']:.0f} wrap turns" in told
    assert "no source seen puts a" in told


@pytest.mark.own
def test_what_cannot_be_had_says_why(capsys: pytest.CaptureFixture[str]) -> None:
    """Bales of at most 100 kg from densities of 150 and more: refused with what bars them."""
    assert run([*LINE, "--most-bale-kg", "100"]) == 2
    assert "bale too heavy: 63" in capsys.readouterr().err


@pytest.mark.own
@pytest.mark.parametrize(
    ("more", "place"),
    [
        (("--dm-kg-m3", "200..150"), "--dm-kg-m3"),
        (("--layers", "3..8"), "--layers"),
        (("--layers", "4..5..6"), "--layers"),
        (("--speed-km-h", "nan"), "--speed-km-h"),
        (("--speed-km-h", "fast"), "--speed-km-h"),
        (("--moisture", "55"), "--moisture"),
        (("--chance", "1"), "--chance"),
        (("--diameter-spread-m", "0", "--advance-m", "1.9634954084936207"), "--layers"),
        (("--svg", "nowhere/at/all.svg"), "--svg"),
    ],
)
def test_slips_are_told_with_exit_code_2(
    capsys: pytest.CaptureFixture[str], more: tuple[str, ...], place: str
) -> None:
    """A wrong end, three ends, no number, a share in per cent, what no turns reach: named."""
    assert run([*LINE, *more]) == 2
    assert f"balewright: {place}:" in capsys.readouterr().err


@pytest.mark.own
def test_a_drawing_is_written(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """The file holds a picture with a title and a description."""
    file = tmp_path / "drawn.svg"
    assert run([*LINE, "--svg", str(file)]) == 0
    capsys.readouterr()
    tree = ET.parse(file).getroot()
    assert tree[0].text == "What costs least"
    assert len(tree[1].text or "") > 60


@pytest.mark.own
def test_film_has_no_price_of_its_own(capsys: pytest.CaptureFixture[str]) -> None:
    """Where the price of a roll is left out no layer is free: the command asks for it."""
    at = LINE.index("--film-roll-money")
    assert run([*LINE[:at], *LINE[at + 2 :]]) == 2
    assert "--film-roll-money: needs the price of a roll" in capsys.readouterr().err


@pytest.mark.own
def test_half_a_layer_is_not_rounded_away(capsys: pytest.CaptureFixture[str]) -> None:
    """4.5 layers cannot be wrapped and are refused, not taken for 4."""
    assert run([*LINE, "--layers", "4.5..6"]) == 2
    assert "--layers: needs" in capsys.readouterr().err
