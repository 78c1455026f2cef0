"""One's own record in the words of a paper that one reads oneself."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import date

from django.utils.translation import gettext, ngettext
from django.utils.translation import gettext_lazy as _

from athletes.records.queries_trials import TrialRow
from coaching.sheets.paper_values import Line, Paper, PaperPage, Part, Table
from coaching.usecases.own_record import OwnRecord, Row
from coaching.wording import care, papers, people, sharing, trial_results, trials
from coaching.wording.dates import event_day, long_day
from coaching.wording.sentences import capital, series
from coaching.wording.sites import site, site_list
from coaching.wording.squad import SKIN_KINDS

ROWS = 44
"""So many lines of a table on one page."""
MOST_TRIALS = 6
HANDS = {"left": _("left"), "right": _("right")}
YES_NO = {True: _("yes"), False: _("no"), None: ""}
STATUSES = {"done": _("done"), "skipped": _("not done")}


def paper_of(found: OwnRecord) -> Paper:
    """Whose it is, who may see what, all damage; then the last weeks day by day."""
    name = found.athlete.name
    title = gettext("My record: %(name)s") % {"name": name}
    lead = (
        papers.as_known(found.known_at, found.athlete.timezone),
        gettext("What you told and what was told of you. Figures are on your own scale from 0 to 10."),
        gettext("All of it, from the first day on and for another program, is in the file of everything."),
    )
    told = ((_who(found), _count(found)), (_shared(found),), *_damage(found), *_trials(found))
    pages = [PaperPage(title, lead, told, 10.5)]
    pages += _table(found, gettext("Check-ins"), found.checkins, CHECKIN)
    pages += _table(found, gettext("Sessions"), found.sessions, SESSION)
    pages += _table(found, gettext("Care"), found.care, CARE)
    return papers.paper(title, found.known_at, found.athlete.timezone, pages)


def _who(found: OwnRecord) -> Part:
    told = found.profile
    born = told["birth_date"]
    lines = (
        Line(gettext("Name"), found.athlete.name),
        Line(gettext("Born"), long_day(born) if born else gettext("not told")),
        Line(gettext("Your days are those of"), found.athlete.timezone),
        Line(gettext("Stronger hand"), str(HANDS.get(told["dominant_hand"], gettext("not told")))),
        Line(gettext("Kind of skin"), str(SKIN_KINDS.get(told["skin_kind"], gettext("not told")))),
        Line(gettext("What your skin does not take"), _listed(told["sensitivities"], papers.SENSITIVITIES)),
        Line(gettext("What medical people noted"), _listed(told["contraindications"], papers.CONTRAINDICATIONS)),
    )
    return Part(gettext("Whose it is"), lines)


def _listed(codes: Sequence[str], words: Mapping[str, object]) -> str:
    return series(str(words[code]) for code in codes) or gettext("nothing told")


def _count(found: OwnRecord) -> Part:
    said = [
        ngettext("%(n)d answer of any kind, ever", "%(n)d answers of any kind, ever", found.told) % {"n": found.told},
        _n(found.checkins, ngettext("%(n)d check-in", "%(n)d check-ins", len(found.checkins))),
        _n(found.sessions, ngettext("%(n)d session", "%(n)d sessions", len(found.sessions))),
        _n(found.care, ngettext("%(n)d time of care", "%(n)d times of care", len(found.care))),
    ]
    head = gettext("Told since %(day)s, and ever") % {"day": event_day(found.first)}
    return Part(head, tuple(Line(said=one) for one in said))


def _n(rows: Sequence[Row], words: str) -> str:
    return words % {"n": len(rows)}


def _shared(found: OwnRecord) -> Part:
    lines = []
    for role in found.who.roles:
        open_to = [cell for cell in role.cells if cell.shared]
        said = [f"{sharing.data_class(c.what.data_class).lower()} ({sharing.until(c.until)})" for c in open_to]
        lines.append(Line(capital(people.role(role.role)), series(said) or gettext("nothing")))
    if found.athlete.minor and found.who.guardians:
        lines.append(Line(gettext("Guardian"), gettext("everything, until you are 18")))
    return Part(gettext("Who may see what"), tuple(lines) or (Line(said=gettext("Nobody.")),))


def _damage(found: OwnRecord) -> list[tuple[Part]]:
    if not found.damage:
        return [(Part(gettext("Damage"), (Line(said=gettext("None told.")),)),)]
    head = (gettext("where"), gettext("what"), gettext("noticed"), gettext("last looked at"), gettext("as it was then"))
    rows = tuple(_one_damage(row, found) for row in found.damage[:ROWS])
    more = len(found.damage) - len(rows)
    left = gettext("%(n)d older ones are in the file of everything.") % {"n": more} if more else ""
    lines = (Line(said=left),) if left else ()
    return [(Part(gettext("Damage"), lines, Table(head, rows)),)]


def _trials(found: OwnRecord) -> list[tuple[Part]]:
    """The newest trials with what came of them; nothing where none was begun."""
    if not found.trials:
        return []
    head = (gettext("question"), gettext("days"), gettext("result"))
    rows = tuple(_one_trial(row) for row in found.trials[:MOST_TRIALS])
    more = len(found.trials) - len(rows)
    left = gettext("%(n)d older ones are in the file of everything.") % {"n": more} if more else ""
    return [(Part(gettext("Your own trials"), (Line(said=left),) if left else (), Table(head, rows)),)]


def _one_trial(row: TrialRow) -> tuple[str, str, str]:
    if row.ended_on is None:
        return trials.question_of(row), trials.span(row), gettext("running")
    said = (capital(trial_results.verdict(row)), trial_results.effect(row))
    return trials.question_of(row), trials.span(row), ". ".join(filter(None, said))


def _one_damage(row: Row, found: OwnRecord) -> tuple[str, ...]:
    looks = [look for look in found.looks if look["damage_id"] == row["id"]]
    last = looks[-1] if looks else None
    what = str(care.KINDS[row["kind"]])
    depth = f", {care.DEPTHS[row['depth']]}" if row["depth"] else ""
    seen = (_with_year(last["local_date"]), care.stage(last["stage"])) if last else (gettext("never"), "")
    return (site(row["site"]), what + depth, _with_year(row["noticed_on"]), *seen)


def _with_year(day: date) -> str:
    return f"{event_day(day)} {day.year}"


Cells = Callable[[Row], tuple[str, ...]]


def _checkin(row: Row) -> tuple[str, ...]:
    rated = ("" if row[name] is None else str(row[name]) for name in RATED)
    marks = "; ".join(f"{site(where)}: {care.MARKS[mark]}" for where, mark in row["marks"])
    return (event_day(row["local_date"]), *rated, marks, row["note"])


def _session(row: Row) -> tuple[str, ...]:
    surface = str(care.SURFACES.get(row["surface"], ""))
    figures = ("" if row[name] is None else f"{row[name]:g}" for name in ("minutes", "rpe", "hard_tries"))
    return (event_day(row["local_date"]), surface, *figures, str(YES_NO[row["skin_limited"]]))


def _care(row: Row) -> tuple[str, ...]:
    where = site_list(row["sites"] or [])
    said = care.care(row["verb"], row["form"])
    return (event_day(row["local_date"]), said, where, str(STATUSES.get(row["status"], "")), row["product_note"])


RATED = ("reserve", "dampness", "pull_pain")
CHECKIN = (
    (_("day"), _("reserve"), _("dampness"), _("pain on a pull"), _("marks"), _("own words")), _checkin,
)  # fmt: skip
SESSION = (
    (_("day"), _("surface"), _("minutes"), _("effort"), _("hard tries"), _("did skin limit you?")), _session,
)  # fmt: skip
CARE = ((_("day"), _("what"), _("where"), _("done?"), _("own words")), _care)


def _table(found: OwnRecord, what: str, rows: Sequence[Row], told: tuple[Sequence[object], Cells]) -> list[PaperPage]:
    """As many pages as the rows take; none where there are none, which the first page counts."""
    heads, cells = told
    head = tuple(str(one) for one in heads)
    made = []
    for n in range(0, len(rows), ROWS):
        since = gettext("since %(day)s") % {"day": event_day(found.first)}
        part = Part(since, table=Table(head, tuple(cells(row) for row in rows[n : n + ROWS])))
        made.append(PaperPage(what, (), ((part,),), 10))
    return made
