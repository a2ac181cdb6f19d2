"""Three people and a desk for them: Mara manages, Tove is a technician, Ruben reads."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import django
import pytest
from django.conf import settings
from django.core.cache import cache
from django.core.management import call_command
from django.test import Client

if TYPE_CHECKING:
    from playwright.sync_api import Browser

PASSWORD = "straw-and-plum-42"
FORM = "application/x-www-form-urlencoded"


@dataclass
class Desk:
    """One client a person; `nobody` is not signed in; `without_role` is, but has no role."""

    manager: Client
    technician: Client
    reader: Client
    nobody: Client
    without_role: Client
    home: Path
    password: str = PASSWORD

    def post(self, client: Client, url: str, **fields: Any) -> Any:
        """Send a plain form."""
        from urllib.parse import urlencode

        return client.post(url, urlencode(fields), content_type=FORM)


@pytest.fixture(scope="session")
def desk_ready() -> Path:
    """Django with its tables on the home of this run; whitenoise finds the static folder."""
    home = Path(settings.BALEWRIGHT.home)
    from balewright.desk.set_up import make_folders

    make_folders(home)
    django.setup()
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]  # quick
    call_command("migrate", verbosity=0, interactive=False)
    return home


@pytest.fixture
def desk(desk_ready: Path) -> Iterator[Desk]:
    """A desk with an empty register and the three people; emptied afterwards."""
    from balewright.desk.workplace import the_workplace

    empty(desk_ready)
    the_workplace.cache_clear()
    yield Desk(
        **{role: sign_in(name, role) for name, role in
           (("mara", "manager"), ("tove", "technician"), ("ruben", "reader"))},
        nobody=Client(headers={"host": "localhost"}),
        without_role=sign_in("olga", None),
        home=desk_ready,
    )  # fmt: skip
    the_workplace.cache_clear()
    empty(desk_ready)


def sign_in(name: str, role: str | None) -> Client:
    """A person with that role, signed in."""
    from django.contrib.auth import get_user_model

    from balewright.desk.access import Role, give_role

    person = get_user_model().objects.create_user(name, password=PASSWORD)
    if role is not None:
        give_role(person, Role(role))
    client = Client(headers={"host": "localhost"})
    client.force_login(person)
    return client


def empty(home: Path) -> None:
    """Forget everything the last test left in the register, the journal and the cache."""
    import shutil

    cache.clear()
    call_command("flush", verbosity=0, interactive=False)
    shutil.rmtree(home / "journal", ignore_errors=True)
    for left in (home / "uploads").iterdir():
        left.unlink()


@pytest.fixture
def open_desk(desk: Desk) -> Iterator[Desk]:
    """The same desk, opened to visitors on this computer."""
    closed = settings.BALEWRIGHT
    settings.BALEWRIGHT = replace(closed, open_desk=True)
    yield desk
    settings.BALEWRIGHT = closed


_QUIET = (
    *("--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-sync"),
    *("--disable-background-networking", "--disable-component-update"),
)


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The demo, served as a newcomer gets it."""
    if shutil.which("chromium") is None:
        pytest.skip("no chromium on this machine")
    home = tmp_path_factory.mktemp("browser") / "home"
    environ = {**os.environ, "BALEWRIGHT_HOME": str(home)}
    command = [sys.executable, "-m", "balewright", "demo", "--port", "8400"]
    with subprocess.Popen(command, env=environ, stdout=subprocess.PIPE, text=True) as desk:
        assert desk.stdout is not None
        said = ""
        for line in desk.stdout:
            said += line
            if "the desk is at" in line:
                break
        assert "the desk is at" in said, said
        yield said.rpartition("the desk is at ")[2].split()[0]
        desk.terminate()
        desk.wait(30)


@pytest.fixture(scope="module")
def browser(address: str) -> Iterator[Browser]:
    """A headless Chromium that calls nobody by itself."""
    from playwright.sync_api import sync_playwright

    path = shutil.which("chromium")
    with sync_playwright() as playwright:
        running = playwright.chromium.launch(executable_path=path, args=list(_QUIET))
        yield running
        running.close()
