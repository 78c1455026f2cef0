"""A pause that a named person overruled: printed beside the step, on pages and on sheets."""

from __future__ import annotations

from collections.abc import Iterable

from django.utils.html import format_html_join
from django.utils.safestring import SafeString
from django.utils.translation import gettext

from coaching.rules.conclusions import Overruled, Step
from coaching.wording import care, cautions
from coaching.wording.dates import event_day


def note(found: Overruled) -> str:
    """ "Pause overruled by Ayo Lind, Wed 10 Mar: tolerated last spring"."""
    said = gettext("Pause overruled by %(who)s, %(day)s: %(note)s")
    return said % {"who": found.by, "day": event_day(found.on), "note": found.note}


def caution(step: Step) -> SafeString:
    """The caution beside the action, then every pause of it that somebody overruled; escaped, for a page."""
    said = [cautions.rule(step.caution)] if step.caution else []
    return format_html_join(" ", "{}", ((one,) for one in [*said, *dict.fromkeys(map(note, step.overruled))]))


def notes(steps: Iterable[Step]) -> list[str]:
    """Each note once, with the care it is about."""
    found = ((care.care(step.verb, step.form), note(one)) for step in steps for one in step.overruled)
    return [gettext("%(care)s. %(note)s") % {"care": what, "note": said} for what, said in dict.fromkeys(found)]
