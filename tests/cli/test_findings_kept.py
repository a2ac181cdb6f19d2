"""`balewright findings` over the register: filters, one finding opened, setting one aside."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from tests.desk.finding_records import FELL_AT, SERIAL, keep_machine

from balewright.cli.entry import run

GOOD, FOUND, BAD_INPUT = 0, 1, 2
pytestmark = pytest.mark.own


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A home with machine Q-7, whose pressure fell, and R-8, whose did not."""
    import os

    from balewright.settings import load_settings, open_workplace

    folder = tmp_path_factory.mktemp("kept")
    workplace = open_workplace(load_settings({**os.environ, "BALEWRIGHT_HOME": str(folder / "h")}))
    keep_machine(workplace, folder)
    keep_machine(workplace, folder, "R-8", 10_000, "Green one")
    return folder / "h"


@pytest.fixture(autouse=True)
def _at_home(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("BALEWRIGHT_HOME", str(home))


def ask(capsys: pytest.CaptureFixture[str], *options: str) -> dict[str, Any]:
    """The JSON answer of `findings`."""
    assert run(["findings", "--json", *options]) == GOOD
    answer: dict[str, Any] = json.loads(capsys.readouterr().out)
    assert (answer["balewright"], answer["version"]) == ("findings", 1)
    return answer


def test_filters_narrow_what_is_listed(capsys: pytest.CaptureFixture[str]) -> None:
    """By machine, kind, weight and state; what fell is told of the right machine with its start."""
    (found,) = ask(capsys, "--kind", "pressure moved")["findings"]
    assert (found["machine"], found["state"], found["told"]) == (SERIAL, "open", True)
    assert found["start"]["first_bale"] <= FELL_AT <= found["start"]["last_bale"]
    assert found["moved"]["high"] < 0
    assert 0.7 < found["certain_frac"] <= 1.0
    assert ask(capsys, "--kind", "pressure moved", "--open")["findings"] == [found]
    for none in (["--closed"], ["--weight", "harm"], ["--since", "2031-01-01"],
                 ["--machine", "R-8"]):  # fmt: skip
        assert not ask(capsys, "--kind", "pressure moved", *none)["findings"], none
    assert run(["findings", "--open", "--fail-on", "cost"]) == FOUND
    assert found["key"] in capsys.readouterr().out
    assert run(["findings", "--machine", "R-8", "--open", "--fail-on", "note"]) == GOOD


def test_one_opens_to_its_rows_and_files(capsys: pytest.CaptureFixture[str]) -> None:
    """With --key each bale has its file, its reading and what was expected; people see them too."""
    (found,) = ask(capsys, "--kind", "pressure moved")["findings"]
    opened = ask(capsys, "--key", found["key"])["finding"]
    assert opened["read"] == "chamber_bar"
    rows = {row["bale_no"]: row for row in opened["rows"]}
    before, after = rows[FELL_AT - 1], rows[FELL_AT]
    assert opened["files"][after["files"][0]] == "Q-7.csv"
    assert before["limit_low"] < before["reading"] < before["limit_high"]
    assert after["reading"] == pytest.approx(after["chamber_bar"])
    assert after["expected"] > after["reading"]
    assert run(["findings", "--key", found["key"]]) == GOOD
    said = capsys.readouterr().out
    assert f"> {FELL_AT}" in " ".join(said.split())
    assert "Q-7.csv" in said


def test_set_aside_and_taken_back_in_a_shell(capsys: pytest.CaptureFixture[str]) -> None:
    """Quiet while it is set aside, listed with --all with its reason, told again afterwards."""
    (found,) = ask(capsys, "--kind", "pressure moved")["findings"]
    reason = "gauge swapped, see the service book"
    aside = ask(capsys, "--set-aside", found["key"], "--reason", reason, "--until", "2999-05-20")
    assert aside["finding"]["set_aside"][0]["reason"] == reason
    assert aside["finding"]["set_aside"][0]["until"] == "2999-05-21T00:00:00Z"
    assert not ask(capsys, "--kind", "pressure moved")["findings"]
    (kept,) = ask(capsys, "--kind", "pressure moved", "--all")["findings"]
    assert (kept["state"], kept["set_aside"][0]["by"]) == ("set aside", None)
    back = ask(capsys, "--take-back", found["key"])["finding"]
    assert (back["state"], back["set_aside"][0]["ended_why"]) == ("open", "taken back")
    assert len(ask(capsys, "--kind", "pressure moved", "--open")["findings"]) == 1


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["--key", "none"], "the key of a finding"),
        (["--set-aside", "none"], "reason: needs 1 to 500 characters"),
        (["--reason", "why"], "--reason: needs a --set-aside"),
        (["x.csv", "--profile", "plainrow-p0", "--key", "none"], "--key: needs findings of the"),
        (["x.csv", "--profile", "plainrow-p0", "--open"], "--open: needs findings of the register"),
    ],
)
def test_bad_input_names_the_cure(
    capsys: pytest.CaptureFixture[str], arguments: list[str], said: str
) -> None:
    """An unknown key, no reason, options that do not go together: 2, and what would do."""
    assert run(["findings", *arguments]) == BAD_INPUT
    assert said in capsys.readouterr().err
