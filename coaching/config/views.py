"""Signing in and out, the front door, and the pages for what is not there or went wrong."""

from __future__ import annotations

from typing import Any

from allauth.account.internal.flows.login import perform_password_login
from allauth.account.models import Login as SigningIn
from django import forms
from django.contrib.auth import logout
from django.contrib.auth.forms import AuthenticationForm
from django.contrib.auth.views import LoginView
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import redirect, render
from django.template.loader import render_to_string
from django.utils.decorators import method_decorator
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from coaching.config.network import on_loopback
from coaching.config.offline import end_phone, told_to_forget
from coaching.usecases import accounts
from coaching.wording import people

COACHING = frozenset({"head-coach", "assistant", "medical", "manager"})
ATHLETES = frozenset({"athlete", "guardian"})


@require_safe
def front(request: HttpRequest) -> HttpResponse:
    """Lead everybody to the page they start the day with."""
    viewer = getattr(request, "viewer", None)
    roles = viewer.roles() if viewer else frozenset()
    if roles & COACHING:
        return redirect("morning")
    return redirect("check-in" if roles & ATHLETES else "login")


class NameAndPassword(AuthenticationForm):
    """What is longer than any password can be is refused before it is hashed."""

    password = forms.CharField(strip=False, max_length=256)


@method_decorator(never_cache, name="dispatch")
class Login(LoginView):
    """Sign in; who is signed in already sees so and may sign out by the same address."""

    template_name = "login.html"
    form_class = NameAndPassword

    def post(self, request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        if request.POST.get("action") == "sign-out":
            end_phone(request)
            logout(request)
            return told_to_forget(request, redirect("login"))
        return super().post(request, *args, **kwargs)

    def form_valid(self, form: Any) -> HttpResponse:
        """The password was right: in, or on to the second factor."""
        account = form.get_user()
        onward = SigningIn(user=account, redirect_url=self.get_redirect_url() or None)
        answer: HttpResponse = perform_password_login(self.request, {"username": account.get_username()}, onward)
        return answer

    def form_invalid(self, form: Any) -> HttpResponse:
        """The page again, with the name kept and a status that says it was not taken."""
        return self.render_to_response(self.get_context_data(form=form), status=422)

    def get_context_data(self, **kwargs: Any) -> dict[str, Any]:
        found = super().get_context_data(**kwargs)
        viewer = getattr(self.request, "viewer", None)
        found["roles"] = people.role_list(viewer.roles()) if viewer else ""
        if on_loopback(self.request):
            found["demo_first"], found["demo_rest"] = _demo()
            found["demo_password"] = accounts.DEMO_PASSWORD
        return found


def _demo() -> tuple[list[tuple[accounts.Login, str]], list[tuple[accounts.Login, str]]]:
    """The first demo login of each role, and all others, each with its role in words."""
    first: dict[str, tuple[accounts.Login, str]] = {}
    rest = []
    for login in accounts.demo_logins():
        named = (login, people.role(login.role))
        if login.role in first:
            rest.append(named)
        first.setdefault(login.role, named)
    return list(first.values()), rest


def not_found(request: HttpRequest, exception: Exception) -> HttpResponse:
    """The same bytes for what is not there and what is not the viewer's; programs get a problem document."""
    if request.path.startswith("/api/"):
        body = {"type": "about:blank", "title": "Not found", "status": 404}
        return JsonResponse(body, status=404, content_type="application/problem+json")
    return render(request, "404.html", status=404)


def failed(request: HttpRequest) -> HttpResponse:
    """Something broke. The page needs no database and no request; programs get a problem document."""
    if request.path.startswith("/api/"):
        body = {"type": "about:blank", "title": "Internal Server Error", "status": 500}
        return JsonResponse(body, status=500, content_type="application/problem+json")
    return HttpResponse(render_to_string("500.html"), status=500)


def csrf_failed(request: HttpRequest, reason: str = "") -> HttpResponse:
    """A form came back with an old or missing token: nothing was stored, going back keeps what was typed."""
    return render(request, "csrf.html", status=403)
