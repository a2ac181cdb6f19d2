"""`balewright settings`: keep a machine's settings, and compare them after an update."""

from __future__ import annotations

import argparse
import os
from pathlib import Path
from typing import TYPE_CHECKING, Any

from balewright.cli.answer import print_json, print_table
from balewright.cli.entry import GOOD
from balewright.flows.compare_settings import Compared, compare_settings
from balewright.flows.read_settings import Pairs, read_settings
from balewright.plan.machine import Machine
from balewright.quantities.errors import BadInput, Fault

if TYPE_CHECKING:
    from balewright.flows.workplace import Workplace
    from balewright.store.entries import SnapshotEntry

_DEEDS = ("keep", "list", "compare")
_EXAMPLE = """
examples:
  balewright settings keep before.csv --machine TT-2002 --note "before the update"
  balewright settings compare last after.csv --machine TT-2002
  balewright settings compare before.csv after.csv
"""


def fill_parser(parser: argparse.ArgumentParser) -> None:
    """Options of `settings`."""
    parser.formatter_class = argparse.RawDescriptionHelpFormatter
    parser.epilog = _EXAMPLE
    parser.add_argument("deed", metavar="DEED", help=", ".join(_DEEDS))
    parser.add_argument(
        "lists",
        metavar="LIST",
        nargs="*",
        help="file (name,value or JSON), id of kept settings, id of a kept sheet, or last",
    )
    parser.add_argument("--machine", metavar="SERIAL", help="a machine of the register")
    parser.add_argument("--note", default="", help="why they are kept")
    parser.add_argument("--json", action="store_true", help="one JSON object with a version in it")
    parser.set_defaults(answer=_answer)


def _answer(options: argparse.Namespace) -> int:
    wanted = {"keep": (1, 1), "list": (0, 0), "compare": (2, 2)}.get(options.deed)
    if wanted is None:
        need = f"one of {', '.join(_DEEDS)}"
        raise BadInput(Fault("DEED", need, repr(options.deed), "Name one of them."))
    if not wanted[0] <= len(options.lists) <= wanted[1]:
        cure = "See `balewright settings --help`."
        raise BadInput(Fault("LIST", f"{wanted[0]} of them", str(len(options.lists)), cure))
    if options.deed == "keep":
        return _keep(options)
    return _list(options) if options.deed == "list" else _compare(options)


def _workplace(options: argparse.Namespace) -> Workplace:
    from balewright.settings import load_settings, open_workplace

    workplace = open_workplace(load_settings(os.environ))
    serials = [entry.serial for entry in workplace.register.load_machines()]
    if options.machine not in serials:
        need = f"a serial of the register: {', '.join(serials) or 'it is empty yet'}"
        cure = "Check the serial, or add the machine at the desk."
        raise BadInput(Fault("--machine", need, repr(options.machine), cure))
    return workplace


def _keep(options: argparse.Namespace) -> int:
    from balewright.flows.keep_settings import KeepRequest, keep_settings

    workplace = _workplace(options)
    given = _pairs(options, options.lists[0], workplace)
    origin = Path(options.lists[0]).name
    kept = keep_settings(workplace, KeepRequest(options.machine, given, origin, options.note))
    if options.json:
        print_json("settings", {"kept": _as_json(kept)})
    else:
        print(f"kept {len(kept.settings)} settings of {kept.machine} as {kept.id}")
    return GOOD


def _list(options: argparse.Namespace) -> int:
    kept = _workplace(options).register.load_snapshots(options.machine)
    if options.json:
        print_json("settings", {"kept": [_as_json(one) for one in kept]})
    elif not kept:
        print(f"No settings of {options.machine} were kept yet.")
    else:
        rows = [
            (one.id, f"{one.kept_at:%Y-%m-%d %H:%M}", str(len(one.settings)), one.origin, one.note)
            for one in kept
        ]
        print_table(("id", "kept (UTC)", "settings", "from", "note"), rows)
    return GOOD


def _compare(options: argparse.Namespace) -> int:
    workplace = _workplace(options) if options.machine is not None else None
    before, now = (_pairs(options, name, workplace) for name in options.lists)
    compared = compare_settings(before, now, _machine(options, workplace))
    if options.json:
        print_json("settings", _compared_as_json(compared))
    else:
        _print(compared)
    return GOOD


def _machine(options: argparse.Namespace, workplace: Workplace | None) -> Machine | None:
    entry = workplace.register.load_machine(options.machine) if workplace is not None else None
    return None if workplace is None or entry is None else workplace.profiles.get(entry.profile_key)


def _pairs(options: argparse.Namespace, name: str, workplace: Workplace | None) -> Pairs:
    """A list by what it was called: kept settings and sheets need the machine, a file does not."""
    if workplace is not None and not Path(name).is_file():
        from balewright.flows.keep_settings import find_settings, settings_of_sheet

        if name.startswith("S-"):
            return settings_of_sheet(workplace, name)
        if name == "last" or name.startswith("N-"):
            return find_settings(workplace, options.machine, name).settings
    if workplace is None and (name == "last" or name.startswith(("N-", "S-"))):
        cure = "Name the machine they are of."
        raise BadInput(Fault("--machine", "a serial for what was kept", "none", cure))
    return read_settings(Path(name))


def _print(compared: Compared) -> None:
    if not compared.enter_again:
        print(f"Nothing moved: {len(compared.same)} settings are the same.")
    else:
        print("Enter again:")
        print_table(
            ("setting", "was", "now"),
            [
                *((one.name, one.before, one.now) for one in compared.moved),
                *((name, value, "not there") for name, value in compared.gone),
            ],
        )
        print(f"The same: {len(compared.same)}.")
    if compared.fresh:
        print("Not there before: " + ", ".join(f"{name} {value}" for name, value in compared.fresh))


def _as_json(kept: SnapshotEntry) -> dict[str, Any]:
    return {
        "id": kept.id,
        "machine": kept.machine,
        "kept_at": kept.kept_at.isoformat(),
        "origin": kept.origin,
        "note": kept.note,
        "settings": [{"name": name, "value": value} for name, value in kept.settings],
    }


def _compared_as_json(compared: Compared) -> dict[str, Any]:
    return {
        "enter_again": [{"name": name, "value": value} for name, value in compared.enter_again],
        "moved": [
            {"name": one.name, "before": one.before, "now": one.now} for one in compared.moved
        ],
        "gone": [{"name": name, "value": value} for name, value in compared.gone],
        "fresh": [{"name": name, "value": value} for name, value in compared.fresh],
        "same": list(compared.same),
    }
