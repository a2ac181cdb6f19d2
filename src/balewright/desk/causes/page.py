"""What is behind it: a machine's trouble, or that of a machine nobody keeps here."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any, cast

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_safe

from balewright.cause.evidence_value import Seen, read
from balewright.cause.network import Hands
from balewright.cause.next_check.costs import Costs
from balewright.desk.access import Deed, needs
from balewright.desk.causes.asking import Asking, asking_of, number_of
from balewright.desk.causes.known import (
    AnswerShown,
    all_reports,
    answer_shown,
    heard_shown,
    records_shown,
)
from balewright.desk.causes.next_step import next_shown, who_said
from balewright.desk.causes.of_case import CaseAnswers, answers_in
from balewright.desk.causes.shown import FIRST, causes_shown, costs_shown, looks_shown
from balewright.desk.reading import reading
from balewright.desk.workplace import the_workplace
from balewright.flows.ask_causes import (
    Asked,
    Troubled,
    ask_causes,
    look_at_machine,
    look_at_profile,
)
from balewright.flows.purse import purse_of
from balewright.flows.read_case_of import read_case_of
from balewright.flows.service_costs import service_costs
from balewright.flows.tell_causes import tell_causes
from balewright.quantities.errors import BadInput, NotAnswerable
from balewright.words.languages import LANGUAGES


@dataclass(frozen=True, eq=False)
class Sought:
    """What is asked of whom. case: whose entries hold the answers, None where the address does."""

    at: Troubled
    asking: Asking
    case: CaseAnswers | None = None

    @property
    def given(self) -> Mapping[str, Seen]:
        """All answers, also to what this machine cannot have."""
        return self.asking.answers if self.case is None else self.case.evidence

    @property
    def answers(self) -> Mapping[str, Seen]:
        """Answers that this machine can have."""
        known = self.at.network.observation_by_key
        return {key: seen for key, seen in self.given.items() if key in known}

    @property
    def costs(self) -> Costs:
        """What the house knows of costs, as things stand now."""
        return self.asking.now.costs(service_costs(the_workplace()))

    @property
    def exposure(self) -> dict[str, float] | None:
        """Bales since causes were put right."""
        return self.asking.exposure if self.case is None else self.case.exposure


@require_safe
@needs(Deed.SEE)
def show_causes(request: HttpRequest, serial: str) -> HttpResponse:
    """A machine of the register, its records speaking too."""
    workplace = the_workplace()
    try:
        at = look_at_machine(workplace, serial)
    except BadInput as error:
        raise Http404(serial) from error
    asking = asking_of(request.GET, ("case",))
    case = None
    if "case" in request.GET:
        try:
            kept = read_case_of(workplace, request.GET["case"])
        except BadInput as error:
            raise Http404(request.GET["case"]) from error
        if kept.case.machine != serial:
            raise Http404(request.GET["case"])
        case = answers_in(kept, at.network, asking.language)
    return _answer(request, Sought(at, asking, case))


@require_safe
@needs(Deed.SEE)
def show_causes_of_profile(request: HttpRequest) -> HttpResponse:
    """A machine nobody keeps here, by its profile; without one, the profiles to choose from."""
    workplace = the_workplace()
    key = request.GET.get("profile", "")
    if key not in workplace.profiles:
        return render(request, "causes_profile.html", {
            "profiles": [(one.key, one.title) for one in workplace.profiles.values()],
            "fleet": workplace.register.load_machines(),
            "wrong": bool(key),
        }, status=404 if key else 200)  # fmt: skip
    return _answer(request, Sought(look_at_profile(workplace, key),
                                   asking_of(request.GET, ("profile",))))  # fmt: skip


@require_safe
@needs(Deed.SEE)
def show_heard(request: HttpRequest) -> HttpResponse:
    """Reports that words may mean, to be put beside them while somebody writes."""
    workplace = the_workplace()
    entry = workplace.register.load_machine(request.GET.get("machine", ""))
    key = entry.profile_key if entry is not None else request.GET.get("profile", "")
    if key not in workplace.profiles:
        raise Http404(key)
    at, asking = look_at_profile(workplace, key), asking_of(request.GET)
    heard = heard_shown(at.network, asking.said, asking.answers, asking.language)
    context = {"heard": heard, "said": asking.said, "language": asking.language}
    return render(request, "causes_heard.html", context)


def _answer(request: HttpRequest, sought: Sought) -> HttpResponse:
    """The page; a number that was typed into its card first becomes part of the address."""
    wrong = ""
    if "number" in request.GET and sought.case is None:
        value, key = number_of(request.GET["number"]), request.GET.get("on", "")
        if value is not None and key in sought.at.network.observation_by_key:
            asking = sought.asking.with_answer(key, read(value))
            return cast(HttpResponse, redirect(f"{request.path}{asking.query}#next"))
        wrong = request.GET["number"]
    context = _context(sought) | {"wrong_number": wrong, "deeds_path": request.path}
    return render(request, "causes.html", context, status=422 if wrong else 200)


def _context(sought: Sought) -> dict[str, Any]:
    at, asking, language = sought.at, sought.asking, sought.asking.language
    answers = sought.answers
    plain = replace(asking, look="", answers=asking.answers)
    records = records_shown(at, answers, language)
    context: dict[str, Any] = {
        "at": at,
        "entry": at.entry,
        "case": sought.case,
        "language": language,
        "languages": [(one, replace(plain, language=one).query) for one in LANGUAGES],
        "asking": asking,
        "plain": plain,
        "records": records,
        "answers": _answers_shown(sought, answers),
        "not_here": sorted(sought.given.keys() - answers.keys()),
        "heard": heard_shown(at.network, asking.said, answers, language),
        "reports": all_reports(at.network, answers, language),
        "hands": [(one.value, who_said(one), one is asking.now.there) for one in Hands],
        "now_hidden": [pair for pair in plain.pairs if pair not in asking.now.pairs],
        "heard_at": _heard_at(at, language),
        "is_begun": bool(answers or records.told),
        "is_told": True,
        "refused": "",
    }
    try:
        asked = ask_causes(the_workplace(), at, answers, sought.costs, sought.exposure)
    except (NotAnswerable, BadInput) as refusal:
        return context | {"refused": str(refusal), "is_told": False}
    return context | _told(asked, sought)


def _told(asked: Asked, sought: Sought) -> dict[str, Any]:
    workplace, asking = the_workplace(), sought.asking
    language, advice = asking.language, asked.advice
    told = tell_causes(asked, language)
    purse = purse_of(workplace, advice.in_money)
    plain = replace(asking, look="")
    shown = causes_shown(told, language)
    first = next_shown(asked, asking.look, language, purse)
    return {
        "told": told,
        "about": [purse.tell(one, language) for one in told.about],
        "is_clear": asked.ranking.clear,
        "causes": shown[:FIRST],
        "less_likely": shown[FIRST:],
        "next": first,
        "put_right": [asked.at.network.cause(key).name.in_language(language)
                      for key in sought.exposure or {} if key in asked.at.network.cause_by_key],
        "next_hidden": [pair for pair in plain.pairs if pair[1] != first.key],
        "looks": looks_shown(asked.at.network, advice, language, purse, plain.query),
        "costs": costs_shown(advice, sought.costs, purse, language),
        "reading": reading(),
    }  # fmt: skip


def _answers_shown(sought: Sought, answers: Mapping[str, Seen]) -> list[AnswerShown]:
    if sought.case is not None:
        return list(sought.case.shown)
    network, language = sought.at.network, sought.asking.language
    return [
        answer_shown(network, key, seen, language, sought.asking.without(key).query)
        for key, seen in answers.items()
    ]


def _heard_at(at: Troubled, language: str) -> str:
    whose = f"profile={at.machine.key}"
    return f"{reverse('causes.heard')}?{whose}&language={language}"
