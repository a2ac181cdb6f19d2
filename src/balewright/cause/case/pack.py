"""What a phone carries of a case: the next checks some steps deep, with every word they need."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any, Final

from balewright.cause.case.case import Case
from balewright.cause.evidence_value import Seen
from balewright.cause.network import Check, Network, Repair, Way
from balewright.cause.next_check.step import Deed, Step
from balewright.cause.next_check.tree import Question, Tree, Verdict

FORM: Final = "balewright case pack"
VERSION: Final = 1
MOST_PACK_BYTES: Final = 100_000
"""What a weak signal brings in a few seconds, and a phone keeps for every case."""
_CHANCE_DIGITS: Final = 3


@dataclass(frozen=True, eq=False)
class Packed:
    """What a pack is made of. network: the machine's part of it; known: evidence by key; tree:
    the next checks, None where there is no exact answer; language: ISO 639-1 code.
    """

    case: Case
    network: Network
    known: Mapping[str, Seen]
    tree: Tree | None
    language: str


def pack_of(packed: Packed) -> dict[str, Any]:
    """The pack as JSON has it (docs/cases.md): every key that a node names has its words in it."""
    nodes: list[dict[str, Any]] = []
    if packed.tree is not None:
        _place(packed.tree.root, nodes)
    words = _Words(packed.network, packed.language)
    for node in nodes:
        words.take(node)
    for one in packed.case.readings:
        words.check(one.on)
    return {
        "form": FORM,
        "version": VERSION,
        "case": packed.case.key,
        "machine": packed.case.machine,
        "complaint": packed.case.complaint,
        "network": f"{packed.network.key} {packed.network.version}",
        "language": packed.language,
        "clock": packed.case.clock,
        "state": packed.case.state.value,
        "known": [_known(packed, key, seen) for key, seen in packed.known.items()],
        "nodes": nodes,
        "checks": words.checks,
        "causes": words.causes,
        "parts": words.parts,
        "tools": words.tools,
    }


def cautions_in(pack: Mapping[str, Any]) -> tuple[str, ...]:
    """Keys of every caution a pack names, in the order of keys."""
    steps = [*pack["nodes"], *pack["checks"].values()]
    steps += [cause["repair"] for cause in pack["causes"].values()]
    return tuple(sorted({key for step in steps for key in step.get("cautions", ())}))


def _place(node: Question | Verdict, nodes: list[dict[str, Any]]) -> int:
    """Put a node and all below it into the list; its place."""
    at = len(nodes)
    said = _step(node.step) | {"top": [[key, round(p, _CHANCE_DIGITS)] for key, p in node.top]}
    nodes.append(said)
    if isinstance(node, Verdict):
        said["ends"] = node.ends
        said["repairs"] = [one.cause for one in node.repairs]
        return at
    for name, below in (("yes", node.yes), ("no", node.no), ("cannot tell", node.cannot)):
        said[name] = _place(below, nodes)
    return at


def _step(step: Step) -> dict[str, Any]:
    said: dict[str, Any] = {"deed": step.deed.value, "who": step.who.value}
    said["cautions"] = list(step.cautions)
    if step.check is not None:
        said["check"] = step.check
    if step.cause is not None:
        said["cause"] = step.cause
    if step.deed is Deed.SEND and step.kit is not None:
        said["parts"], said["tools"] = list(step.kit.parts), list(step.kit.tools)
    return said


def _known(packed: Packed, key: str, seen: Seen) -> dict[str, Any]:
    one = packed.network.observation(key)
    said: dict[str, Any] = {
        "on": key,
        "words": one.words.in_language(packed.language),
        "seen": seen.answer.value,
    }
    if seen.value is not None:
        said["value"] = seen.value
    return said


class _Words:
    """Words of whatever nodes name."""

    def __init__(self, network: Network, language: str) -> None:
        self.network, self.language = network, language
        self.checks: dict[str, Any] = {}
        self.causes: dict[str, Any] = {}
        self.parts: dict[str, str] = {}
        self.tools: dict[str, str] = {}

    def take(self, node: Mapping[str, Any]) -> None:
        if "check" in node:
            self.check(node["check"])
        for key in ([node["cause"]] if "cause" in node else []) + node.get("repairs", []):
            self.cause(key)
        for key, _ in node["top"]:
            self.cause(key)
        self._kit(node.get("parts", ()), node.get("tools", ()))

    def check(self, key: str) -> None:
        one = self.network.observation_by_key.get(key)
        if one is None or one.check is None or key in self.checks:
            return
        self.checks[key] = self._check(one.check)
        self._kit((), one.check.tools)

    def cause(self, key: str) -> None:
        if key in self.causes:
            return
        one = self.network.cause(key)
        name, tells = (said.in_language(self.language) for said in (one.name, one.tells))
        self.causes[key] = {"name": name, "tells": tells, "repair": self._repair(one.repair)}
        self._kit(one.repair.parts, one.repair.tools)

    def _check(self, check: Check) -> dict[str, Any]:
        said: dict[str, Any] = {
            "asks": check.asks.in_language(self.language),
            "how": check.how.in_language(self.language),
            "minutes": check.minutes,
            "by": check.by.value,
            "cautions": list(check.cautions),
            "tools": list(check.tools),
        }
        if check.risks is not None:
            said["risks"] = check.risks.in_language(self.language)
        if check.reading is not None:
            bad = "up" if check.reading.bad is Way.UP else "down"
            said["reading"] = {
                "unit": check.reading.unit,
                "limit": check.reading.limit,
                "bad": bad,
            }
        return said

    def _repair(self, repair: Repair) -> dict[str, Any]:
        return {
            "words": repair.words.in_language(self.language),
            "minutes": repair.minutes,
            "by": repair.by.value,
            "parts": list(repair.parts),
            "tools": list(repair.tools),
            "cautions": list(repair.cautions),
        }

    def _kit(self, parts: Iterable[str], tools: Iterable[str]) -> None:
        for key in parts:
            part = self.network.part_by_key.get(key)
            self.parts[key] = key if part is None else part.name.in_language(self.language)
        for key in tools:
            tool = self.network.tool_by_key.get(key)
            self.tools[key] = key if tool is None else tool.name.in_language(self.language)
