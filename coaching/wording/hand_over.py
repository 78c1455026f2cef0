"""The card that an athlete takes to a doctor. It tells what was seen and done and asks; it names no illness."""

from __future__ import annotations

from datetime import date
from functools import partial

from django.utils.translation import gettext, ngettext

from athletes.records.queries_hand_over import CareDone, DamageTold, LookTold
from coaching.sheets.paper_values import Line, Paper, PaperPage, Part
from coaching.usecases.hand_over import BACK_DAYS, HandOver
from coaching.wording import care, cautions, overruled, papers, squad, verdicts
from coaching.wording.dates import days_count, event_day, span
from coaching.wording.people import role
from coaching.wording.sites import site

MOST_LOOKS = 4
MOST_CARE = 9
MOST_NOTES = 3


def card_of(found: HandOver) -> Paper:
    """One A4, in the reader's language."""
    title = gettext("For the doctor: %(name)s") % {"name": found.athlete.name}
    page = PaperPage(
        title,
        (
            papers.as_known(found.known_at, found.timezone),
            gettext("Told by athlete and coach; nobody has diagnosed anything."),
        ),
        (
            (_who(found), _hands(found)),
            (_damage(found),),
            (_signs(found), _done(found)),
            (_asked(),),
        ),
        12.5,
    )  # fmt: skip
    return papers.paper(title, found.known_at, found.timezone, [page])


def _who(found: HandOver) -> Part:
    about = found.about
    age = "" if about.age is None else ngettext("%(n)d year", "%(n)d years", about.age) % {"n": about.age}
    hand = str(squad.HANDS[about.dominant_hand]) if about.dominant_hand else ""
    none, closed = gettext("nothing named"), about.sensitivities is None
    lines = [
        papers.line(gettext("Age"), age),
        papers.line(gettext("Writes with"), hand),
        _closed(gettext("Sensitive to")) if closed else papers.line(
            gettext("Sensitive to"), papers.codes(about.sensitivities or (), papers.SENSITIVITIES), none
        ),
        _closed(gettext("Speaks against care")) if closed else papers.line(
            gettext("Speaks against care"), papers.codes(about.contraindications or (), papers.CONTRAINDICATIONS), none
        ),
        Line(gettext("Medicines"), blank=True),
        Line(gettext("Last tetanus dose"), blank=True),
    ]  # fmt: skip
    return Part(gettext("Who"), tuple(lines))


def _closed(name: str) -> Line:
    """For the athlete, a guardian and medical people alone: whoever else prints the card leaves a line."""
    return Line(name, gettext("not shown to whoever printed this; ask"), blank=True)


def _hands(found: HandOver) -> Part:
    if found.damage is None:
        return Part(gettext("Where"), (Line(said=papers.not_shared()),))
    shown = papers.spots(found.athlete.picture)
    pictures = gettext("on the athlete’s page, where there are any") if "photos" in found.athlete.shared else None
    lines = (papers.line(gettext("Photos"), pictures),)
    return Part(gettext("Where"), lines if shown else (Line(said=gettext("no mark")), *lines), spots=shown)


def _damage(found: HandOver) -> Part:
    head = gettext("What is open, and since when")
    if found.damage is None:
        return Part(head, (Line(said=papers.not_shared()),))
    lines = [one for damage in found.damage for one in _told(damage, found.today)]
    return Part(head, tuple(lines) or (Line(said=gettext("No damage is open, as far as was told.")),))


def _told(one: DamageTold, today: date) -> list[Line]:
    said = [care.state_phrase(one.kind, one.stage), _since(one, today), _size(one)]
    if one.again:
        said.append(gettext("the same place was hurt before"))
    if one.worries:
        said.append(papers.codes(one.worries, papers.WORRIES))
    lines = [Line(site(one.site), "; ".join(filter(None, said)))]
    if one.cause:
        lines.append(Line(gettext("how it came"), one.cause))
    elif one.cause is None:
        lines.append(Line(gettext("how it came"), papers.not_shared()))
    looks = "; ".join(_look(look) for look in one.looks[-MOST_LOOKS:])
    return [*lines, Line(gettext("looks"), looks)] if looks else lines


def _since(one: DamageTold, today: date) -> str:
    days = (today - one.noticed_on).days
    return gettext("since %(day)s, %(ago)s") % {"day": event_day(one.noticed_on), "ago": days_count(days)}


def _size(one: DamageTold) -> str:
    parts = [str(care.DEPTHS[one.depth]) if one.depth else ""]
    if one.length_mm is not None:
        wide = "" if one.width_mm is None else gettext(" by %(n)g") % {"n": one.width_mm}
        parts.append(gettext("%(n)g%(wide)s mm") % {"n": one.length_mm, "wide": wide})
    return ", ".join(filter(None, parts)) or gettext("size not measured")


def _look(look: LookTold) -> str:
    said = [care.stage(look.stage)]
    if look.pain is not None:
        said.append(gettext("pain %(n)d of 10") % {"n": look.pain})
    if look.opens_on_pull:
        said.append(gettext("opens on a pull"))
    if look.bled:
        said.append(gettext("bled"))
    return f"{event_day(look.day)} {', '.join(said)}"


def _signs(found: HandOver) -> Part:
    """Signs to look for, each to be ticked; those that the athlete named stand first, with the day."""
    told = found.answers.red_flags if found.answers else ()
    lines: list[Line] = []
    if found.damage is None and "checkins" not in found.athlete.shared:
        advice = partial(verdicts.medical_advice, found.athlete.medical, told=False)
        lines += [Line(said=said) for said in cautions.lines(advice)]
    if "checkins" not in found.athlete.shared:
        lines.append(Line(gettext("Named by the athlete"), papers.not_shared()))
    elif told and found.answers:
        day = event_day(found.answers.day)
        lines.append(Line(gettext("Named on %(day)s") % {"day": day}, verdicts.red_flags(told)))
    else:
        lines.append(Line(gettext("Named by the athlete"), gettext("none")))
    rest = [str(words) for code, words in verdicts.RED_FLAGS.items() if code not in told]
    return Part(gettext("Signs to look for"), (*lines, *(Line(said=one, tick=True) for one in rest)))


def _done(found: HandOver) -> Part:
    head = gettext("Done in the last %(n)d days") % {"n": BACK_DAYS}
    lines: list[Line] = []
    if found.care is None:
        lines.append(Line(gettext("Care"), papers.not_shared()))
    else:
        lines += [_care(one, found.today) for one in found.care[:MOST_CARE]]
        if not found.care:
            lines.append(Line(gettext("Care"), gettext("none told")))
    if found.signoffs:
        cleared = "; ".join(f"{care.form(form)} ({role(by)})" for form, by, _, _ in found.signoffs)
        lines.append(Line(gettext("Signed off"), cleared))
    lines += [Line(said=said) for said in overruled.notes(found.athlete.steps)]
    lines += _notes(found)
    return Part(head, tuple(lines))


def _care(one: CareDone, today: date) -> Line:
    times = ngettext("%(n)d time", "%(n)d times", one.times) % {"n": one.times}
    said = [times, span(one.first, one.last, today), *(str(papers.REACTIONS[r]) for r in dict.fromkeys(one.reactions))]
    return Line(care.care(one.verb, one.form), ", ".join(said))


def _notes(found: HandOver) -> list[Line]:
    if "notes" not in found.athlete.shared:
        return [Line(gettext("Own words"), papers.not_shared())]
    lines = []
    if found.answers and found.answers.note:
        lines.append(Line(gettext("Own words, %(day)s") % {"day": event_day(found.answers.day)}, found.answers.note))
    for day, by, note in (found.sightings or ())[:MOST_NOTES]:
        seen = gettext("%(by)s, %(day)s") % {"by": care.SEEN_BY[by], "day": event_day(day)}
        lines.append(Line(seen, note))
    return lines


def _asked() -> Part:
    """What the coach needs to hear back; the doctor answers with a pen."""
    return Part(
        gettext("What is asked"),
        (
            Line(gettext("May it be loaded? Taped? From which day"), blank=True),
            Line(gettext("No load on it until"), blank=True),
            Line(gettext("Care to go on, to stop, agents allowed"), blank=True),
            Line(gettext("Look again on, or at once if"), blank=True),
            Line(gettext("Name, day, signature"), blank=True),
        ),
    )
