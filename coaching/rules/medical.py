"""How urgent it is that a medical person looks: none, ask, today, emergency. It grades, it never diagnoses.

Sources: NHS wound-infection signs (swelling, redness, rising pain, pus, unwell, 38 C or more, swollen
glands); Healthify NZ on an infected cut (red streak: straight away); a patient handout on paronychia and the
MSD Manual on infectious flexor tenosynovitis (redness past a joint, cannot bend, pain when straightened:
emergency); an NHS practice page on wounds at risk (deep, dirty, object inside, tetanus doses not known: the
same day).
"""

from __future__ import annotations

import re
from datetime import date, timedelta

from coaching.rules.facts import AthleteFacts, EpisodeFact

GRADES = ("none", "ask", "today", "emergency")
EMERGENCY_FLAGS = frozenset({"streak", "fever", "pain-on-straightening", "cannot-bend", "redness-past-joint"})
TODAY_WORRIES = frozenset({"dirty", "gaping", "bite", "object-inside"})
_HURT = r"(?:hot|warm|sore|swollen|puffy|tender|painful|throb\w*|hurt\w*|red)"
NOTE_DOUBTS = re.compile(
    r"\b(?:infect|septic|abscess|pus\b|swell|swollen|puffy|throb|fever|numb\b|numbness|streak|spreading|doctor|weep|ooz"
    r"|smell|tetanus|redness|red line|red (?:around|past|up to)|(?:is|looks?|looking|gone|going|bit|turn\w*) red\b"
    r"|yellow (?:stuff|fluid|liquid|crust)|hot to touch|hot (?:finger|tip)"
    r"|(?:finger|tip|skin|joint|it) (?:is|feels) (?:hot|warm)"
    rf"|{_HURT},? and {_HURT}|(?:can'?t|can’t|cannot|can not) (?:bend|straighten))"
)
"""Beginnings of words in a note that make it a note in doubt. Free words never grade above `ask`: they may mean the
opposite. `pushed` and `number` are none of them.
"""

UNNAMED_SIGN = "Something looks infected; no sign named."
"""The sentence that a check-in's note holds where infection was said but no sign ticked. Fixed words, not free ones:
never translated, and graded `today`, as a sign would be.
"""

FLAG_HOLDS_DAYS = 7
"""Judgement: a flag that nobody medical has looked at stands for a week after the day it was reported."""

CLOSED_STAGES = frozenset({"rimmed", "thinned", "sound"})


def grade(facts: AthleteFacts, as_of: date) -> str:
    """The worst grade in force on the evening of `as_of`."""
    grades = [_flag_grade(flag) for flag in flags_in_force(facts, as_of)]
    grades += [_episode_grade(episode, facts, as_of) for episode in facts.episodes]
    grades += ["today"] if _sign_unnamed(facts, as_of) else []
    grades += ["ask"] if _note_in_doubt(facts, as_of) or _reaction(facts, as_of) else []
    return max(grades, key=GRADES.index, default="none")


def flags_in_force(facts: AthleteFacts, as_of: date) -> tuple[str, ...]:
    """Red flags reported in the last seven days and not looked at by a medical person on that day or after
    it.
    """
    found: dict[str, None] = {}
    for checkin in facts.checkins:
        if checkin.red_flags and in_force(facts, checkin.day, as_of):
            found.update(dict.fromkeys(checkin.red_flags))
    return tuple(found)


def in_force(facts: AthleteFacts, day: date, as_of: date) -> bool:
    """Whether what was reported on `day` still stands on `as_of`: no medical look since, and not over a week
    old.
    """
    recent = day <= as_of <= day + timedelta(days=FLAG_HOLDS_DAYS)
    return recent and not medically_seen(facts, day, as_of)


def medically_seen(facts: AthleteFacts, since: date, as_of: date) -> bool:
    return any(one.by == "medical" and since <= one.day <= as_of for one in facts.sightings)


def stops_climbing(grade_code: str) -> bool:
    return grade_code in ("today", "emergency")


def worries_in_force(episode: EpisodeFact, facts: AthleteFacts, as_of: date) -> bool:
    """A worry stands until a medical person has looked or a look has found the damage closed; no week ends
    it.
    """
    if episode.noticed_on > as_of or medically_seen(facts, episode.noticed_on, as_of):
        return False
    looks = [look for look in episode.looks if look.day <= as_of]
    return not looks or looks[-1].stage not in CLOSED_STAGES


def _flag_grade(flag: str) -> str:
    return "emergency" if flag in EMERGENCY_FLAGS else "today"


def _episode_grade(episode: EpisodeFact, facts: AthleteFacts, as_of: date) -> str:
    deep = episode.depth == "deep"
    if not worries_in_force(episode, facts, as_of):
        return "none"
    if deep and (episode.worries or episode.kind == "cut"):
        return "today"
    if TODAY_WORRIES.intersection(episode.worries):
        return "today"
    return "ask" if episode.worries else "none"


def _sign_unnamed(facts: AthleteFacts, as_of: date) -> bool:
    said = (one.day for one in facts.checkins if UNNAMED_SIGN in one.note)
    return any(in_force(facts, day, as_of) for day in said)


def _note_in_doubt(facts: AthleteFacts, as_of: date) -> bool:
    notes = [(one.day, one.note) for one in facts.checkins if one.note]
    notes += [(one.day, one.note) for one in facts.sightings if one.note and one.by != "medical"]
    return any(in_force(facts, day, as_of) and NOTE_DOUBTS.search(note.casefold()) for day, note in notes)


def _reaction(facts: AthleteFacts, as_of: date) -> bool:
    """Care that was stopped because the skin reacted: rash and blisters under an agent are for a doctor to
    judge.
    """
    return any(one.reaction == "stopped" and in_force(facts, one.day, as_of) for one in facts.care)
