"""Machines held against the others of their kind, once the whole fleet was reviewed."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from balewright.findings.episodes import follow
from balewright.findings.finding import Finding, FindingKind
from balewright.findings.measures.book import measures_of
from balewright.findings.unlike_kind import OwnLevel, find_unlike, over_all_bales, own_levels
from balewright.findings.watch.state_bytes import state_from_bytes
from balewright.flows.admit_findings import note_compared
from balewright.flows.review_machine import now_us_of, read_records
from balewright.flows.watch_bales import Engine
from balewright.flows.workplace import Workplace
from balewright.store.reviews import ReviewEntry


def note_unlike(
    workplace: Workplace, engine: Engine, profile_key: str, serials: Sequence[str]
) -> None:
    """Hold the machines of a profile against each other and keep what was found with the findings
    of each. A machine that is not unlike any more loses that finding; one machine at a time.
    """
    levels = _levels(workplace, engine, serials)
    compared = find_unlike(levels, measures_of(workplace.profiles[profile_key]))
    note_compared(workplace, profile_key, compared.tests)
    for serial in serials:
        own = [one for one in compared.findings if one.machine == serial]
        _keep(workplace, engine, serial, own)


def _levels(
    workplace: Workplace, engine: Engine, serials: Sequence[str]
) -> Mapping[str, Mapping[str, OwnLevel]]:
    """What each machine's own level is; a state of another form is left out."""
    found = {}
    for one in workplace.register.load_newest_states(serials):
        if one.version != engine.version:
            continue
        try:
            found[one.machine] = own_levels(state_from_bytes(one.body))
        except (ValueError, KeyError, TypeError):  # of an engine that keeps no such levels
            continue
    return found


def _keep(workplace: Workplace, engine: Engine, serial: str, found: Iterable[Finding]) -> None:
    register = workplace.register
    review = register.load_review(serial)
    before = register.load_findings(serial)
    was = [one for one in before if one.kind is FindingKind.UNLIKE_ITS_KIND]
    new = list(found)
    if review is None or not (was or new):
        return
    records = read_records(workplace, serial, engine)
    told = over_all_bales(new, records.judged)
    if set(told) == set(was):
        return
    rest = [one for one in before if one.kind is not FindingKind.UNLIKE_ITS_KIND]
    findings = (*rest, *told)
    judged = replace(records.judged, first_new=0)  # what is not found any more is withdrawn
    register.keep_review(
        ReviewEntry(
            serial, review.reviewed_at, findings, review.mark, review.charts,
            register.load_watch_states(serial),
        ),
        lambda episodes: follow(episodes, findings, now_us_of(workplace), judged),
    )  # fmt: skip
