"""A PostgreSQL server of the harness's own, on a socket in a folder, that can be killed."""

from __future__ import annotations

import os
import pwd
import shutil
import signal
import subprocess
import time
from pathlib import Path
from typing import Final

NOBODY: Final = "postgres"
"""The server refuses to run as root: it is started as this user then."""


def find_server() -> Path | None:
    """The folder of the server's programs, None where it is not installed."""
    usual = max(Path("/usr/lib/postgresql").glob("*/bin"), default=None)
    found = shutil.which("initdb")
    return usual or (None if found is None else Path(found).resolve().parent)


class Server:
    """folder: all of it lies there."""

    def __init__(self, folder: Path) -> None:
        programs = find_server()
        assert programs is not None, "no PostgreSQL here"
        self.programs, self.folder = programs, folder
        self.data = folder / "data"
        folder.mkdir()
        if os.geteuid() == 0:
            user = pwd.getpwnam(NOBODY)
            os.chown(folder, user.pw_uid, user.pw_gid)
        self._run("initdb", "-D", str(self.data), "-A", "trust", "-U", "bale")

    def start(self) -> None:
        """Start it, healing whatever a kill left."""
        options = f"-c listen_addresses='' -c unix_socket_directories={self.folder}"
        log = str(self.folder / "log")
        for _ in range(20):
            if self._run("pg_ctl", "-D", str(self.data), "-w", "-o", options, "-l", log, "start"):
                return
            time.sleep(0.5)
        raise RuntimeError((self.folder / "log").read_text()[-2000:])

    def kill(self) -> None:
        """Kill every process of it, the first one too, as a crash of the computer would."""
        first = int((self.data / "postmaster.pid").read_text().split()[0])
        children = Path(f"/proc/{first}/task/{first}/children").read_text().split()
        for process in (first, *map(int, children)):
            try:
                os.kill(process, signal.SIGKILL)
            except ProcessLookupError:
                continue
        time.sleep(0.3)

    def stop(self) -> None:
        """Stop it in good order."""
        self._run("pg_ctl", "-D", str(self.data), "-w", "-m", "fast", "stop")

    def fresh_database(self, name: str) -> str:
        """Make an empty database; its address."""
        assert self._run("createdb", "-h", str(self.folder), "-U", "bale", name)
        return f"postgresql://bale@{str(self.folder).replace('/', '%2F')}/{name}"

    def _run(self, program: str, *words: str) -> bool:
        command = [str(self.programs / program), *words]
        if os.geteuid() == 0:
            command = [
                "setpriv",
                f"--reuid={NOBODY}",
                f"--regid={NOBODY}",
                "--clear-groups",
                *command,
            ]
        answer = subprocess.run(command, check=False, stdout=subprocess.DEVNULL,
                                stderr=subprocess.DEVNULL, cwd=self.folder)  # fmt: skip
        return answer.returncode == 0
