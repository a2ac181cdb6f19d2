"""Every command as it is typed: help, slips of the finger, JSON and exit codes."""

from __future__ import annotations

import argparse
import importlib
import json
from pathlib import Path
from typing import Any

import pytest

from balewright.cli.entry import BAD_INPUT, COMMANDS, GOOD, OUR_FAULT, run

pytestmark = pytest.mark.law

JOB = ("--crop", "grass-silage", "--moisture", "62%", "--windrow-kg-m", "4")
SHEET = ("sheet", "--profile", "mossgrinder-m2", *JOB)
LAYERS = (
    *("layers", "--diameter-m", "1.25", "--length-m", "1.23", "--strip-m", "0.60"),
    *("--bale-turn", "0.125", "--turns", "12"),
)
GOOD_LINES = [LAYERS, SHEET, ("findings",), ("due",), ("book",)]
BAD_LINES = [
    (*LAYERS, "--stretch", "nan"),
    (*LAYERS, "--turns", "many"),
    (*LAYERS, "--dispensers", "3"),
    (*LAYERS, "--lots-at", "6"),
    ("layers",),
    (*SHEET, "--speed-km-h", "nan"),
    (*SHEET, "--crop", "gras"),
    ("sheet", *JOB),
    (*SHEET, "--machine", "X1"),
    ("read",),
    ("read", "missing.csv"),
    ("findings", "missing.csv", "--profile", "mossgrinder-m2"),
    ("findings", "--machine", "X1"),
    ("findings", "--fail-on", "rust"),
    ("take-in", "missing.csv"),
    ("due", "--machine", "X1"),
    ("book", "--since", "yesterday"),
]


def no_nan(word: str) -> None:
    """Called for NaN and infinities, which no JSON reader need accept."""
    raise AssertionError(f"{word} in JSON")


def read_json(text: str) -> dict[str, Any]:
    """The one object on the output."""
    answer: dict[str, Any] = json.loads(text, parse_constant=no_nan)
    return answer


@pytest.fixture(autouse=True)
def _home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """An empty workplace, and an empty folder to stand in."""
    monkeypatch.setenv("BALEWRIGHT_HOME", str(tmp_path / "home"))
    monkeypatch.chdir(tmp_path)


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_explains_itself(command: str, capsys: pytest.CaptureFixture[str]) -> None:
    """`--help` ends well and says a word about every option."""
    assert run([command, "--help"]) == GOOD
    told = capsys.readouterr().out
    assert told.startswith(f"usage: balewright {command} ")
    assert COMMANDS[command][1:].split(",")[0].split(" ")[0] in told
    assert "--help" in told


def test_help_names_every_command_and_the_exit_codes(capsys: pytest.CaptureFixture[str]) -> None:
    """Who asks for help first sees all there is."""
    assert run(["--help"]) == GOOD
    told = " ".join(capsys.readouterr().out.split())
    assert all(f" {command} " in told for command in COMMANDS)
    assert "2 when the input is bad" in told


def test_nothing_typed_shows_the_help_and_is_bad_input(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """`balewright` alone shows what there is, and a script does not take it for success."""
    assert run([]) == BAD_INPUT
    assert "take-in" in capsys.readouterr().err


@pytest.mark.parametrize("command", COMMANDS)
def test_an_unknown_option_is_named_with_the_help_to_ask(
    command: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """A wrong option is bad input; what is said names it and the command's own help."""
    needed: dict[str, tuple[str, ...]] = {
        "layers": LAYERS, "sheet": SHEET, "read": ("read", "x"), "take-in": ("take-in", "x"),
    }  # fmt: skip
    assert run([*needed.get(command, (command,)), "--xyzzy"]) == BAD_INPUT
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err == (
        f"balewright: --xyzzy: needs only what `balewright {command}` knows, "
        f"was given an option without this meaning. See `balewright {command} --help`.\n"
    )


@pytest.mark.parametrize(
    ("line", "hint"),
    [(("laiers",), "layers"), (("takein",), "take-in"), ((*LAYERS, "--lots-at", "6"), "--lost-at")],
)
def test_a_slip_of_the_finger_is_answered_with_the_nearest_word(
    line: tuple[str, ...], hint: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """The cure of a misspelt word is the word."""
    assert run(line) == BAD_INPUT
    assert f"Did you mean {hint}?" in capsys.readouterr().err


def test_options_are_taken_only_as_spelt(capsys: pytest.CaptureFixture[str]) -> None:
    """A part of an option's name is no option: a later version may know two that begin so."""
    assert run([*LAYERS, "--layer", "4"]) == BAD_INPUT
    assert "Did you mean --layers?" in capsys.readouterr().err


@pytest.mark.parametrize("line", GOOD_LINES, ids=lambda line: line[0])
def test_json_is_one_object_with_a_version(
    line: tuple[str, ...], capsys: pytest.CaptureFixture[str]
) -> None:
    """A good answer is one JSON object that names its command and version."""
    assert run([*line, "--json"]) == GOOD
    answer = read_json(capsys.readouterr().out)
    assert (answer["balewright"], answer["version"]) == (line[0], 1)


@pytest.mark.parametrize("line", BAD_LINES, ids=" ".join)
def test_bad_input_is_told_in_words_and_as_json(
    line: tuple[str, ...], capsys: pytest.CaptureFixture[str]
) -> None:
    """Exit code 2, no trace, and every fault with place, need, given and cure."""
    assert run([*line, "--json"]) == BAD_INPUT
    told = capsys.readouterr()
    answer = read_json(told.out)
    assert (answer["balewright"], answer["version"]) == (line[0], 1)
    assert answer["faults"]
    for fault in answer["faults"]:
        assert all(fault[part].strip() for part in ("place", "need", "given", "cure"))
        assert f"balewright: {fault['place']}: needs {fault['need']}" in told.err
    assert "Traceback" not in told.err
    assert "usage:" not in told.err


@pytest.mark.parametrize(
    ("option", "typed", "range_said"),
    [
        ("--speed-km-h", "400", "0.36 to 36"),
        ("--windrow-kg-m", "nan", "0.2 to 30"),
        ("--bales", "-3", "1 to 100000"),
        ("--months", "inf", "0 to 60"),
        ("--net-roll-m", "0", "1 to 20000"),
    ],
)
def test_sheet_refuses_in_the_unit_that_was_typed(
    option: str, typed: str, range_said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """Who types km/h is answered in km/h, by the option's own name."""
    assert run([*SHEET, option, typed]) == BAD_INPUT
    said = capsys.readouterr().err
    assert said.startswith(f"balewright: {option}: needs a number from {range_said}, was given ")


def test_a_fault_of_ours_is_owned_up_to(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """What we did not foresee ends with 3, without a trace, and as JSON where JSON was asked."""

    def fail(*_: object) -> None:
        raise ZeroDivisionError("planted")

    monkeypatch.setattr("balewright.cli.layers.ask", fail)
    assert run([*LAYERS, "--json"]) == OUR_FAULT
    told = capsys.readouterr()
    assert "ZeroDivisionError: planted" in read_json(told.out)["fault_of_ours"]
    assert "report it" in told.err
    assert "Traceback" not in told.err


def test_a_home_that_is_a_file_is_bad_input(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A workplace that cannot be made names the setting to change."""
    (tmp_path / "home").write_text("not a folder")
    for line in (["book"], ["due"], ["findings"], ["serve"], ["demo", "--fill-only"]):
        assert run(line) == BAD_INPUT
        assert "BALEWRIGHT_HOME: needs" in capsys.readouterr().err


def test_an_empty_register_is_not_called_nothing_due(capsys: pytest.CaptureFixture[str]) -> None:
    """Where no machine is known, it is said, with the way on."""
    assert run(["due"]) == GOOD
    assert "No machine is in the register yet" in capsys.readouterr().out


def test_a_refused_file_is_named_once(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The line of a refusal says file and place, not the file twice."""
    (tmp_path / "junk.csv").write_text("hello\n")
    assert run(["take-in", "junk.csv"]) == BAD_INPUT
    assert "first at junk.csv, line 1 “hello”" in capsys.readouterr().out


def _parser_of(command: str) -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser()
    module = importlib.import_module(f"balewright.cli.{command.replace('-', '_')}")
    module.fill_parser(parser)
    return parser


def test_one_thing_has_one_name_in_every_command() -> None:
    """What a roll's label says, densities, masses and months are spelt alike wherever asked."""
    spelt = {name: _parser_of(name)._option_string_actions for name in COMMANDS}
    others = {
        *("--film-um", "--film-width-m", "--roll-m", "--dry-matter-kg-m3", "--mass-kg"),
        *("--wrap-turns", "--assurance", "--storage-months"),
    }
    assert {name: sorted(others & set(options)) for name, options in spelt.items()} == {
        name: [] for name in COMMANDS
    }


@pytest.mark.parametrize("command", COMMANDS)
def test_help_says_which_options_are_needed(
    command: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """Each option that must be given says so in the help, and no other does."""
    needed = [
        action for action in _parser_of(command)._actions
        if action.required and action.option_strings
    ]  # fmt: skip
    assert run([command, "--help"]) == GOOD
    told = " ".join(capsys.readouterr().out.split())
    assert told.count("; needed") == len(needed)


def test_an_unknown_option_is_told_before_a_missing_one(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """A misspelt option is named with the nearest one, not hidden behind the one it stood for."""
    assert run(["rolls", "--diameterm", "1.25"]) == BAD_INPUT
    said = capsys.readouterr().err
    assert said.startswith("balewright: --diameterm: needs only what")
    assert "Did you mean --diameter-m?" in said


@pytest.mark.parametrize(("typed", "meant"), [("70%", "0.7"), (" 70 % ", "0.70")])
def test_a_share_may_be_a_percentage(
    typed: str, meant: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """70% and 0.70 give the same answer."""
    line = ["rolls", "--diameter-m", "1.25", "--length-m", "1.23", "--turns", "12"]
    answers = []
    for stretch in (typed, meant):
        assert run([*line, "--film-roll-m", "1500", "--stretch", stretch]) == GOOD
        answers.append(capsys.readouterr().out)
    assert answers[0] == answers[1]


def test_what_is_no_share_is_told_as_one(capsys: pytest.CaptureFixture[str]) -> None:
    """70 is not guessed to be per cent, and a word is no share."""
    line = ["rolls", "--diameter-m", "1.25", "--length-m", "1.23", "--turns", "12"]
    line += ["--film-roll-m", "1500", "--stretch"]
    assert run([*line, "70"]) == BAD_INPUT
    assert "--stretch: needs a number from 0 to 2, was given 70." in capsys.readouterr().err
    assert run([*line, "much"]) == BAD_INPUT
    assert "--stretch: needs a share, as in 0.70 or 70%" in capsys.readouterr().err


@pytest.mark.parametrize("more", [("--tilt-deg", "2"), ("--chance", "95%")])
def test_turns_no_bale_gets_are_refused_where_they_would_take_long(
    more: tuple[str, str], capsys: pytest.CaptureFixture[str]
) -> None:
    """A slip of the finger at the turns is answered at once, not after minutes."""
    at = LAYERS.index("--turns")
    assert run([*LAYERS[:at], "--turns", "12000", *LAYERS[at + 2 :], *more]) == BAD_INPUT
    said = capsys.readouterr().err
    assert "--turns: needs 200 wrap turns at most beside" in said


def test_a_hidden_option_is_no_hint(capsys: pytest.CaptureFixture[str]) -> None:
    """What the help does not show is not offered either."""
    assert run(["rolls", "--tracee"]) == BAD_INPUT
    assert "Did you mean --trace" not in capsys.readouterr().err
