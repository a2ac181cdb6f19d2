"""From the tables of a fault network's files to a Network, or to every fault at once."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import Any, Final

from balewright.cause.facts import FACTS
from balewright.cause.knowledge.each import spread_out
from balewright.cause.knowledge.entries import (
    alike_of,
    cause_of,
    links_of,
    observation_of,
    part_of,
    tool_of,
)
from balewright.cause.knowledge.rehearsed import counts_of, strangers, weigh_in
from balewright.cause.knowledge.taking import Entry
from balewright.cause.network import Kind, Network
from balewright.plan.cautions import SERVICE_CAUTIONS
from balewright.plan.profile.forms import nearest, text, whole
from balewright.plan.profile.reading import Reading
from balewright.quantities.errors import BadInput

CAUTIONS: Final = (
    *SERVICE_CAUTIONS,
    *("caution.rolling_bale", "caution.mouldy_bale", "caution.dust_fire", "caution.lone_work"),
    *("caution.unbound_bale", "caution.battery", "caution.none"),
)
"""Cautions a check or a repair may carry; `caution.none` says that somebody decided on none."""
KINDS: Final = {"report": Kind.REPORT, "finding": Kind.FINDING, "check": Kind.CHECK}
TABLES: Final = ("key", "version", "cause", *KINDS, "part", "tool", "alike", "rehearsed")


def build_network(raw: Mapping[str, Any], file: str) -> Network:
    """The network that the tables describe.

    raw: the parsed tables of all its files put together; file: its name, for messages.
    Raises BadInput with every fault: place, need, given, cure.
    """
    reading = Reading(file)
    reading.unknown(raw, "", list(TABLES))
    tables = spread_out(raw)
    causes = _entries(reading, tables, "cause")
    top = Entry(reading, tables, "")
    network = Network(
        key=top.take("key", text(40), "the network's name"),
        version=top.take("version", whole(1, 100_000), "a number that grows with every change"),
        causes=tuple(cause_of(key, entry) for key, entry in causes),
        observations=tuple(
            observation_of(kind, key, entry)
            for table, kind in KINDS.items()
            for key, entry in _entries(reading, tables, table)
        ),
        links=tuple(link for key, entry in causes for link in links_of(key, entry)),
        parts=tuple(part_of(*one) for one in _entries(reading, tables, "part")),
        tools=tuple(tool_of(*one) for one in _entries(reading, tables, "tool")),
        alike=tuple(alike_of(one) for one in top.tables("alike")),
    )
    counts = counts_of(top)
    _check_names(reading, network)
    for cause, on in strangers(network, counts):
        given, cure = f"{cause or 'no cause'}, {on}", "Take it out, or count anew."
        reading.fault("rehearsed", "a link to a finding, or a finding", given, cure)
    if reading.faults:
        raise BadInput(*reading.faults)
    return weigh_in(network, counts)


def _entries(reading: Reading, tables: Mapping[str, Any], name: str) -> list[tuple[str, Entry]]:
    table = reading.table(tables.get(name, {}), name) or {}
    return [(key, Entry(reading, given, f"{name}.{key}")) for key, given in table.items()]


def _check_names(reading: Reading, network: Network) -> None:
    """Whatever is named must be there, and nothing may be named twice."""
    observations = network.observation_by_key
    if len(observations) != len(network.observations):
        reading.fault("report, finding, check", "a key once", "a key twice", "Rename one.")
    linked: set[tuple[str, str]] = set()
    for link in network.links:
        place = f"cause.{link.cause}.shows"
        _known(reading, place, link.on, observations)
        if (link.cause, link.on) in linked:
            reading.fault(place, "each observation once", link.on, "Keep one of the two.")
        linked.add((link.cause, link.on))
    for cause in network.causes:
        place = f"cause.{cause.key}"
        _facts(reading, place, cause.exists_if)
        _step(reading, f"{place}.repair", cause.repair.tools, cause.repair.cautions, network)
        for part in cause.repair.parts:
            _known(reading, f"{place}.repair.parts", part, network.part_by_key)
    for one in network.observations:
        _facts(reading, f"{one.kind.value}.{one.key}", one.exists_if)
        if one.check is not None:
            _step(reading, f"check.{one.key}", one.check.tools, one.check.cautions, network)
    for pair in network.alike:
        for key in pair.causes:
            _known(reading, "alike", key, network.cause_by_key)


def _step(
    reading: Reading,
    place: str,
    tools: Collection[str],
    cautions: Collection[str],
    network: Network,
) -> None:
    for tool in tools:
        _known(reading, f"{place}.tools", tool, network.tool_by_key)
    if not cautions:
        cure = "Name what comes first, or caution.none where nothing does."
        reading.fault(f"{place}.cautions", "at least one caution", "none", cure)
    for caution in cautions:
        _known(reading, f"{place}.cautions", caution, CAUTIONS)


def _facts(reading: Reading, place: str, needs: Collection[str]) -> None:
    for need in needs:
        for fact in need.split("|"):
            if not fact.startswith("senses "):
                _known(reading, f"{place}.exists_if", fact, FACTS)


def _known(reading: Reading, place: str, named: str, known: Collection[str]) -> None:
    if named in known:
        return
    near = nearest(named, list(known))
    cure = f"Did you mean {near}?" if near else "Add it, or take the name out."
    reading.fault(place, "a name that is there", named, cure)
