"""Who may do what: three roles as groups, what each may do, and the demo's own sign-in.

A reader sees, and says how a sheet worked. A technician also takes files in, puts bales right,
sets findings aside, makes and shares sheets, keeps settings and cases. A manager also adds
machines and people and looks after what is kept. Every page asks for a person
(`LoginRequiredMiddleware`), `needs` asks for a deed.
"""

from __future__ import annotations

import functools
import ipaddress
import secrets
from collections.abc import Callable
from enum import StrEnum
from types import MappingProxyType
from typing import Any, Final

from django.conf import settings
from django.contrib.auth import get_user_model, login
from django.contrib.auth.models import AbstractBaseUser, AnonymousUser, Group
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.http.request import split_domain_port
from django.urls import reverse


class Deed(StrEnum):
    """What a page lets a person do."""

    SEE = "see"
    TAKE_IN = "take in"
    MAKE_SHEET = "make sheet"
    SHARE_SHEET = "share sheet"
    GIVE_FEEDBACK = "give feedback"
    KEEP_SETTINGS = "keep settings"
    ADD_MACHINE = "add machine"
    ADD_PERSON = "add person"
    LOOK_AFTER = "look after"
    CORRECT = "correct"
    SET_ASIDE = "set aside"
    MANAGE_SENDERS = "manage senders"
    KEEP_CASES = "keep cases"


class Role(StrEnum):
    """The three roles; each is a Django group of the same name."""

    READER = "reader"
    TECHNICIAN = "technician"
    MANAGER = "manager"


_READER = frozenset({Deed.SEE, Deed.GIVE_FEEDBACK})
_TECHNICIAN = _READER | {
    *(Deed.TAKE_IN, Deed.MAKE_SHEET, Deed.SHARE_SHEET, Deed.KEEP_SETTINGS, Deed.CORRECT),
    *(Deed.SET_ASIDE, Deed.KEEP_CASES),
}
MAY: Final = MappingProxyType(
    {Role.READER: _READER, Role.TECHNICIAN: _TECHNICIAN, Role.MANAGER: frozenset(Deed)}
)

DEMO_PERSON: Final = "demo"
FIRST_PERSON: Final = "manager"
SHARED: Final = "/s/"
"""Where shared sheets lie: pages without a person, a session or a cookie."""
CASES: Final = ("/c/", "/d/")
"""Where the case page of a phone lies, and cases that are shown to somebody: likewise."""
DOOR: Final = "/in/"
"""Where devices hand their records over: by a token, likewise without person, session or cookie."""
_PASSED_ON: Final = ("HTTP_FORWARDED", "HTTP_X_FORWARDED_FOR", "HTTP_X_REAL_IP", "HTTP_VIA")

Page = Callable[..., HttpResponse]
Person = AbstractBaseUser | AnonymousUser


def role_of(person: Person) -> Role | None:
    """The person's role, None without one; the highest when groups were added by hand."""
    if not person.is_authenticated or not person.is_active:
        return None
    if getattr(person, "is_superuser", False):
        return Role.MANAGER
    names = set(Group.objects.filter(user__pk=person.pk).values_list("name", flat=True))
    return next((role for role in reversed(Role) if role in names), None)


def deeds_of(person: Person) -> frozenset[Deed]:
    """What the person may do; nothing without a role."""
    role = role_of(person)
    return MAY[role] if role is not None else frozenset()


def needs(deed: Deed) -> Callable[[Page], Page]:
    """A page that only people who may do `deed` can open; others meet the 403 page."""

    def guard(page: Page) -> Page:
        @functools.wraps(page)
        def guarded(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
            if deed not in deeds_of(request.user):
                raise PermissionDenied(deed.value)
            return page(request, *args, **kwargs)

        return guarded

    return guard


def make_roles() -> None:
    """Make the three groups where they are missing."""
    for role in Role:
        Group.objects.get_or_create(name=role.value)


def make_first_manager() -> str | None:
    """A manager with a password made by chance, where nobody can sign in; the password.

    None where somebody can already, and on the open desk, which signs its visitor in by itself.
    """
    people = get_user_model().objects.filter(is_active=True)
    if settings.BALEWRIGHT.open_desk or people.exclude(username=DEMO_PERSON).exists():
        return None
    password = secrets.token_urlsafe(12)
    give_role(get_user_model().objects.create_user(FIRST_PERSON, password=password), Role.MANAGER)
    return password


def give_role(person: Any, role: Role) -> None:
    """Make `role` the person's only one."""
    person.groups.set([Group.objects.get_or_create(name=role.value)[0]])


def is_loopback(address: str) -> bool:
    """Whether an address, or the name localhost, stays on this computer."""
    bare = address.strip("[]")
    if bare == "localhost":
        return True
    try:
        return ipaddress.ip_address(bare).is_loopback
    except ValueError:
        return False


def is_open_to(request: HttpRequest) -> bool:
    """Whether the open desk lets this request in without a password.

    Only when it was asked for, the desk is bound to loopback, the request comes from loopback
    without having been passed on, and its Host is loopback (a name that merely resolves there
    is refused: a web page elsewhere could make one up).
    """
    host, _ = split_domain_port(request.get_host())
    return (
        settings.BALEWRIGHT.open_desk
        and is_loopback(settings.BALEWRIGHT.host)
        and is_loopback(request.META.get("REMOTE_ADDR", ""))
        and is_loopback(host)
        and not any(request.META.get(header) for header in _PASSED_ON)
    )


def sign_in_on_open_desk(get_response: Page) -> Page:
    """Middleware: on the open desk an unknown visitor is the demo manager.

    The sign-in page itself stays as it is, so that another person can still sign in; so does a
    shared sheet or case, which knows nobody.
    """

    def answer(request: HttpRequest) -> HttpResponse:
        knows_nobody = request.path.startswith((SHARED, *CASES, DOOR))
        asks_itself = knows_nobody or request.path == reverse("sign_in")
        if not asks_itself and not request.user.is_authenticated and is_open_to(request):
            person, made = get_user_model().objects.get_or_create(username=DEMO_PERSON)
            if made:
                person.set_unusable_password()
                person.save()
                give_role(person, Role.MANAGER)
            if person.is_active:
                login(request, person, backend="django.contrib.auth.backends.ModelBackend")
        return get_response(request)

    return answer
