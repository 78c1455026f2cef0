"""Addresses of signing in: one's own account, the second factor, links that let somebody in, and a squad's logins."""

from __future__ import annotations

from django.urls import path

from coaching.pages import (
    account_views,
    calendar_views,
    code_views,
    factor_views,
    join_views,
    people_views,
    reminder_views,
    token_views,
)

urlpatterns = [
    path("login/code", factor_views.Code.as_view(), name="mfa_authenticate"),
    path("login/passkey", factor_views.PasskeyIn.as_view(), name="mfa_login_webauthn"),
    path("login/once", code_views.login_code, name="login-code"),
    path("account/code", code_views.sign_in_code, name="sign-in-code"),
    path("account", account_views.account, name="account"),
    path("account/password", account_views.password, name="account-password"),
    path("account/held", account_views.held, name="held"),
    path("account/tokens", token_views.tokens, name="tokens"),
    path("account/second-factor", factor_views.Factors.as_view(), name="mfa_index"),
    path("account/second-factor/app", factor_views.AddApp.as_view(), name="mfa_activate_totp"),
    path("account/second-factor/app/remove", factor_views.RemoveApp.as_view(), name="mfa_deactivate_totp"),
    path("account/second-factor/codes", factor_views.Codes.as_view(), name="mfa_view_recovery_codes"),
    path("account/second-factor/codes/new", factor_views.NewCodes.as_view(), name="mfa_generate_recovery_codes"),
    path("account/second-factor/passkey", factor_views.AddPasskey.as_view(), name="mfa_add_webauthn"),
    path("account/second-factor/passkeys", factor_views.passkeys, name="mfa_list_webauthn"),
    path("account/second-factor/passkeys/<int:pk>", factor_views.RemovePasskey.as_view(), name="mfa_remove_webauthn"),
    path("account/again", factor_views.Again.as_view(), name="account_reauthenticate"),
    path("account/again/code", factor_views.AgainByCode.as_view(), name="mfa_reauthenticate"),
    path("account/again/passkey", factor_views.AgainByPasskey.as_view(), name="mfa_reauthenticate_webauthn"),
    path("join/<str:token>", join_views.join_link, name="join-link"),
    path("join", join_views.join, name="join"),
    path("new-password/<str:token>", join_views.reset_link, name="reset-link"),
    path("new-password", join_views.reset, name="reset"),
    path("people", people_views.people, name="people"),
    path("account/calendar", calendar_views.calendar, name="calendar"),
    path("account/reminders", reminder_views.reminders, name="reminders"),
    path("reminders/yes/<str:token>", reminder_views.mail_link, name="mail-link"),
    path("reminders/stop/<str:token>", reminder_views.stop_link, name="stop-link"),
    path("calendar/<str:token>", calendar_views.calendar_link, name="calendar-link"),
]
