"""`balewright serve`: the desk and its worker, each in a process of its own."""

from __future__ import annotations

import argparse
import os
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import FrameType
from typing import Final

from balewright.cli.entry import GOOD, OUR_FAULT
from balewright.quantities.errors import BadInput, Fault
from balewright.settings import Settings, load_settings, make_home

PORTS_TRIED: Final = 20
END_WITHIN_S: Final = 12.0
THREADS: Final = 8
WORKER: Final = "worker"
RAN_WELL_S: Final = 3.0
ANSWERS_WITHIN_S: Final = 120
DESK: Final = "balewright.desk.wsgi:application"


def fill_parser(parser: argparse.ArgumentParser) -> None:
    """Options of `serve`."""
    add_place_options(parser)
    parser.add_argument(
        "--open-desk",
        action="store_true",
        help="sign visitors on this very computer in by themselves (for a demo; loopback only)",
    )
    parser.set_defaults(answer=_answer)


def add_place_options(parser: argparse.ArgumentParser) -> None:
    """Where the desk is served; `demo` takes the same."""
    parser.add_argument("--host", help="address to serve on (default 127.0.0.1: this computer)")
    parser.add_argument("--port", type=int, help="port (default 8000; another one when taken)")


def _answer(options: argparse.Namespace) -> int:
    return serve(environment_for(options, options.open_desk))


def environment_for(options: argparse.Namespace, open_desk: bool) -> dict[str, str]:
    """The environment with what the options say on top."""
    environ = dict(os.environ)
    if options.host is not None:
        environ["BALEWRIGHT_HOST"] = options.host
    if options.port is not None:
        environ["BALEWRIGHT_PORT"] = str(options.port)
    if open_desk:
        environ["BALEWRIGHT_OPEN_DESK"] = "yes"
    return environ


def serve(environ: Mapping[str, str]) -> int:
    """Set up, then serve until a signal; the exit code."""
    settings = load_settings(environ)
    make_home(settings.home)
    port = free_port(settings.host, settings.port)
    if port != settings.port:
        _say(f"port {settings.port} is taken, using {port}")
    environ = {**environ, "BALEWRIGHT_PORT": str(port)}
    prepared = subprocess.run(
        [sys.executable, "-m", "balewright.desk.set_up"], env=environ, check=False
    )
    if prepared.returncode != GOOD:
        return prepared.returncode
    return _run(settings, port, environ)


def free_port(host: str, wanted: int) -> int:
    """The wanted port, or the next that nobody listens on. BadInput when there is none."""
    faults = []
    for port in range(wanted, min(wanted + PORTS_TRIED, 65536)):
        family = socket.AF_INET6 if ":" in host else socket.AF_INET
        with socket.socket(family) as trial:
            trial.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            try:
                trial.bind((host, port))
            except OSError as error:
                faults.append(str(error))
            else:
                return port
    need = f"an address of this computer with a free port from {wanted} on"
    cure = "Give another --port, or --host 127.0.0.1."
    raise BadInput(Fault("--host and --port", need, f"{host}: {faults[-1]}", cure))


def _commands(settings: Settings, port: int) -> dict[str, list[str]]:
    address = f"[{settings.host}]:{port}" if ":" in settings.host else f"{settings.host}:{port}"
    web = [sys.executable, "-m", "gunicorn", DESK, "--bind", address]
    web += ["--workers", "1", "--threads", str(THREADS), "--timeout", str(ANSWERS_WITHIN_S)]
    web += ["--no-control-socket", "--log-level", "warning"]
    return {"desk": web, WORKER: [sys.executable, "-m", "balewright.desk.worker"]}


class _Process:
    """One of the two processes. Its session is its own: a Ctrl-C in the shell reaches only us."""

    def __init__(self, name: str, command: list[str], environ: Mapping[str, str]) -> None:
        self.name, self._command, self._environ = name, command, environ
        self.start()

    def start(self) -> None:
        """Start it, also again."""
        self.began_s = time.monotonic()
        self.running = subprocess.Popen(  # noqa: S603  our own modules, no shell
            self._command, env=self._environ, start_new_session=True
        )

    def may_start_again(self) -> bool:
        """The worker may, when it had run for a while: what it left half done is done again."""
        return self.name == WORKER and time.monotonic() - self.began_s > RAN_WELL_S


@dataclass
class _Ending:
    """Whether a signal asked for the end."""

    asked: bool = False

    def ask(self, _signal: int, _frame: FrameType | None) -> None:
        self.asked = True


def _run(settings: Settings, port: int, environ: Mapping[str, str]) -> int:
    ending = _Ending()
    for name in (signal.SIGINT, signal.SIGTERM):
        signal.signal(name, ending.ask)
    processes = [
        _Process(name, command, environ) for name, command in _commands(settings, port).items()
    ]
    try:
        return _watch(processes, ending, _address(settings.host, port))
    finally:
        _end([process.running for process in processes])


def _address(host: str, port: int) -> str:
    shown = {"0.0.0.0": "127.0.0.1", "::": "[::1]"}.get(host, host)  # noqa: S104  shown, not bound
    return f"http://[{shown}]:{port}" if ":" in shown.strip("[]") else f"http://{shown}:{port}"


def _watch(processes: Sequence[_Process], ending: _Ending, address: str) -> int:
    told = False
    while not ending.asked:
        for process in processes:
            code = process.running.poll()
            if code is None:
                continue
            if not process.may_start_again():
                _say(f"the {process.name} ended by itself (exit code {code}); ending all")
                return OUR_FAULT
            _say(f"the {process.name} ended by itself (exit code {code}); starting it again")
            process.start()
        if not told and _answers(address):
            _say(f"the desk is at {address}  (Ctrl-C ends it)")
            told = True
        time.sleep(0.2)
    _say("ending the desk and its worker")
    return GOOD


def _answers(address: str) -> bool:
    host, _, port = address.removeprefix("http://").rpartition(":")
    try:
        with socket.create_connection((host.strip("[]"), int(port)), timeout=0.3):
            return True
    except OSError:
        return False


def _end(processes: list[subprocess.Popen[bytes]]) -> None:
    """Ask both to end, and end them: what was committed is kept either way."""
    for process in processes:
        if process.poll() is None:
            process.terminate()
    until = time.monotonic() + END_WITHIN_S
    for process in processes:
        try:
            process.wait(max(until - time.monotonic(), 0.1))
        except subprocess.TimeoutExpired:
            process.kill()
            process.wait()


def _say(text: str) -> None:
    print(f"balewright: {text}", flush=True)
