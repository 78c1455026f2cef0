"""The athlete's own card for a doctor."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from athletes.pages.wards import Whom, own_or_ward
from coaching.usecases.make_paper import make_own_card
from coaching.wording.hand_over import card_of


@own_or_ward
@require_safe
@never_cache
def card(request: HttpRequest, whom: Whom) -> HttpResponse:
    """As PDF, opened in the browser."""
    made = make_own_card(whom.viewer, whom.code, card_of)
    answer = HttpResponse(made.content, content_type="application/pdf")
    answer["Content-Disposition"] = f'inline; filename="hand-over-{made.as_of.isoformat()}.pdf"'
    return answer
