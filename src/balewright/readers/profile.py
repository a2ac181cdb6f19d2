"""Machine profiles from TOML files: first a fault of the file, then every fault of the schema."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import Final

from balewright.plan.machine import Machine
from balewright.plan.profile.schema import build_machine
from balewright.quantities.errors import BadInput, BadProfile, Fault
from balewright.readers.lines import require_file
from balewright.records.columns import COLUMNS, Kind

MAX_BYTES: Final = 64 * 1024
SENSED: Final = tuple(column.name for column in COLUMNS if column.kind in (Kind.INT, Kind.FLOAT))
MAKES: Final = Path(__file__).parent / "makes"


def read_profile(path: Path) -> Machine:
    """The machine a profile file describes.

    path: a TOML file of at most MAX_BYTES, UTF-8; schema in docs/profiles.md.
    Raises BadProfile: one fault when the file cannot be read as TOML, else every fault of the
    schema at once.
    """
    return build_machine(_parse(path), path.name, columns=SENSED)


@cache
def shipped_profiles() -> Mapping[str, Machine]:
    """The invented makes that come with the program, by their key."""
    machines = (read_profile(path) for path in sorted(MAKES.glob("*.toml")))
    return MappingProxyType({machine.key: machine for machine in machines})


def _parse(path: Path) -> dict[str, object]:
    try:
        require_file(path)
        with path.open("rb") as file:
            content = file.read(MAX_BYTES + 1)
    except BadInput as error:
        raise BadProfile(*error.faults) from None
    except OSError as error:
        said = error.strerror or type(error).__name__
        raise _bad(path, "a file that can be read", said, "Check the path.") from None
    if len(content) > MAX_BYTES:
        cure = "A profile is a few kilobytes; this is something else."
        raise _bad(path, f"at most {MAX_BYTES} bytes", "more", cure)
    if b"\0" in content:
        raise _bad(path, "a text file", "binary content", "Give the TOML file of a profile.")
    try:
        return tomllib.loads(content.decode("utf-8"))
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        cure = "Save the file as UTF-8."
        raise _bad(path, "UTF-8 text", f"another encoding in line {line}", cure) from None
    except RecursionError:
        raise _bad(path, "TOML", "brackets nested too deep", "Take them out.") from None
    except tomllib.TOMLDecodeError as error:
        raise _bad(path, "TOML", str(error), "Correct that line; nothing else was read.") from None
    except ValueError:  # Python refuses to turn so long a number into an int
        given = "a number of thousands of digits"
        raise _bad(path, "numbers a machine can have", given, "Correct it.") from None


def _bad(path: Path, need: str, given: str, cure: str) -> BadProfile:
    return BadProfile(Fault(path.name, need, given, cure))
