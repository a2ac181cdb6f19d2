"""What is written into a case at the desk: each deed is one more entry, nothing is changed."""

from __future__ import annotations

from typing import cast

from django.contrib import messages
from django.forms import Form
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.views.decorators.http import require_POST

from balewright.cause.case.case import CaseState
from balewright.cause.case.entry import EntryKind
from balewright.cause.case.payload import Fields, fields_of
from balewright.cause.network import Kind
from balewright.desk.access import Deed, needs
from balewright.desk.cases.forms import FoundForm, RepairForm, WordsForm
from balewright.desk.cases.page import case_page, load, machine_of
from balewright.desk.causes.asking import asking_of, number_of
from balewright.desk.wording import words
from balewright.desk.workplace import the_workplace
from balewright.flows.add_to_case import Writing, add_to_case
from balewright.flows.close_case import Closing, close_case, reopen_case
from balewright.flows.keep_photo import bare_photo, keep_photo
from balewright.flows.network_in_force import network_in_force
from balewright.flows.open_case_with import OpeningWith, open_case_with, put_right_in
from balewright.flows.prove_cure import prove_cure
from balewright.flows.take_in_case_entries import Handed, take_in_case_entries
from balewright.quantities.errors import BadInput
from balewright.store.case_entries import Way

_LARGEST_FILE = 60 << 20


@require_POST
@needs(Deed.KEEP_CASES)
def open_one(request: HttpRequest) -> HttpResponse:
    """Open a case from a page of causes, every answer on it becoming an entry."""
    serial = request.POST.get("machine", "")
    asking = asking_of(request.POST)
    wanted = OpeningWith(
        machine=serial,
        complaint=request.POST.get("complaint", ""),
        answers=asking.answers,
        put_right=asking.put_right,
        findings=tuple(request.POST.getlist("finding")),
        by=request.user.get_username(),
        helped=request.POST.get("helped", ""),
    )
    try:
        case = open_case_with(the_workplace(), wanted)
    except BadInput as error:
        for fault in error.faults:
            messages.error(request, words("cases.fault", need=fault.need, cure=fault.cure),
                           extra_tags="harm")  # fmt: skip
        if the_workplace().register.load_machine(serial) is None:
            return cast(HttpResponse, redirect("causes.profile"))
        return cast(HttpResponse, redirect(reverse("causes", args=[serial]) + asking.query))
    messages.success(request, words("cases.opened.done", case=case.key))
    if wanted.helped:
        return cast(HttpResponse, redirect(reverse("case", args=[case.key]) + "#proof"))
    language = "" if asking.language == "en" else f"&language={asking.language}"
    return cast(
        HttpResponse, redirect(f"{reverse('causes', args=[serial])}?case={case.key}{language}#next")
    )


@require_POST
@needs(Deed.KEEP_CASES)
def answer(request: HttpRequest, key: str) -> HttpResponse:
    """An answer to the step that was shown: yes, no, cannot tell, or a number."""
    on = network_in_force(the_workplace(), None).observation_by_key.get(request.POST.get("on", ""))
    if on is None:
        raise Http404(request.POST.get("on", ""))
    seen = request.POST.get("seen")
    if on.kind is Kind.CHECK:
        value = number_of(request.POST.get("number", "")) if seen is None else None
        if seen is None and value is None:
            messages.error(request, words("causes.read.wrong"), extra_tags="harm")
            return _back(request, key, "#next")
        unit = on.check.reading.unit if on.check and on.check.reading and seen is None else None
        payload = fields_of(check=on.key, seen=seen, value=value, unit=unit)
        return _write(request, key, EntryKind.CHECK_READ, payload, "#next")
    return _write(request, key, EntryKind.REPORTED, fields_of(on=on.key, seen=seen or ""), "#next")


@require_POST
@needs(Deed.KEEP_CASES)
def report(request: HttpRequest, key: str) -> HttpResponse:
    """Reports that were ticked."""
    known = network_in_force(the_workplace(), None).observation_by_key
    for on in dict.fromkeys(request.POST.getlist("yes")):
        if on in known:
            _add(request, key, EntryKind.REPORTED, fields_of(on=on, seen="yes"))
    return _back(request, key, "#next")


@require_POST
@needs(Deed.KEEP_CASES)
def take_back(request: HttpRequest, key: str) -> HttpResponse:
    """Take one entry back by a further one."""
    kept, entry = load(key), request.POST.get("entry", "")
    if all(one.id != entry for one in kept.case.entries):
        raise Http404(entry)
    return _write(request, key, EntryKind.WENT_BACK, fields_of(entry=entry), "#entries")


@require_POST
@needs(Deed.KEEP_CASES)
def found(request: HttpRequest, key: str) -> HttpResponse:
    """What was wrong."""
    at = machine_of(load(key))
    form = FoundForm(None if at is None else at.network, (), request.POST)
    if not form.is_valid():
        return case_page(request, key, ("found", form))
    return _write(request, key, EntryKind.CAUSE_FOUND, form.payload, "#repair")


@require_POST
@needs(Deed.KEEP_CASES)
def repaired(request: HttpRequest, key: str) -> HttpResponse:
    """What was done, or that the machine was swapped."""
    load(key)
    form = RepairForm(network_in_force(the_workplace(), None), request.POST)
    if not form.is_valid():
        return case_page(request, key, ("repair", form))
    kind = EntryKind.SWAPPED if form.cleaned_data["swapped"] else EntryKind.REPAIRED
    _add(request, key, kind, form.payload)
    prove_cure(the_workplace(), key, request.user.get_username())
    return _back(request, key, "#proof")


@require_POST
@needs(Deed.KEEP_CASES)
def righted(request: HttpRequest, key: str) -> HttpResponse:
    """The repair that was shown is done: it helped, or the trouble goes on."""
    load(key)
    cause, helped = request.POST.get("cause", ""), request.POST.get("helped") == "yes"
    if cause not in network_in_force(the_workplace(), None).cause_by_key:
        raise Http404(cause)
    by = request.user.get_username()
    put_right_in(the_workplace(), key, (cause, helped), by)
    if not helped:
        return _back(request, key, "#next")
    prove_cure(the_workplace(), key, by)
    return cast(HttpResponse, redirect(reverse("case", args=[key]) + "#repair"))


@require_POST
@needs(Deed.KEEP_CASES)
def prove(request: HttpRequest, key: str) -> HttpResponse:
    """Look again whether later bales show it cured."""
    load(key)
    try:
        prove_cure(the_workplace(), key, request.user.get_username())
    except BadInput as error:
        _complain(request, error)
    return _back(request, key, "#proof")


@require_POST
@needs(Deed.KEEP_CASES)
def close(request: HttpRequest, key: str) -> HttpResponse:
    """End it; the cure is proved as far as bales do."""
    load(key)
    form = WordsForm("close", request.POST)
    if not form.is_valid():
        return case_page(request, key, ("close", form))
    closing = Closing(words=form.cleaned_data["words"].strip(), by=request.user.get_username())
    try:
        close_case(the_workplace(), key, closing)
    except BadInput as error:
        for fault in error.faults:
            form.add_error("words", words("cases.fault", need=fault.need, cure=fault.cure))
        return case_page(request, key, ("close", form))
    messages.success(request, words("cases.closed.done"))
    return _back(request, key)


@require_POST
@needs(Deed.KEEP_CASES)
def reopen(request: HttpRequest, key: str) -> HttpResponse:
    """Open it again; one that is only repaired, because the trouble goes on."""
    kept, said = load(key), request.POST.get("words", "").strip()[:2000]
    if kept.case.state is CaseState.REPAIRED:
        return _write(request, key, EntryKind.REOPENED, fields_of(words=said or None), "")
    try:
        reopen_case(the_workplace(), key, said, request.user.get_username())
    except BadInput as error:
        _complain(request, error)
    return _back(request, key)


@require_POST
@needs(Deed.KEEP_CASES)
def note(request: HttpRequest, key: str) -> HttpResponse:
    """A few words."""
    return _words(request, key, "note", EntryKind.NOTE)


@require_POST
@needs(Deed.KEEP_CASES)
def claim(request: HttpRequest, key: str) -> HttpResponse:
    """What a claim rests on."""
    return _words(request, key, "claim", EntryKind.CLAIM_NOTED)


@require_POST
@needs(Deed.KEEP_CASES)
def photo(request: HttpRequest, key: str) -> HttpResponse:
    """A photo; where and with what it was taken is left out."""
    load(key)
    sent = request.FILES.get("photo")
    if sent is None:
        messages.error(request, words("cases.photo.wrong"), extra_tags="harm")
        return _back(request, key, "#photos")
    try:
        content = bare_photo(sent.read())
        sha256 = keep_photo(the_workplace(), key, content)
    except BadInput as error:
        _complain(request, error)
        return _back(request, key, "#photos")
    said = request.POST.get("words", "").strip()[:2000]
    payload = fields_of(sha256=sha256, size_bytes=len(content), words=said or None)
    return _write(request, key, EntryKind.PHOTO, payload, "#photos")


@require_POST
@needs(Deed.KEEP_CASES)
def take_in(request: HttpRequest) -> HttpResponse:
    """A file that a phone exported: every entry of it that can be kept."""
    sent = request.FILES.get("file")
    if sent is None or (sent.size or 0) > _LARGEST_FILE:
        messages.error(request, words("cases.file.wrong"), extra_tags="harm")
        return cast(HttpResponse, redirect("cases"))
    handed = Handed(Way.FILE, by=request.user.get_username(), name=str(sent.name))
    try:
        taken = take_in_case_entries(the_workplace(), sent.read(), handed)
    except BadInput as error:
        _complain(request, error)
        return cast(HttpResponse, redirect("cases"))
    messages.success(request, words("cases.file.done", count=len(taken.kept), new=taken.new,
                                    photos=len(taken.photos)))  # fmt: skip
    for refused in taken.refused[:10]:
        said = words("cases.file.refused", place=refused.place, reason=refused.reason)
        messages.error(request, said, extra_tags="cost")
    if len(taken.cases) == 1:
        return cast(HttpResponse, redirect("case", key=taken.cases[0]))
    return cast(HttpResponse, redirect("cases"))


def _words(request: HttpRequest, key: str, about: str, kind: EntryKind) -> HttpResponse:
    load(key)
    form: Form = WordsForm(about, request.POST, needed=True)
    if not form.is_valid():
        return case_page(request, key, (about, form))
    return _write(request, key, kind, fields_of(words=form.cleaned_data["words"]), f"#{about}s")


def _add(request: HttpRequest, key: str, kind: EntryKind, payload: Fields) -> None:
    add_to_case(the_workplace(), key, Writing(kind, payload, request.user.get_username()))


def _write(
    request: HttpRequest, key: str, kind: EntryKind, payload: Fields, to: str
) -> HttpResponse:
    load(key)
    try:
        _add(request, key, kind, payload)
    except BadInput as error:
        _complain(request, error)
    return _back(request, key, to)


def _complain(request: HttpRequest, error: BadInput) -> None:
    for fault in error.faults:
        messages.error(request, words("cases.fault", need=fault.need, cure=fault.cure),
                       extra_tags="harm")  # fmt: skip


def _back(request: HttpRequest, key: str, to: str = "") -> HttpResponse:
    """To the page it was sent from: that of causes where it says so, else the case's own."""
    query, machine = request.POST.get("query", ""), load(key).case.machine
    if query.startswith("?") and machine is not None:
        return cast(HttpResponse, redirect(reverse("causes", args=[machine]) + query + to))
    return cast(HttpResponse, redirect(reverse("case", args=[key]) + to))
