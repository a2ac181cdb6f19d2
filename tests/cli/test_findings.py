"""`balewright findings` and `balewright due` as a shell sees them."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from balewright.cli.entry import run
from balewright.store.entries import MachineEntry
from balewright.store.register import open_register

GOOD, FOUND, BAD_INPUT = 0, 1, 2

HEAD = "machine,bale_no,full_at,binding\n"


def bales(tmp_path: Path, numbers: list[int]) -> Path:
    """A CSV of bales with these numbers, a minute apart."""
    path = tmp_path / "bales.csv"
    rows = [
        f"X1,{number},2031-05-20T10:{minute:02d}:00Z,net\n" for minute, number in enumerate(numbers)
    ]
    path.write_text(HEAD + "".join(rows), encoding="utf-8")
    return path


@pytest.mark.law
def test_findings_of_a_file_as_json(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A leap of numbers is found without a sheet, with version, sentence and what is untold."""
    path = bales(tmp_path, [1, 2, 3, 9, 10])
    assert run(["findings", str(path), "--profile", "plainrow-p0", "--json"]) == GOOD
    answer = json.loads(capsys.readouterr().out)
    assert (answer["balewright"], answer["version"]) == ("findings", 1)
    (finding,) = answer["findings"]
    assert (finding["kind"], finding["since_bale"]) == ("number missing", 9)
    assert finding["since"] == "2031-05-20T10:03:00Z"
    assert "5 numbers are missing" in finding["sentence"]
    assert answer["cannot_tell"]["bales.csv"]


@pytest.mark.law
@pytest.mark.parametrize(("weight", "code"), [("harm", GOOD), ("cost", GOOD), ("note", FOUND)])
def test_fail_on_ends_with_one_from_that_weight_on(tmp_path: Path, weight: str, code: int) -> None:
    """A note fails only where notes are asked to fail."""
    path = bales(tmp_path, [1, 2, 9])
    command = ["findings", str(path), "--profile", "plainrow-p0", "--fail-on", weight]
    assert run(command) == code


@pytest.mark.law
def test_since_leaves_out_what_began_earlier(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Findings that began before the day are not listed."""
    path = bales(tmp_path, [1, 2, 9])
    command = ["findings", str(path), "--profile", "plainrow-p0", "--fail-on", "note"]
    assert run([*command, "--since", "2031-05-21"]) == GOOD
    assert "No findings." in capsys.readouterr().out
    assert run([*command, "--since", "2031-05-20"]) == FOUND


@pytest.mark.law
@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["nowhere.csv", "--profile", "plainrow-p0"], "nowhere.csv"),
        (["bales.csv"], "--profile: needs the machine's profile"),
        (["bales.csv", "--profile", "no-such"], "profile: needs one of"),
        (["bales.csv", "--profile", "plainrow-p0", "--sheet", "bales.csv"], "a setup sheet"),
        (["bales.csv", "--profile", "plainrow-p0", "--since", "May"], "--since: needs a day"),
        (["--profile", "plainrow-p0"], "--profile: needs a FILE"),
    ],
)
def test_bad_input_ends_with_two_and_names_the_cure(
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    arguments: list[str],
    said: str,
) -> None:
    """What cannot be used is said in one line, never as a trace."""
    bales(tmp_path, [1, 2])
    monkeypatch.chdir(tmp_path)
    assert run(["findings", *arguments]) == BAD_INPUT
    error = capsys.readouterr().err
    assert said in error
    assert "Traceback" not in error


@pytest.mark.law
def test_due_says_cautions_before_the_work(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Cautions stand above the table; without records every item is unknown, not overdue."""
    monkeypatch.setenv("BALEWRIGHT_HOME", str(tmp_path))
    with open_register(tmp_path / "register.sqlite3") as register:
        register.save_machine(MachineEntry("X1", "Plain one", "plainrow-p0"))
    assert run(["due"]) == GOOD
    out = capsys.readouterr().out
    assert out.startswith("! ")
    assert out.index("! ") < out.index("machine  state")
    assert run(["due", "--json"]) == GOOD
    due = json.loads(capsys.readouterr().out)["due"]
    assert {one["state"] for one in due} == {"unknown"}
    assert all(one["caution"] for one in due)


@pytest.mark.law
def test_due_is_empty_without_machines(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """An empty register is not told as nothing due: no machine is known."""
    monkeypatch.setenv("BALEWRIGHT_HOME", str(tmp_path))
    assert run(["due"]) == GOOD
    assert capsys.readouterr().out.startswith("No machine is in the register yet")


@pytest.mark.own
def test_without_machines_findings_say_how_to_begin(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """An empty register finds nothing, which is another thing than that all is well."""
    monkeypatch.setenv("BALEWRIGHT_HOME", str(tmp_path / "home"))
    assert run(["findings"]) == GOOD
    assert "No machine is in the register" in capsys.readouterr().out
