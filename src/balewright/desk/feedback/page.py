"""Answers to a kept sheet by people who are signed in."""

from __future__ import annotations

from typing import cast

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_POST

from balewright.desk.access import Deed, needs
from balewright.desk.feedback.answers import answer_from
from balewright.desk.wording import words
from balewright.desk.workplace import the_workplace
from balewright.flows.give_feedback import give_feedback
from balewright.quantities.errors import BadInput


@require_POST
@needs(Deed.GIVE_FEEDBACK)
def take_feedback(request: HttpRequest, sheet_id: str) -> HttpResponse:
    """Keep it once and go back to the sheet, where it stands by then."""
    workplace = the_workplace()
    if workplace.register.load_sheet(sheet_id) is None:
        raise Http404(sheet_id)
    try:
        give_feedback(workplace, sheet_id, answer_from(request.POST), request.user.get_username())
    except BadInput as error:
        for fault in error.faults:
            said = words("feedback.fault", need=fault.need, cure=fault.cure)
            messages.error(request, said, extra_tags="harm")
    else:
        messages.success(request, words("feedback.sent"))
    return cast(HttpResponse, redirect("sheet.kept", sheet_id=sheet_id))
