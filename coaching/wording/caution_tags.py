"""What every page says once about its translated cautions."""

from __future__ import annotations

from django import template
from django.utils.html import format_html
from django.utils.safestring import SafeString
from django.utils.translation import gettext

from coaching.wording import cautions

register = template.Library()


def _stop_rule() -> str:
    return gettext(
        "Skin only, not a medical clearance. Signs of infection, fever or a finger that cannot bend: stop and see a"
        " doctor today."
    )


@register.simple_tag
def unread_cautions() -> SafeString:
    """The rule above all others in English, where nobody has read its translation yet; else nothing."""
    found = cautions.english_unread(_stop_rule)
    if not found:
        return SafeString("")
    note = gettext("Cautions in this language are not yet read by a clinician. In English:")
    return format_html('<p class="unread">{} <span lang="{}">{}</span></p>', note, cautions.ORIGINAL, found)
