"""The environment: what it may say, and how it is refused."""

from __future__ import annotations

import stat
from pathlib import Path

import pytest

from balewright.quantities.errors import BadInput
from balewright.settings import load_settings, open_workplace


@pytest.mark.own
def test_an_empty_environment_gives_the_defaults() -> None:
    """Nothing said: the folder `var` here, this machine only, port 8000, people sign in."""
    settings = load_settings({})
    assert settings.home == Path("var").absolute()
    assert (settings.host, settings.port) == ("127.0.0.1", 8000)
    assert not settings.open_desk
    assert not settings.https
    assert settings.register_place == settings.home / "register.sqlite3"


@pytest.mark.own
def test_every_fault_is_named_at_once() -> None:
    """A bad port, an open desk on every address, a short key and a misspelt name: all four."""
    with pytest.raises(BadInput) as caught:
        load_settings(
            {
                "BALEWRIGHT_PORT": "80000",
                "BALEWRIGHT_HOST": "0.0.0.0",
                "BALEWRIGHT_OPEN_DESK": "yes",
                "BALEWRIGHT_SECRET_KEY": "short",
                "BALEWRIGHT_HOEM": "/tmp",
            }
        )
    assert sorted(fault.place for fault in caught.value.faults) == [
        "BALEWRIGHT_HOEM",
        "BALEWRIGHT_OPEN_DESK",
        "BALEWRIGHT_PORT",
        "BALEWRIGHT_SECRET_KEY",
    ]


@pytest.mark.own
def test_the_secret_key_is_made_once_and_for_the_owner_alone(tmp_path: Path) -> None:
    """The key is kept in the home folder, the same every time, mode 0600, and never shown."""
    settings = load_settings({"BALEWRIGHT_HOME": str(tmp_path)})
    key = settings.secret_key
    assert len(key) >= 50
    assert load_settings({"BALEWRIGHT_HOME": str(tmp_path)}).secret_key == key
    assert stat.S_IMODE((tmp_path / "secret_key").stat().st_mode) == 0o600
    assert [path.name for path in tmp_path.iterdir()] == ["secret_key"]
    assert "x" * 60 not in repr(load_settings({"BALEWRIGHT_SECRET_KEY": "x" * 60}))


@pytest.mark.own
def test_a_workplace_opens_in_an_empty_folder(tmp_path: Path) -> None:
    """A home that is not there yet is made, and its register is empty."""
    workplace = open_workplace(load_settings({"BALEWRIGHT_HOME": str(tmp_path / "new")}))
    assert workplace.register.load_machines() == ()
    assert workplace.clock().utcoffset() is not None
    workplace.register.close()


@pytest.mark.own
def test_a_home_that_is_a_file_is_refused(tmp_path: Path) -> None:
    """The error names the variable and the cure."""
    (tmp_path / "home").write_text("a file")
    with pytest.raises(BadInput, match="BALEWRIGHT_HOME: needs a folder"):
        open_workplace(load_settings({"BALEWRIGHT_HOME": str(tmp_path / "home")}))


@pytest.mark.own
def test_the_engine_is_duckdb_unless_a_server_is_named() -> None:
    """`duckdb` and nothing mean this process; an address is kept as given and never shown."""
    assert load_settings({}).engine is None
    assert load_settings({"BALEWRIGHT_ENGINE": "DuckDB"}).engine is None
    settings = load_settings({"BALEWRIGHT_ENGINE": "sc://barn:15002/;token=hush"})
    assert settings.engine == "sc://barn:15002/;token=hush"
    assert "hush" not in repr(settings)
