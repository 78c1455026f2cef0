"""The pack for a trip or an event away: whom to ring in large type, where one is, who needs what."""

from __future__ import annotations

from datetime import timedelta

from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from athletes.records.emergency import mobile_numbers
from coaching.sheets.paper_values import Line, Paper, PaperPage, Part, Table
from coaching.usecases.shown_event import EntryRow, EventPage
from coaching.usecases.trip_pack import Contacts, TripPack
from coaching.wording import calls, event_words, papers, verdicts
from coaching.wording.air_units import whole
from coaching.wording.care import form
from coaching.wording.dates import event_day
from coaching.wording.event_sheet import counts
from coaching.wording.sentences import series

MOST_DAYS = 8
MOST_REFUSED = 4
KIT = (
    _("tape, two widths"), _("fine paper, in hand luggage no blade"), _("nail scissors, in the hold"),
    _("moist covers, closed covers"), _("wax balm and ointment"), _("alcohol wipes, clean water"),
    _("fan, cloth, gloves for cold"), _("agents: label, and under the liquid limit of a cabin"),
)  # fmt: skip
"""Common practice, no source; the coach strikes out what does not apply."""


def pack_of(found: TripPack) -> Paper:
    """Two parts: whom to ring and where, then a line an athlete."""
    page = found.page
    title = gettext("%(event)s, %(days)s") % {"event": page.event.name, "days": event_words.event_days(page.event)}
    first = PaperPage(
        title,
        (event_words.what_and_where(page.event, page.place, page.surface) + ". " + event_words.zone(page.event),
         papers.as_known(page.known_at, page.event.timezone)),
        ((_ring(found),), (_when(),), (_where(found),), (_days(found), _kit())),
        13.0,
    )  # fmt: skip
    second = PaperPage(
        gettext("Who needs what: %(event)s") % {"event": page.event.name},
        tuple(filter(None, (counts(page), event_words.not_shared(page.not_shared), _to_ask(found)))),
        ((_athletes(found),), (Part(gettext("Notes"), space=3),)),
        12.0,
    )
    return papers.paper(title, page.known_at, page.event.timezone, [first, second])


def _ring(found: TripPack) -> Part:
    """The number by the country of the event's zone, as a directive says it, or from memory; else a line to fill."""
    ring = found.emergency
    if ring is None or not ring.number:
        name = gettext("Emergency number there") if ring is None else gettext("Emergency number in %(country)s") % {
            "country": ring.country,
        }  # fmt: skip
        lines = [Line(name, blank=True)]
    else:
        where = gettext("%(country)s, by the event’s time zone") % {"country": ring.country}
        by_memory = gettext("%(where)s; from memory and from no source: check locally before the first day")
        said = (gettext("%(where)s; check locally") if ring.standard else by_memory) % {"where": where}
        lines = [Line(ring.number, said)]
    mobile = gettext(
        "%(numbers)s are put through by a mobile telephone on most networks (from memory, check locally)"
    ) % {"numbers": series(mobile_numbers())}
    lines += [
        Line(said=mobile),
        Line(gettext("Say"), gettext("where, what happened, how many, how badly; wait for questions")),
        Line(gettext("Mountain rescue, number"), blank=True),
    ]
    return Part(gettext("In an emergency"), tuple(lines), big=True)


def _when() -> Part:
    """Signs in the skin for which one rings at once, and those that need a doctor the same day."""
    now = ("streak", "fever", "cannot-bend", "pain-on-straightening", "redness-past-joint")
    today = ("swelling", "spreading-redness", "warmth", "throbbing", "pus")
    return Part(
        gettext("Fingers"),
        (
            Line(str(verdicts.MEDICAL["emergency"]).capitalize(), verdicts.red_flags(now)),
            Line(str(verdicts.MEDICAL["today"]).capitalize(), verdicts.red_flags(today)),
        ),
    )


def _where(found: TripPack) -> Part:
    event, notes = found.event, found.notes
    spot = "" if event.lat is None or event.lon is None else f"{event.lat:.4f}, {event.lon:.4f}"
    high = "" if event.altitude_m is None else gettext("%(n)d m") % {"n": round(event.altitude_m)}
    lines = [
        papers.line(gettext("Place"), event.place or ""),
        papers.line(gettext("Position to give (latitude, longitude)"), spot),
        *([Line(gettext("Height"), high)] if high else []),
        papers.line(gettext("Access"), notes["access"].text if "access" in notes else ""),
        papers.line(gettext("Nearest help"), notes["help"].text if "help" in notes else ""),
        Line(gettext("Clinic, address and number"), blank=True),
        Line(gettext("Pharmacy"), blank=True),
        Line(gettext("Where there is no signal, and where the nearest is"), blank=True),
        Line(gettext("Insurance, number and policy"), blank=True),
        Line(gettext("Who drives, number"), blank=True),
    ]
    return Part(gettext("Where"), tuple(lines))


def _days(found: TripPack) -> Part:
    event = found.page.event
    days = min((event.last_day - event.first_day).days + 1, MOST_DAYS)
    rows = tuple((event_day(event.first_day + timedelta(days=n)), "", "") for n in range(days))
    air = event_words.against_home(found.page.air, found.page.units)
    hours = found.page.air.hours
    lines = [Line(gettext("Air"), air)]
    if hours:
        dew = gettext("dew point %(low)s to %(high)s °C, 8 to 20 o’clock") % {
            "low": whole(min(h.dew_point_c for h in hours)), "high": whole(max(h.dew_point_c for h in hours)),
        }  # fmt: skip
        lines.append(Line(gettext("There"), f"{dew}. {event_words.air_source(found.page.air, found.page.as_of)}"))
    heads = (gettext("day"), gettext("where, how long"), gettext("on or rest"))
    return Part(gettext("Days"), tuple(lines), table=Table(heads, rows, by_hand=True))


def _kit() -> Part:
    return Part(gettext("Kit for everybody"), tuple(Line(said=str(one), tick=True) for one in KIT))


def _athletes(found: TripPack) -> Part:
    heads = (
        gettext("athlete, call"), gettext("protect, kit"), gettext("at most, stop"), gettext("cautions"),
        gettext("by hand"),
    )  # fmt: skip
    rows = tuple(_athlete(row, found) for row in found.page.running)
    return Part("", table=Table(heads, rows, by_hand=True))


def _to_ask(found: TripPack) -> str:
    """Said once over the table: of whom no reaction is told, that is no good news."""
    if all(row.athlete.code in found.sensitive for row in found.page.running):
        return ""
    return gettext("Ask: what somebody reacts to is told to medical people alone, and not to whoever printed this.")


def _athlete(row: EntryRow, found: TripPack) -> tuple[str, ...]:
    page, code = found.page, calls.call_of(row)
    note = calls.call_note(row, page.as_of)
    who = f"{row.athlete.name}: {calls.call(code)}" + (f", {note}" if note else "")
    most = "; ".join(filter(None, (calls.most(row, page.event), calls.stop(row))))
    return who, calls.protect(row, page.event), most or "–", _cautions(row, found), ""


def _cautions(row: EntryRow, found: TripPack) -> str:
    """What the athlete must not be given; why only where the viewer is told why."""
    if "checkins" not in row.athlete.shared:
        return papers.not_shared()
    said, told = [], found.sensitive.get(row.athlete.code)
    if told:
        said.append(gettext("sensitive to %(what)s") % {"what": papers.codes(told, papers.SENSITIVITIES)})
    hard = list(dict.fromkeys(one.form for one in row.athlete.refused if one.hard))
    if hard:
        forms = series([form(one) for one in hard[:MOST_REFUSED]])
        more = len(hard) - MOST_REFUSED
        rest = gettext(" and %(n)d more") % {"n": more} if more > 0 else ""
        said.append(gettext("not: %(forms)s%(rest)s") % {"forms": forms, "rest": rest})
    if told is None:
        said.append(gettext("ask"))
    return "; ".join(said) or gettext("none named")


def contacts_of(found: Contacts) -> Paper:
    """A sheet of its own, so that it need not go round with the pack: one strip a minor."""
    page: EventPage = found.page
    title = gettext("Contacts of those under 18: %(event)s") % {"event": page.event.name}
    nobody = gettext("no guardian in the records")
    rows = tuple((one.name, "; ".join(one.guardians) or nobody, "", "") for one in found.minors)
    heads = (gettext("athlete"), gettext("guardian"), gettext("number, by hand"), gettext("second number, by hand"))
    lead = (
        papers.as_known(page.known_at, page.event.timezone),
        gettext("One person carries this sheet. Fold it, lend it to nobody, destroy it after the event."),
        gettext("Tell the guardian before anything is decided about a minor’s health, and at once in an emergency."),
    )
    part = Part("", table=Table(heads, rows, by_hand=True))
    return papers.paper(title, page.known_at, page.event.timezone, [PaperPage(title, lead, ((part,),), 12)])
