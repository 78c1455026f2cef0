"""Papers to hand over, as PDF: the card for a doctor, a month's summary, the pack for a trip and what goes with it."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from athletes.records.viewer import Viewer
from coaching.pages.event_views import CSV, PDF, sent
from coaching.pages.views import coaching_role
from coaching.usecases import make_paper
from coaching.wording.hand_over import card_of
from coaching.wording.round_cards import cards_of
from coaching.wording.summary import squad_summary_of, squad_table_of, summary_of
from coaching.wording.trip_pack import contacts_of, pack_of


@coaching_role
@require_safe
@never_cache
def hand_over(request: HttpRequest, viewer: Viewer, code: str) -> HttpResponse:
    """The card for a doctor."""
    return sent(make_paper.make_card(viewer, code, card_of), PDF, "pdf", download=False)


@coaching_role
@require_safe
@never_cache
def summary(request: HttpRequest, viewer: Viewer, code: str) -> HttpResponse:
    """Four weeks of one athlete for a federation or a medical person."""
    return sent(make_paper.make_summary(viewer, code, summary_of), PDF, "pdf", download=False)


@coaching_role
@require_safe
@never_cache
def squad_summary(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    """The same of everybody, a page each."""
    return sent(make_paper.make_squad_summary(viewer, squad_summary_of), PDF, "pdf", download=False)


@coaching_role
@require_safe
@never_cache
def squad_summary_csv(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    """Its table, one line an athlete."""
    return sent(make_paper.make_squad_csv(viewer, squad_table_of), CSV, "csv", download=True)


@coaching_role
@require_safe
@never_cache
def trip_pack(request: HttpRequest, viewer: Viewer, code: str) -> HttpResponse:
    """Whom to ring, where one is, who needs what."""
    return sent(make_paper.make_pack(viewer, code, pack_of), PDF, "pdf", download=False)


@coaching_role
@require_safe
@never_cache
def contacts(request: HttpRequest, viewer: Viewer, code: str) -> HttpResponse:
    """Contacts of those under 18, on a sheet of their own."""
    return sent(make_paper.make_contacts(viewer, code, contacts_of), PDF, "pdf", download=False)


@coaching_role
@require_safe
@never_cache
def round_cards(request: HttpRequest, viewer: Viewer, code: str) -> HttpResponse:
    """A card an athlete for between rounds."""
    return sent(make_paper.make_cards(viewer, code, cards_of), PDF, "pdf", download=False)
