"""Words for what is shared with whom, for the text that a word of consent is given under, and for who read what."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from datetime import date

from django.utils.translation import get_language, gettext, ngettext
from django.utils.translation import gettext_lazy as _

from coaching.usecases.who_sees import Text
from coaching.wording.dates import long_day
from coaching.wording.sentences import series

VERSION = "2026-11-apart"
CLASSES = {
    "level": (_("Level"), _("whether your skin will hold for an event, today’s verdict, whether a doctor is needed")),
    "checkins": (_("Check-ins"), _("your answers, sessions and care")),
    "notes": (_("Notes"), _("what you write in your own words")),
    "photos": (_("Photos"), _("pictures of your hands, should you ever add one")),
    "damage": (_("Damage"), _("splits and the like: where they are, how they heal")),
}
PURPOSES = {
    "coaching": _("to plan your training and care"),
    "medical": _("to look after your health"),
    "travel": _("to get you to events"),
}
TEXT = (
    _("You decide who sees what of your record. To start with, nobody sees anything."),
    _("Each yes below lets the people in that role see that one thing, for the purpose written there."),
    _("A yes ends after twelve months at the latest, and the moment you take it back. You need give no reason."),
    _("Whoever is not let in sees “not shared” and no more. You can use everything here without sharing anything."),
    _(
        "Picking a team is kept apart. Where a coach enters people for an event, none of your answers stand; nothing"
        " ranks you against others, and the program enters and drops nobody. What you share is for the purpose written"
        " beside it, and picking a team is none of them."
    ),
)
TEXT_OF_GUARDIAN = (
    _("The athlete and you decide together who sees what of this record. To start with, nobody does."),
    *TEXT[1:3],
    _("Whoever is not let in sees “not shared” and no more. Everything here works without sharing anything."),
    _(
        "Picking a team is kept apart. Where a coach enters people for an event, none of the answers stand; nothing"
        " ranks athletes, and the program enters and drops nobody. What is shared is for the purpose written beside it,"
        " and picking a team is none of them."
    ),
)
UNDER_AGE_OF_GUARDIAN = _("Under 18 something is shared only while the athlete and you have both said yes.")
UNDER_AGE = _("You are under 18: something is shared only while you and your guardian have both said yes.")
PAGES = {
    "morning": _("the morning list"),
    "morning-kept": _("the morning list, kept on a device for a week"),
    "infected": _("your card for an emergency"),
    "contact": _("a device asking what it may keep"),
    "athlete": _("your page"),
    "athlete-made": _("how your forecast was made"),
    "plan": _("your care plan"),
    "squad-plans": _("plans of the squad"),
    "not-known": _("what is not known"),
    "season": _("the season"),
    "rules": _("rules of the squad"),
    "what-if": _("what if, on your page"),
    "decisions": _("decisions"),
    "overrule": _("a pause overruled"),
    "places": _("places"),
    "place": _("the day at a place"),
    "place-air": _("the air at a place"),
    "were-we-right": _("were we right?"),
    "events": _("the list of events"),
    "event": _("an event"),
    "hand-over": _("your card for a doctor, printed"),
    "summary": _("four weeks of yours, printed"),
    "squad-summary": _("four weeks of yours, printed"),
    "squad-summary-csv": _("four weeks of yours, printed"),
    "own-card": _("your card for a doctor"),
    "trip-pack": _("a trip’s pack, printed"),
    "contacts": _("contacts of those under 18, printed"),
    "round-cards": _("cards between rounds, printed"),
    "event-notes": _("notes on an event"),
    "event-sheet": _("an event’s sheet, printed"),
    "event-csv": _("an event’s table"),
    "event-xlsx": _("an event’s workbook"),
    "event-entries": _("entries of an event"),
    "event-review": _("an event, looked back at"),
    "squad": _("the squad"),
    "squad-profile": _("your profile"),
    "sessions": _("sessions of the squad"),
    "new-event": _("a new event"),
    "check-in": _("your check-in"),
    "today": _("your list of today"),
    "session": _("your session of today"),
    "hands": _("your hands"),
    "tally": _("your tries in session"),
    "damage": _("a note of damage"),
    "episode": _("damage of yours"),
    "photo": _("a photo of your hands"),
    "athlete-hands": _("your hands, over time"),
    "own-places": _("your places"),
    "trials": _("your trials"),
    "new-trial": _("a trial being set up"),
    "trial": _("one of your trials"),
    "squad-trials": _("trials of the squad"),
    "trial-bottles": _("bottles of a hidden trial"),
    "own-place": _("your day at a place"),
    "people": _("who may sign in"),
    "support": _("support’s page"),
    "phone": _("your phone, made ready for days without a signal"),
    "calendar-link": _("a calendar, days of events alone"),
    "who-sees": _("who sees what"),
    "who-read": _("who looked"),
    "own-record": _("your record, to be read on paper"),
    "own-export": _("everything of yours, as a file"),
    "erase": _("erasing your record"),
}


def data_class(code: str) -> str:
    return str(CLASSES[code][0])


def what_it_holds(code: str) -> str:
    return str(CLASSES[code][1])


def purpose(code: str) -> str:
    return str(PURPOSES[code])


def page(code: str) -> str:
    """Which page or door a request was for; a program's door by the last part of its address."""
    if code in PAGES:
        return str(PAGES[code])
    last = next((part for part in reversed(code.split("/")) if part and "<" not in part), "")
    return gettext("another program: %(what)s") % {"what": last} if code.startswith("api/") else code


def text_read() -> Text:
    """Name and digest of the text as it stands, in the language it is read in."""
    said = (*TEXT, *TEXT_OF_GUARDIAN, UNDER_AGE, UNDER_AGE_OF_GUARDIAN)
    whole = "\n".join(map(str, (*said, *(s for pair in CLASSES.values() for s in pair), *PURPOSES.values())))
    return Text(VERSION, hashlib.sha256(whole.encode()).hexdigest(), get_language() or "")


def classes_seen(codes: Iterable[str]) -> str:
    """ "level, check-ins and damage", in the order of the page."""
    found = set(codes)
    return series(data_class(code).lower() for code in CLASSES if code in found)


def times(n: int) -> str:
    """ "", or "3 times"."""
    return "" if n == 1 else ngettext("%(n)d time", "%(n)d times", n) % {"n": n}


def until(day: date | None) -> str:
    return gettext("shared until %(day)s") % {"day": long_day(day)} if day else gettext("not shared")
