"""The machine profile that a person names: a shipped make by its key, or a file of their own."""

from __future__ import annotations

from pathlib import Path

from balewright.plan.machine import Machine
from balewright.quantities.errors import BadInput, Fault
from balewright.readers.profile import read_profile, shipped_profiles


def find_profile(named: str) -> Machine:
    """The profile under a key or in a TOML file; needs no workplace and opens no database.

    Raises BadInput when neither is there, BadProfile with every fault of a broken file.
    """
    machine = shipped_profiles().get(named)
    if machine is not None:
        return machine
    if named.endswith(".toml") or Path(named).exists():
        return read_profile(Path(named))
    need = f"one of {', '.join(shipped_profiles())}, or a file"
    raise BadInput(Fault("profile", need, repr(named), "Name a make or give its TOML file."))
