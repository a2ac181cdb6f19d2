"""`balewright causes`: words to reports, answers to causes, and the next step with its cautions."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from tests.desk.finding_records import SERIAL, keep_machine

from balewright.cli.entry import run

GOOD, BAD_INPUT = 0, 2
pytestmark = pytest.mark.own
MAKE = ("--profile", "mossgrinder-m2")


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A home with machine Q-7, whose pressure fell."""
    import os

    from balewright.settings import load_settings, open_workplace

    folder = tmp_path_factory.mktemp("causes")
    workplace = open_workplace(load_settings({**os.environ, "BALEWRIGHT_HOME": str(folder / "h")}))
    keep_machine(workplace, folder)
    return folder / "h"


@pytest.fixture(autouse=True)
def _at_home(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("BALEWRIGHT_HOME", str(home))


def ask(capsys: pytest.CaptureFixture[str], *options: str) -> dict[str, Any]:
    """The JSON answer of `causes`."""
    assert run(["causes", "--json", *options]) == GOOD
    answer: dict[str, Any] = json.loads(capsys.readouterr().out)
    assert (answer["balewright"], answer["version"]) == ("causes", 1)
    return answer


@pytest.mark.parametrize(
    ("said", "key"),
    [
        ("the bale won't hand over to the wrapper", "bale_not_handed_over"),
        ("Folie reißt dauernd", "film_breaks_often"),
        ("le film casse souvent", "film_breaks_often"),
        ("bela nie chce się zacząć", "bale_wont_start"),
    ],
)
def test_what_people_say_finds_the_report(
    capsys: pytest.CaptureFixture[str], said: str, key: str
) -> None:
    """In any language a sheet is read in, the report meant is among the first three."""
    heard = ask(capsys, *MAKE, "--said", said)["heard"]
    assert key in [one["key"] for one in heard[:3]]


def test_records_speak_by_themselves(capsys: pytest.CaptureFixture[str]) -> None:
    """The pressure that fell is evidence before anybody said a word, and leads to what holds the
    pressure; what the records would have shown and did not counts against the rest.
    """
    answer = ask(capsys, SERIAL)
    seen = {one["key"]: one["seen"] for one in answer["evidence"]}
    assert seen["chamber_pressure_down"] == "yes"
    assert "no" in seen.values()
    assert all(one["from_records"] for one in answer["evidence"])
    first = answer["causes"][0]
    assert first["system"] in ("density hydraulics", "operator", "sensors")
    assert "Chamber pressure" in " ".join(first["why"])


def test_an_answer_moves_the_ranking_and_the_next_step(capsys: pytest.CaptureFixture[str]) -> None:
    """A check that is offered is answered, is not offered again, and its cause comes first."""
    before = ask(capsys, *MAKE, "--yes", "oil_hot", "all_functions_slow", "since_other_tractor")
    assert "return_not_free" in [one["check"] for one in before["looks"]]
    after = ask(
        capsys, *MAKE,
        "--yes", "oil_hot", "all_functions_slow", "since_other_tractor", "return_not_free",
        "--no", "outlet_flow_below_need",
    )  # fmt: skip
    assert after["causes"][0]["key"] == "tractor_back_pressure"
    assert after["causes"][0]["behind_frac"] > 0.6
    assert "return_not_free" not in [one["check"] for one in after["looks"]]


def test_cautions_and_the_manual_stand_first(capsys: pytest.CaptureFixture[str]) -> None:
    """In the text the manual comes first, then the cautions of the step, then the step."""
    assert run(["causes", *MAKE, "--yes", "bale_not_handed_over"]) == GOOD
    lines = capsys.readouterr().out.splitlines()
    assert lines[0].startswith("The machine's own manual")
    step = next(place for place, line in enumerate(lines) if line.startswith("Next"))
    assert all(line.startswith("! ") for line in lines[1:step])


def test_amounts_say_what_they_are_counted_in(capsys: pytest.CaptureFixture[str]) -> None:
    """Without the price of an hour they are time of work, with it money: never a bare number."""
    asked = ("causes", *MAKE, "--yes", "bale_not_handed_over")
    assert run([*asked]) == GOOD
    said = capsys.readouterr().out.replace("\N{NO-BREAK SPACE}", " ")
    assert "min of work" in next(line for line in said.splitlines() if line.startswith("Next"))
    assert run([*asked, "--cost", "hour_money=80", "travel_h=2"]) == GOOD
    assert "of work" not in capsys.readouterr().out.split("Check ")[0]


@pytest.mark.parametrize(
    ("options", "told"),
    [
        ((), "a machine or a profile"),
        (("--profile", "nobody-x1"), "mossgrinder-m2"),
        ((*MAKE, "--yes", "oil_hot", "--no", "oil_hot"), "one answer"),
        ((*MAKE, "--read", "supply_volts"), "name=12.5"),
        ((*MAKE, "--yes", "oil_hot", "--cost", "hour_money=-4"), "from 0"),
        ((*MAKE, "--yes", "oil_hot", "--cost", "hours=4"), "hour_money"),
        (("Z-1",), "Z-1"),
    ],
)
def test_what_cannot_be_answered_says_what_is_needed(
    capsys: pytest.CaptureFixture[str], options: tuple[str, ...], told: str
) -> None:
    """Each wrong use ends with 2 and names what would be right."""
    assert run(["causes", *options]) == BAD_INPUT
    assert told in capsys.readouterr().err
