"""Who may use the desk; for managers."""

from __future__ import annotations

from typing import cast

from django.contrib import messages
from django.contrib.auth import get_user_model, update_session_auth_hash
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from balewright.desk.access import Deed, Role, give_role, needs, role_of
from balewright.desk.paging import page_of
from balewright.desk.people.forms import PersonForm
from balewright.desk.wording import words


@require_http_methods(["GET", "HEAD", "POST"])
@needs(Deed.ADD_PERSON)
def show_people(request: HttpRequest) -> HttpResponse:
    """The list, and one form to add or change."""
    form = PersonForm(request.POST) if request.method == "POST" else PersonForm()
    if form.is_bound and form.is_valid() and _may_change(request, form):
        _save(request, form)
        messages.success(request, words("people.saved", name=form.cleaned_data["name"]))
        return cast(HttpResponse, redirect("people"))
    people = get_user_model().objects.order_by("username").prefetch_related("groups")
    rows, pages = page_of(request, list(people))
    lines = [(person, role_of(person)) for person in rows]
    context = {"form": form, "lines": lines, "pages": pages}
    return render(request, "people.html", context, status=422 if form.errors else 200)


def _may_change(request: HttpRequest, form: PersonForm) -> bool:
    """Nobody takes the manager's role from themselves: somebody must be left who has it."""
    own = form.cleaned_data["name"] == request.user.get_username()
    if own and form.cleaned_data["role"] != Role.MANAGER.value:
        form.add_error("role", words("people.role.own"))
        return False
    return True


def _save(request: HttpRequest, form: PersonForm) -> None:
    given = form.cleaned_data
    person, _made = get_user_model().objects.get_or_create(username=given["name"])
    if given["password"]:
        person.set_password(given["password"])
        person.save()
        if person == request.user:
            update_session_auth_hash(request, person)
    give_role(person, Role(given["role"]))
