"""The next step, or a check that was chosen instead, as one card."""

from __future__ import annotations

from dataclasses import dataclass

from balewright.cause.network import NO_CAUTION, Check, Hands, Network, Observation
from balewright.cause.next_check.step import Deed, Kit, Look, Step
from balewright.desk.wording import words
from balewright.flows.ask_causes import Asked
from balewright.flows.purse import Purse
from balewright.quantities.reason import Reason, because
from balewright.words.review import english_beside
from balewright.words.say import SPACE, say


@dataclass(frozen=True)
class CautionShown:
    """said: in the page's language; english: the same as first written, where it needs to be."""

    said: str
    english: str


@dataclass(frozen=True)
class ReadingShown:
    """A number that a check reads. limit: from where on it shows the fault, in words."""

    unit: str
    limit: str


@dataclass(frozen=True)
class KitShown:
    """What to take along. parts: names with what one costs; covers: how often that is enough."""

    parts: tuple[tuple[str, str], ...]
    tools: tuple[str, ...]
    causes: tuple[str, ...]
    covers: str


@dataclass(frozen=True)
class NextShown:
    """One step. key: of the check, "" where there is none; cause: of the repair; facts: name and
    value; chosen: it was picked from the list and is not what costs least.
    """

    deed: str
    heading: str
    key: str
    cause: str
    title: str
    how: str
    risk: str
    reading: ReadingShown | None
    cautions: tuple[CautionShown, ...]
    facts: tuple[tuple[str, str], ...]
    kit: KitShown | None
    why: str
    chosen: bool = False


def cautions_shown(keys: tuple[str, ...], language: str) -> tuple[CautionShown, ...]:
    """Cautions, most dangerous first."""
    found = []
    for key in keys:
        if key != NO_CAUTION:
            reason = Reason(key)
            english = english_beside([reason], language)
            found.append(CautionShown(say(reason, language), english[0] if english else ""))
    return tuple(found)


def rest_said(check: Check) -> str:
    """Whether the machine stands for a check; a kit that somebody else fits is fitted at rest."""
    if check.at_rest:
        return words("causes.machine_rests")
    driver = check.by is Hands.OPERATOR
    return words("causes.machine_may_run" if driver else "causes.machine_runs_after_fitting")


def next_shown(asked: Asked, look: str, language: str, purse: Purse) -> NextShown:
    """The step that costs least, or the check of key `look` where it may be made here."""
    network, step = asked.at.network, asked.advice.step
    chosen = next((one for one in asked.advice.looks if one.key == look), None)
    if chosen is not None and look != step.check:
        return _chosen(network, chosen, language, purse)
    one = network.observation_by_key.get(step.check or "")
    if one is not None and one.check is not None:
        return _check(network, one, step, language, purse)
    return _repair(network, step, language, purse)


def _chosen(network: Network, look: Look, language: str, purse: Purse) -> NextShown:
    one = network.observation(look.key)
    why = because("cause.next.check", check_money=look.check_money, saves_money=look.saves_money,
                  on_frac=look.on_frac)  # fmt: skip
    step = Step((), Deed.CHECK, look.who, look.key, None, None, look.check_money,
                look.total_money, why)  # fmt: skip
    shown = _check(network, one, step, language, purse)
    saved = words("causes.chosen.saves" if look.saves_money > 0.0 else "causes.chosen.costs",
                  amount=purse.said(abs(look.saves_money)), on_frac=look.on_frac)  # fmt: skip
    return NextShown(
        shown.deed, words("causes.chosen"), shown.key, "", shown.title, shown.how, shown.risk,
        shown.reading, shown.cautions, shown.facts, None, saved, True,
    )  # fmt: skip


def _check(
    network: Network, one: Observation, step: Step, language: str, purse: Purse
) -> NextShown:
    check = one.check
    if check is None:
        raise TypeError(f"{one.key} is no check")
    tools = [network.tool_by_key[key].name.in_language(language) for key in check.tools]
    facts = [
        ("who", who_said(step.who)),
        ("minutes", words("causes.minutes", minutes=f"{check.minutes:g}")),
        ("tools", ", ".join(tools) or words("causes.tools.none")),
        ("costs", purse.said(step.step_money)),
        ("rest", rest_said(check)),
    ]
    reading = None
    if check.reading is not None:
        unit = check.reading.unit
        limit = f"{check.reading.limit:g}{SPACE}{unit}"
        reading = ReadingShown(unit, words(f"causes.limit.{check.reading.bad.value}", limit=limit))
    return NextShown(
        step.deed.name.lower(), _heading(step), one.key, "", check.asks.in_language(language),
        check.how.in_language(language),
        "" if check.risks is None else check.risks.in_language(language), reading,
        cautions_shown(check.cautions, language), _facts(facts),
        kit_shown(network, step.kit, language, purse), purse.tell(step.why, language),
    )  # fmt: skip


def _repair(network: Network, step: Step, language: str, purse: Purse) -> NextShown:
    cause = network.cause_by_key.get(step.cause or "")
    facts, title, how = [], "", ""
    if cause is not None:
        title, repair = cause.name.in_language(language), cause.repair
        how = repair.words.in_language(language)
        tools = [network.tool_by_key[key].name.in_language(language) for key in repair.tools]
        parts = [network.part_by_key[key].name.in_language(language) for key in repair.parts]
        facts = [
            ("who", who_said(step.who)),
            ("minutes", words("causes.minutes", minutes=f"{repair.minutes:g}")),
            ("parts", ", ".join(parts)),
            ("tools", ", ".join(tools)),
            ("costs", purse.said(step.step_money)),
        ]
    return NextShown(
        step.deed.name.lower(), _heading(step), "", step.cause or "", title, how, "", None,
        cautions_shown(step.cautions, language), _facts(facts),
        kit_shown(network, step.kit, language, purse), purse.tell(step.why, language),
    )  # fmt: skip


def _heading(step: Step) -> str:
    name = step.deed.name.lower()
    if step.deed is Deed.SEND:
        what = "look" if step.check is not None else "repair"
        name = f"{'bring' if step.who is Hands.WORKSHOP else 'send'}.{what}"
    return words(f"causes.deed.{name}")


def who_said(who: Hands) -> str:
    """Who does it."""
    return words(f"causes.who.{who.value}")


def _facts(pairs: list[tuple[str, str]]) -> tuple[tuple[str, str], ...]:
    return tuple((words(f"causes.fact.{name}"), said) for name, said in pairs if said)


def kit_shown(network: Network, kit: Kit | None, language: str, purse: Purse) -> KitShown | None:
    """What to take along, with names and what the parts cost."""
    if kit is None:
        return None
    parts = [network.part_by_key[key] for key in kit.parts]
    return KitShown(
        tuple((one.name.in_language(language), f"{one.money:g}" if purse.in_money else "")
              for one in parts),
        tuple(network.tool_by_key[key].name.in_language(language) for key in kit.tools),
        tuple(network.cause(key).name.in_language(language) for key in kit.for_causes),
        words("causes.kit.covers", covers_frac=kit.covers_frac),
    )  # fmt: skip
