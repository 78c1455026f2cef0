"""A card for isolation, where phones are not allowed: one page an athlete, what to do between rounds by hand."""

from __future__ import annotations

from django.utils.translation import gettext

from coaching.sheets.paper_values import Line, Paper, PaperPage, Part, Table
from coaching.usecases.shown import AthleteShown
from coaching.usecases.shown_event import EntryRow, EventPage
from coaching.wording import calls, event_words, levels, overruled, papers
from coaching.wording.event_sheet import where_lines

DAMP_PT, DRY_PT = 6.0, 3.5
"""Where fingers count as damp or dry on the athlete's own scale (judgement)."""
ROUNDS = 4


def cards_of(page: EventPage) -> Paper:
    """One card for everybody who is to start."""
    title = gettext("Between rounds: %(event)s") % {"event": page.event.name}
    cards = [_card(row, page) for row in page.running]
    nobody = PaperPage(title, (gettext("Nobody to start."),), ())
    return papers.paper(title, page.known_at, page.event.timezone, cards or [nobody])


def _card(row: EntryRow, page: EventPage) -> PaperPage:
    lead = (
        f"{page.event.name}, {event_words.event_days(page.event)}. {levels.skin_only()}",
        papers.as_known(page.known_at, page.event.timezone),
    )
    return PaperPage(row.athlete.name, lead, ((_own(row, page),), (_by_hand(row.athlete),), (_rounds(),)), 18.0)


def _own(row: EntryRow, page: EventPage) -> Part:
    note = calls.call_note(row, page.as_of)
    call = calls.call(calls.call_of(row))
    lines = [
        Line(gettext("Today"), f"{call}: {note}" if note else call),
        *(Line(place, state) for place, state in where_lines(row)),
        papers.line(gettext("Protect"), calls.protect(row, page.event)),
        papers.line(gettext("At most"), calls.most(row, page.event), gettext("see the coach")),
    ]
    stop = calls.stop(row)
    if stop:
        lines.append(Line(gettext("Stop"), stop))
    lines += [Line(said=said) for said in overruled.notes(row.athlete.steps)]
    return Part("", tuple(lines), spots=papers.spots(row.athlete.picture))


def _by_hand(row: AthleteShown) -> Part:
    """In the order in which one does it. Common practice, no source; the rulebook's cautions hold."""
    said = [
        gettext("Look at every tip in good light. Open, weeping or bleeding: a closed cover, or do not start."),
        gettext("Pink: no more warm-up tries on that tip."),
        gettext("Tape on dry skin, from the tip towards the base. Tape that moves comes off and goes on anew."),
        *_air(row),
        gettext("File only an edge that catches, on dry, chalked skin. Nothing new on the skin."),
        gettext("Red, warm, throbbing, a finger that will not bend: show it at once. No start."),
    ]
    return Part(gettext("Back from a try"), tuple(Line(said=one, tick=True) for one in said))


def _air(row: AthleteShown) -> list[str]:
    """By how wet the fingers work, where that is shared; else both."""
    damp = gettext("Fingers damp: fan, longer rests, touch nothing; cold metal, never until numb.")
    dry = gettext("Fingers dry: a damp cloth, wait 20 seconds, chalk on top.")
    wet = row.picture.dampness_mean_pt if row.picture else None
    if wet is None or DRY_PT < wet < DAMP_PT:
        return [damp, dry]
    return [damp] if wet >= DAMP_PT else [dry]


def _rounds() -> Part:
    heads = (gettext("round, starts"), gettext("tips seen"), gettext("tape"), gettext("tries"), gettext("note"))
    return Part("", table=Table(heads, tuple(("",) * len(heads) for _ in range(ROUNDS)), by_hand=True))
