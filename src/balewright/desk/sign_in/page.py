"""Sign in and out. Failed tries are counted by name and address, for a quarter of an hour."""

from __future__ import annotations

import hashlib
from typing import Any, Final, cast

from django.contrib.auth import logout
from django.contrib.auth.decorators import login_not_required
from django.contrib.auth.forms import AuthenticationForm
from django.contrib.auth.views import LoginView
from django.core.cache import cache
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.decorators import method_decorator
from django.views.decorators.http import require_POST

from balewright.desk.access import is_open_to
from balewright.desk.sign_in.forms import SignInForm

MAX_FAILURES: Final = 5
WAIT_S: Final = 15 * 60


def _counter(request: HttpRequest) -> str:
    """Key of the count of failures for this name from this address."""
    who = f"{request.POST.get('username', '').lower()}|{request.META.get('REMOTE_ADDR', '')}"
    return "sign-in-" + hashlib.sha256(who.encode()).hexdigest()


@method_decorator(login_not_required, name="dispatch")
class SignIn(LoginView):
    """The only page a visitor sees."""

    template_name = "sign_in.html"
    authentication_form = SignInForm
    redirect_authenticated_user = True

    def post(self, request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        """Refuse further tries after too many failures, before looking at the password."""
        if cache.get(_counter(request), 0) >= MAX_FAILURES:
            context = {"form": SignInForm(request), "too_many": True}
            return self.render_to_response(context, status=429)
        return super().post(request, *args, **kwargs)

    def form_invalid(self, form: AuthenticationForm) -> HttpResponse:
        """Count the failure."""
        key = _counter(self.request)
        cache.set(key, cache.get(key, 0) + 1, WAIT_S)
        return super().form_invalid(form)

    def form_valid(self, form: AuthenticationForm) -> HttpResponse:
        """A good sign-in clears the count."""
        cache.delete(_counter(self.request))
        return super().form_valid(form)

    def get_context_data(self, **kwargs: Any) -> dict[str, Any]:
        """Tell the page whether the open desk lets this visitor go on without a password."""
        return super().get_context_data(is_open=is_open_to(self.request), **kwargs)


@require_POST
def sign_out(request: HttpRequest) -> HttpResponse:
    """End the session; by POST only, so that no link or picture elsewhere can do it."""
    logout(request)
    return cast(HttpResponse, redirect("sign_in"))
