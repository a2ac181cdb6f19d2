"""An answer on causes as JSON."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from balewright.quantities.reason import Reason

if TYPE_CHECKING:
    from balewright.cause.evidence_value import Seen
    from balewright.cause.heard import Heard
    from balewright.cause.network import Network
    from balewright.cause.next_check.step import Kit, Look, Step
    from balewright.cause.ranking import Sign
    from balewright.flows.tell_causes import ToldCause, ToldCauses


def heard_json(network: Network, heard: Iterable[Heard], language: str) -> dict[str, Any]:
    """Reports that words may mean."""
    return {
        "heard": [
            {
                "key": one.key,
                "words": network.observation(one.key).words.in_language(language),
                "likeness_frac": round(one.likeness_frac, 4),
            }
            for one in heard
        ]
    }


def listed_json(network: Network, listed: str, language: str) -> dict[str, Any]:
    """What a machine can show, or have."""
    return {
        listed: [
            {"key": key, "words": words} for key, words in listed_of(network, listed, language)
        ]
    }


def listed_of(network: Network, listed: str, language: str) -> list[tuple[str, str]]:
    """(key, words) of the reports, findings, checks or causes of a machine."""
    if listed == "causes":
        return [(one.key, one.name.in_language(language)) for one in network.causes]
    kind = listed.removesuffix("s")
    found = [one for one in network.observations if one.kind.value == kind]
    return [(one.key, one.words.in_language(language)) for one in found]


def asked_json(told: ToldCauses) -> dict[str, Any]:
    """The whole answer; chances 0..1, money in the house's currency or hours (`in_money`)."""
    asked = told.asked
    at, ranking, advice = asked.at, asked.ranking, asked.advice
    return {
        "machine": None if at.entry is None else at.entry.serial,
        "profile": at.machine.key,
        "network": {"key": at.network.key, "version": at.network.version},
        "watched_bales": at.bales,
        "findings": [one.key for one in at.episodes],
        "evidence": [
            {"key": one.key, "kind": one.kind.value, "words": one.words, **_seen(one.seen),
             "from_records": one.from_records}
            for one in told.seen
        ],
        "clear": ranking.clear,
        "about": [_said(one) for one in told.about],
        "causes": [_cause(one) for one in told.causes],
        "none_frac": ranking.none_frac,
        "beyond_frac": ranking.beyond_frac,
        "conflict_ratio": ranking.conflict_ratio,
        "next": _step(advice.step),
        "in_money": advice.in_money,
        "repair_money": advice.repair_money,
        "assumed": [_said(one) for one in advice.assumed],
        "looks": [_look(one.look, one.asks) for one in told.looks],
        "repairs": [
            {"cause": one.cause, "behind_frac": one.behind_frac, "reached_frac": one.reached_frac,
             "repair_money": one.repair_money, "who": one.who.value}
            for one in advice.repairs
        ],
        "left_out": [{"key": one.key, "why": one.why.value} for one in ranking.left_out],
    }  # fmt: skip


def _cause(one: ToldCause) -> dict[str, Any]:
    return {
        "key": one.cause.key,
        "name": one.name,
        "tells": one.tells,
        "side": one.cause.side.value,
        "system": one.cause.system.value,
        "prior_frac": one.ranked.prior_frac,
        "posterior_frac": one.ranked.posterior_frac,
        "behind_frac": one.ranked.behind_frac,
        "why": [_said(reason) for reason in one.why],
        "lifted": [_sign(sign) for sign in one.ranked.lifted],
        "against": [_sign(sign) for sign in one.ranked.against],
        "expected": list(one.ranked.expected),
        "repair": {
            "words": one.repair,
            "minutes": one.cause.repair.minutes,
            "by": one.cause.repair.by.value,
            "parts": list(one.cause.repair.parts),
            "tools": list(one.cause.repair.tools),
            "cautions": list(one.cause.repair.cautions),
        },
    }


def _step(step: Step) -> dict[str, Any]:
    return {
        "cautions": list(step.cautions),
        "deed": step.deed.value,
        "who": step.who.value,
        "check": step.check,
        "cause": step.cause,
        "kit": _kit(step.kit),
        "step_money": step.step_money,
        "total_money": step.total_money,
        "why": _said(step.why),
    }


def _kit(kit: Kit | None) -> dict[str, Any] | None:
    if kit is None:
        return None
    return {
        "parts": list(kit.parts),
        "tools": list(kit.tools),
        "for_causes": list(kit.for_causes),
        "covers_frac": kit.covers_frac,
    }


def _look(look: Look, asks: str) -> dict[str, Any]:
    return {
        "check": look.key,
        "asks": asks,
        "who": look.who.value,
        "on_frac": look.on_frac,
        "check_money": look.check_money,
        "total_money": look.total_money,
        "saves_money": look.saves_money,
        "moves_frac": look.moves_frac,
        "new_first_frac": look.new_first_frac,
    }


def _sign(sign: Sign) -> dict[str, Any]:
    return {"on": sign.on, **_seen(sign.seen), "lift_ratio": sign.lift_ratio}


def _seen(seen: Seen) -> dict[str, Any]:
    return {"seen": seen.answer.value, "value": seen.value}


def _said(reason: Reason) -> str:
    from balewright.words.say import say

    return say(reason)
