"""`balewright settings`: keep, list, compare."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from balewright.cli.entry import BAD_INPUT, GOOD, run
from balewright.settings import load_settings, open_workplace
from balewright.store.entries import MachineEntry

pytestmark = pytest.mark.own


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A home with one machine, and two lists beside it."""
    monkeypatch.setenv("BALEWRIGHT_HOME", str(tmp_path / "home"))
    monkeypatch.chdir(tmp_path)
    workplace = open_workplace(load_settings({"BALEWRIGHT_HOME": str(tmp_path / "home")}))
    workplace.register.save_machine(MachineEntry("TIN-7", "Tin seven", "mossgrinder-m2"))
    workplace.register.close()
    (tmp_path / "before.csv").write_text("wrap turns,16\nnet wraps,2.5\npulses,480\n")
    (tmp_path / "after.csv").write_text("wrap turns,12\nnet wraps,2.5\nlanguage,en\n")
    return tmp_path


Said = Callable[..., str]


@pytest.fixture
def said(capsys: pytest.CaptureFixture[str]) -> Said:
    """Run a good command and give what it says."""

    def answer(*words: str) -> str:
        assert run(["settings", *words]) == GOOD
        return capsys.readouterr().out

    return answer


def test_two_files_are_compared_without_any_home(home: Path, said: Said) -> None:
    """What moved and what is gone stands to be entered again, with its old value."""
    text = said("compare", "before.csv", "after.csv")
    assert text.splitlines() == [
        "Enter again:",
        "setting     was  now",
        "wrap turns  16   12",
        "pulses      480  not there",
        "The same: 1.",
        "Not there before: language en",
    ]
    assert said("compare", "before.csv", "before.csv") == (
        "Nothing moved: 3 settings are the same.\n"
    )


def test_kept_settings_are_compared_after_an_update(home: Path, said: Said) -> None:
    """Kept once, listed, and compared by `last`, by id and with a kept sheet."""
    assert "No settings of TIN-7" in said("list", "--machine", "TIN-7")
    kept = said("keep", "before.csv", "--machine", "TIN-7", "--note", "before")
    assert kept.startswith("kept 3 settings of TIN-7 as N-")
    assert said("keep", "before.csv", "--machine", "TIN-7", "--note", "before") == kept
    number = kept.split()[-1]
    listed = said("list", "--machine", "TIN-7").splitlines()
    assert len(listed) == 2
    assert listed[1].startswith(number)
    assert listed[1].endswith("before.csv  before")
    for name in ("last", number):
        found = json.loads(said("compare", name, "after.csv", "--machine", "TIN-7", "--json"))
        assert found["enter_again"] == [
            {"name": "wrap turns", "value": "16"},
            {"name": "pulses", "value": "480"},
        ]
        assert found["moved"] == [{"name": "wrap turns", "before": "16", "now": "12"}]
        assert found["gone"] == [{"name": "pulses", "value": "480"}]
        assert found["fresh"] == [{"name": "language", "value": "en"}]
        assert found["same"] == ["net wraps"]


def test_what_keep_says_as_json_is_read_as_a_list(home: Path, said: Said) -> None:
    """The answer of one command is the file of the next."""
    kept = json.loads(said("keep", "before.csv", "--machine", "TIN-7", "--json"))["kept"]
    (home / "kept.json").write_text(json.dumps(kept))
    assert said("compare", "kept.json", "before.csv").startswith("Nothing moved")


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (["grow"], "DEED: needs one of keep, list, compare"),
        (["compare", "a.csv"], "LIST: needs 2 of them, was given 1"),
        (["keep", "before.csv"], "--machine: needs a serial of the register: TIN-7"),
        (["list", "--machine", "NO"], "--machine: needs a serial of the register: TIN-7"),
        (["compare", "last", "after.csv"], "--machine: needs a serial for what was kept"),
        (["compare", "none.csv", "after.csv"], "none.csv: needs a text file"),
        (["compare", "N-1", "after.csv", "--machine", "TIN-7"], "the id of kept settings"),
        (["keep", "S-1", "--machine", "TIN-7"], "the id of a kept sheet"),
    ],
)
def test_slips_are_told_with_their_cure(
    home: Path, capsys: pytest.CaptureFixture[str], words: list[str], message: str
) -> None:
    """Bad input ends with 2 and names its place."""
    assert run(["settings", *words]) == BAD_INPUT
    assert message in capsys.readouterr().err
