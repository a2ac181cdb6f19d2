"""What this house's closed cases would move in the fault network: shown first, then accepted, and
taken back at any time."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, replace

from balewright.cause.facts import machine_facts
from balewright.cause.learn.learn import learn
from balewright.cause.learn.lesson import ClosedCase, Lesson, LinkChange, RateChange
from balewright.cause.learn.taught import link_changes, rate_changes, taught
from balewright.cause.network import Kind, Network
from balewright.flows.cases_for_learning import TaughtCase, cases_for_learning
from balewright.flows.network_in_force import KeptLesson, load_lessons, save_lessons
from balewright.flows.workplace import Workplace
from balewright.quantities.errors import BadInput, Fault
from balewright.readers.fault_network import shipped_network
from balewright.store.engine_choice import open_engine
from balewright.store.questions import ask_counts


@dataclass(frozen=True, eq=False)
class LessonReview:
    """What the cases of one profile's machines teach, and what was accepted of it before.

    network: the profile's part of it, as it comes; proposed: a lesson from cases that no accepted
    one rests on, None where there is no proven one; rates, links: what it would move beyond what
    counts already, the largest move first; kept: every lesson accepted, also those taken back;
    run_bales: that the proposed one is held against.
    """

    profile: str
    network: Network
    proposed: Lesson | None
    rates: tuple[RateChange, ...]
    links: tuple[LinkChange, ...]
    kept: tuple[KeptLesson, ...]
    run_bales: float
    left_out: Lesson


def review_lessons(workplace: Workplace, profile: str) -> LessonReview:
    """Count the closed cases of a profile's machines. Raises BadInput for a profile not known."""
    machine = workplace.profiles.get(profile)
    if machine is None:
        need = "one of " + ", ".join(sorted(workplace.profiles))
        raise BadInput(Fault("profile", need, repr(profile[:80]), "Give one of these."))
    network = shipped_network().for_machine(machine_facts(machine))
    kept = load_lessons(workplace, profile)
    counting = tuple(one for one in kept if one.counts)
    used = {key for one in counting for key in one.lesson.cases}
    own = [one for one in cases_for_learning(workplace) if one.profile == profile]
    # bales that count in an accepted lesson count in no other; the rest of them still may
    used_bales = sum(one.run_bales * one.lesson.told_frac for one in counting)
    run = max(0.0, bales_of(workplace, profile) - used_bales)
    new = [_closed(network, one) for one in own if one.case.key not in used]
    lesson = learn(network, new, profile, run, _key(network, new, run))
    proposed = lesson if lesson.cases else None
    before = tuple(one.lesson for one in counting)
    after = (*before, lesson) if proposed else before
    rates = _rates(network, before, after, lesson) if proposed else ()
    links = _links(network, before, after, lesson) if proposed else ()
    if proposed:
        taught(network, after)  # refused here and not when it is asked
    every = learn(network, [_closed(network, one) for one in own], profile, run, "")
    return LessonReview(profile, network, proposed, rates, links, kept, run, every)


def accept_lesson(workplace: Workplace, profile: str, key: str, by: str | None) -> KeptLesson:
    """Let the lesson that was shown count from now on.

    key: of the lesson as shown. Raises BadInput where other cases teach by now, so that nothing
    counts that nobody saw.
    """
    review = review_lessons(workplace, profile)
    if review.proposed is None or review.proposed.key != key:
        given = "one that has changed since" if review.proposed else "none"
        cure = "Look at the page again, and accept what it shows."
        raise BadInput(Fault("lesson", "the lesson as it stands now", given, cure))
    made = KeptLesson(review.proposed, review.run_bales, workplace.clock())
    save_lessons(workplace, profile, (*review.kept, made), by)
    return made


def take_back_lesson(workplace: Workplace, profile: str, key: str, by: str | None) -> None:
    """Let a lesson count no longer; its cases can teach again. Raises BadInput where none of that
    key counts."""
    kept = load_lessons(workplace, profile)
    if not any(one.lesson.key == key and one.back_at is None for one in kept):
        cure = "Nothing needs to be done."
        raise BadInput(Fault("lesson", "a lesson that counts", repr(key[:40]), cure))
    now = workplace.clock()
    after = tuple(
        replace(one, back_at=now) if one.lesson.key == key and one.back_at is None else one
        for one in kept
    )
    save_lessons(workplace, profile, after, by)


def bales_of(workplace: Workplace, profile: str) -> float:
    """Bales in the journal of all machines of a profile, those without a case too."""
    own = {one.serial for one in workplace.register.load_machines() if one.profile_key == profile}
    engine = open_engine(workplace.journal, workplace.engine_address)
    counted = engine.ask(ask_counts(None)).to_pylist()
    return float(sum(line["bales"] for line in counted if line["machine"] in own))


def _rates(
    network: Network, before: tuple[Lesson, ...], after: tuple[Lesson, ...], lesson: Lesson
) -> tuple[RateChange, ...]:
    """From what counts already to what would count then, of causes that were found."""
    stands = {one.cause: one.after_per_1000 for one in rate_changes(network, before)}
    own = {one.cause: one.cases for one in lesson.rates if one.cases}
    return tuple(
        replace(
            one, before_per_1000=stands.get(one.cause, one.before_per_1000), cases=own[one.cause]
        )
        for one in rate_changes(network, after)
        if one.cause in own
    )


def _links(
    network: Network, before: tuple[Lesson, ...], after: tuple[Lesson, ...], lesson: Lesson
) -> tuple[LinkChange, ...]:
    stands = {(one.cause, one.on): one.after_frac for one in link_changes(network, before)}
    own = {(one.cause, one.on): one for one in lesson.links}
    return tuple(
        replace(
            one,
            before_frac=stands.get((one.cause, one.on), one.before_frac),
            cases=own[one.cause, one.on].cases,
            seen=own[one.cause, one.on].seen,
        )
        for one in link_changes(network, after)
        if (one.cause, one.on) in own
    )


def _closed(network: Network, one: TaughtCase) -> ClosedCase:
    """Only checks teach how often a cause shows: whoever calls says what a machine does and not
    what it does not do, so that reports would teach that every cause always shows."""
    found = one.case.cause
    asked = {
        key: seen
        for key, seen in one.evidence.items()
        if key in network.observation_by_key and network.observation_by_key[key].kind is Kind.CHECK
    }
    words = found.words if found is not None else ""
    return ClosedCase(one.case.key, one.cause or None, words, one.proved, asked)


def _key(network: Network, cases: list[ClosedCase], run_bales: float) -> str:
    """The same cases, bales and network have the same key."""
    said = repr((network.key, network.version, run_bales,
                 sorted((one.key, one.cause, one.proven, sorted(one.evidence)) for one in cases
                        if one.proven)))  # fmt: skip
    return "L-" + hashlib.sha256(said.encode()).hexdigest()[:12]
