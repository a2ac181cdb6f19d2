"""Fault networks from a folder of TOML files, put together before they are checked."""

from __future__ import annotations

import tomllib
from functools import cache
from pathlib import Path
from typing import Any, Final

from balewright.cause.knowledge.build import build_network
from balewright.cause.network import Network
from balewright.quantities.errors import BadInput, Fault
from balewright.readers.lines import require_file

MAX_BYTES: Final = 2 * 1024 * 1024
KNOWLEDGE: Final = Path(__file__).parent / "knowledge"


def read_network(folder: Path) -> Network:
    """The network of all TOML files of a folder; docs/fault-network.md says what they hold.

    Raises BadInput: a file that is no TOML, an entry in two files, else every fault of the schema.
    """
    paths = sorted(folder.glob("*.toml"))
    if not paths:
        cure = "Give the folder of a fault network."
        raise BadInput(Fault(folder.name, "files that end in .toml", "none", cure))
    whole: dict[str, Any] = {}
    for path in paths:
        _put_together(whole, _parse(path), path.name)
    return build_network(whole, folder.name)


@cache
def shipped_network() -> Network:
    """The network that comes with the program."""
    return read_network(KNOWLEDGE)


def _put_together(whole: dict[str, Any], tables: dict[str, Any], file: str) -> None:
    for name, given in tables.items():
        if name not in whole:
            whole[name] = given
            continue
        there = whole[name]
        if isinstance(there, dict) and isinstance(given, dict):
            for key in there.keys() & given.keys():
                cure = "Keep it in one of the files."
                raise BadInput(Fault(f"{file}: {name}.{key}", "an entry once", "twice", cure))
            there.update(given)
        elif isinstance(there, list) and isinstance(given, list):
            there.extend(given)
        else:
            raise BadInput(Fault(f"{file}: {name}", "said in one file", "said twice", "Keep one."))


def _parse(path: Path) -> dict[str, Any]:
    require_file(path)
    with path.open("rb") as file:
        content = file.read(MAX_BYTES + 1)
    if len(content) > MAX_BYTES:
        cure = "Split it, or check that it is a fault network."
        raise BadInput(Fault(path.name, f"at most {MAX_BYTES} bytes", "more", cure))
    try:
        return tomllib.loads(content.decode("utf-8"))
    except (UnicodeDecodeError, tomllib.TOMLDecodeError, ValueError, RecursionError) as error:
        cure = "Correct that line; nothing of the network was read."
        raise BadInput(Fault(path.name, "TOML in UTF-8", str(error)[:120], cure)) from None
