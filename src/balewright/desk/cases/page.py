"""All cases, and one of them with everything in order."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

from django.forms import Form
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from balewright.cause.case.case import Case, CaseState
from balewright.cause.network import Network
from balewright.desk.access import Deed, needs
from balewright.desk.cases import shown
from balewright.desk.cases.forms import FoundForm, RepairForm, ShareForm, WordsForm
from balewright.desk.causes.of_case import answers_in
from balewright.desk.causes.shown import CauseShown, causes_shown, chance_said
from balewright.desk.paging import page_of
from balewright.desk.wording import words
from balewright.desk.workplace import the_workplace
from balewright.flows.ask_causes import Troubled, ask_causes, look_at_machine
from balewright.flows.likeliest_cause import likeliest_cause
from balewright.flows.list_cases import CaseLine, list_cases
from balewright.flows.network_in_force import network_in_force
from balewright.flows.prove_cure import is_waiting
from balewright.flows.read_case_of import KeptCase, read_case_of
from balewright.flows.tell_causes import tell_causes
from balewright.quantities.errors import BadInput, NotAnswerable
from balewright.quantities.si import MICROSECONDS_PER_S
from balewright.store.photos import Photos
from balewright.words.times import zone_named

_ORDER: Final = {CaseState.OPEN: 0, CaseState.REPAIRED: 1, CaseState.CLOSED: 2}
_LIKELY: Final = 3
_MACHINES: Final = 15
"""Machines whose records a list looks at, so that it stays quick."""


@dataclass(frozen=True)
class LineShown:
    """One case in the list."""

    case: Case
    name: str
    title: str
    state: str
    tone: str
    since: str
    cause: str
    chance: str
    proof: str
    proof_tone: str


@require_safe
@needs(Deed.SEE)
def show_cases(request: HttpRequest) -> HttpResponse:
    """Open ones first, the last news on top."""
    workplace = the_workplace()
    serial = request.GET.get("machine") or None
    lines = sorted(list_cases(workplace, serial), key=lambda one: _ORDER[one.case.state])
    rows, pages = page_of(request, lines)
    entry = None if serial is None else workplace.register.load_machine(serial)
    counts = [(state.value, sum(one.case.state is state for one in lines)) for state in CaseState]
    machines: dict[str, Troubled | None] = {}
    context = {
        "lines": [_line(one, machines) for one in rows],
        "pages": pages,
        "counts": [(words(f"case_page.state.{name}"), count) for name, count in counts],
        "machine": entry,
        "waiting": sum(is_waiting(one.case) for one in lines),
    }
    return render(request, "cases.html", context)


def _line(line: CaseLine, machines: dict[str, Troubled | None]) -> LineShown:
    workplace, case = the_workplace(), line.case
    found, cause, chance = case.cause, "", ""
    if found is not None:
        known = network_in_force(workplace, None).cause_by_key.get(found.cause)
        cause = found.words or found.cause if known is None else known.name.in_language("en")
    elif case.state is CaseState.OPEN and line.name is not None and case.machine is not None:
        if case.machine not in machines and len(machines) < _MACHINES:
            machines[case.machine] = _look_at(case.machine)
        at = machines.get(case.machine)
        likely = None if at is None else likeliest_cause(at, case)
        if likely is not None:
            cause, chance = likely[0].name.in_language("en"), chance_said(likely[1])
    until = now_us() if case.state is not CaseState.CLOSED else line.last_us
    proof = case.proof
    return LineShown(
        case, line.name or case.machine or "–", title_of(case),
        words(f"case_page.state.{case.state.value}"), shown.STATE_TONE[case.state],
        shown.days_said(line.at_us, until), cause, chance,
        "" if proof is None else words(f"case_page.proof.{proof.outcome.name.lower()}"),
        "" if proof is None else shown.OUTCOME_TONE[proof.outcome],
    )  # fmt: skip


@never_cache
@require_safe
@needs(Deed.SEE)
def show_case(request: HttpRequest, key: str) -> HttpResponse:
    """Everything known of it."""
    return case_page(request, key)


@require_safe
@needs(Deed.SEE)
def send_photo(request: HttpRequest, key: str, sha256: str) -> HttpResponse:  # noqa: ARG001
    """A photo of that case, and of no other."""
    photo = load(key).photos.get(sha256)
    if photo is None or photo.gone_at is not None:
        raise Http404(sha256)
    try:
        content = Photos(the_workplace().home / "photos").read(sha256)
    except BadInput as error:
        raise Http404(sha256) from error
    return HttpResponse(content, content_type=photo.media)


def load(key: str) -> KeptCase:
    """The case of a key, 404 for one nobody knows."""
    try:
        return read_case_of(the_workplace(), key)
    except BadInput as error:
        raise Http404(key) from error


def title_of(case: Case) -> str:
    """The complaint, else that there is none in words."""
    return case.complaint or words("cases.no_complaint")


def now_us() -> int:
    """The desk's own time, UTC microseconds."""
    return round(the_workplace().clock().timestamp() * MICROSECONDS_PER_S)


def machine_of(kept: KeptCase) -> Troubled | None:
    """The case's machine with its records, None where it is not known here."""
    return None if kept.name is None else _look_at(kept.case.machine)


def _look_at(serial: str | None) -> Troubled | None:
    """A machine with its records, None where it, or its profile, is not known here."""
    try:
        return None if serial is None else look_at_machine(the_workplace(), serial)
    except BadInput:
        return None


def forms_of(kept: KeptCase, network: Network | None, likely: list[CauseShown],
             cause: str = "") -> dict[str, Form]:  # fmt: skip
    """Every form of the page, empty. cause: chosen beforehand."""
    keys = [one.key for one in likely]
    found = kept.case.cause
    start = {"cause": cause or (found.cause if found is not None else "")}
    return {
        "found": FoundForm(network, keys, initial=start),
        "repair": RepairForm(network),
        "note": WordsForm("note"),
        "claim": WordsForm("claim"),
        "close": WordsForm("close"),
        "reopen": WordsForm("reopen"),
        "share": ShareForm(),
    }


def case_page(
    request: HttpRequest, key: str, form: tuple[str, Form] | None = None,
    more: dict[str, Any] | None = None,
) -> HttpResponse:  # fmt: skip
    """The page; form: one that was filled in wrong; more: a link that was just made."""
    kept = load(key)
    at = machine_of(kept)
    network = network_in_force(the_workplace(), None) if at is None else at.network
    likely, refused = ([], "") if at is None else _likely(kept, at)
    zone, case = zone_named(kept.zone), kept.case
    forms = forms_of(kept, None if at is None else network, likely, request.GET.get("cause", ""))
    if form is not None:
        forms[form[0]] = form[1]
    whole = network_in_force(the_workplace(), None)
    episodes = _episodes(case)
    first = kept.arrival_of(case.entries[0])
    context = {
        "kept": kept,
        "case": case,
        "title": title_of(case),
        "state": words(f"case_page.state.{case.state.value}"),
        "tone": shown.STATE_TONE[case.state],
        "since": shown.days_said(first.at_us, now_us()),
        "opened_us": first.at_us,
        "is_closed": case.state is CaseState.CLOSED,
        "likely": likely,
        "refused": refused,
        "questions": shown.questions_shown(kept, whole, zone),
        "findings": [episodes[one] for one in case.findings if one in episodes],
        "causes": [(one, _cause_name(whole, one.cause), one.words,
                    shown.who_of(kept, one.entry)) for one in case.causes],
        "repairs": shown.repairs_shown(kept, whole, zone),
        "proof": shown.proof_shown(case.proof, episodes),
        "waiting": is_waiting(case),
        "photos": [(one, kept.photos.get(one.sha256), shown.who_of(kept, one.entry))
                   for one in case.photos],
        "notes": [(one, shown.who_of(kept, one.entry)) for one in case.notes],
        "claims": [(one, shown.who_of(kept, one.entry)) for one in case.claims],
        "entries": shown.entries_shown(kept, whole, zone),
        "links": [(one, one.is_good(the_workplace().clock())) for one in kept.links],
        "forms": forms,
        "opened_form": form[0] if form is not None else ("found" if "cause" in request.GET else ""),
        **(more or {}),
    }  # fmt: skip
    return render(request, "case.html", context, status=200 if form is None else 422)


def _likely(kept: KeptCase, at: Troubled) -> tuple[list[CauseShown], str]:
    """The first few causes as they stand now."""
    held = answers_in(kept, at.network, "en")
    answers = {
        key: seen for key, seen in held.evidence.items() if key in at.network.observation_by_key
    }
    try:
        asked = ask_causes(the_workplace(), at, answers, exposure=held.exposure)
    except NotAnswerable as refusal:
        return [], str(refusal)
    return causes_shown(tell_causes(asked), "en")[:_LIKELY], ""


def _episodes(case: Case) -> dict[str, Any]:
    keys = set(case.findings)
    if case.proof is not None:
        keys |= {*case.proof.ended, *case.proof.going_on}
    found = {key: the_workplace().register.load_episode(key) for key in sorted(keys)}
    return {key: one for key, one in found.items() if one is not None}


def _cause_name(network: Network, key: str) -> str:
    known = network.cause_by_key.get(key)
    return "" if known is None else known.name.in_language("en")
