"""The list in one query against the door and the readings it stands for: the same athletes, classes and cut.

The two are written apart (one joins rows in the database, the other asks one thing after the other), so that each is
the other's check.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from itertools import product
from random import Random

import pytest
import time_machine
from django.db import connection
from django.test.utils import CaptureQueriesContext

from athletes.records import access, choices, queries
from athletes.records.models import Athlete, Consent, Membership
from athletes.records.viewer import Grant, Viewer
from coaching.ledger.models import Conclusion, EntryConclusion, Staleness
from coaching.pages import pictures, rows
from coaching.pages.morning_page import written
from coaching.rules.conclusions import Reason
from coaching.usecases import set_up, sign_in
from coaching.usecases.listing import lines, listing
from coaching.usecases.morning_list import morning_list
from coaching.usecases.showing import show
from coaching.usecases.shown import AthleteShown
from tests import shown_cast as cast
from tests import stored

ROLES = ("head-coach", "assistant", "medical", "manager")
pytestmark = pytest.mark.django_db


def asked_apart(viewer: Viewer) -> list[AthleteShown]:
    """The athletes of the list as the slow way gives them, without the parts that no list has."""
    squads = queries.squads_of(viewer)
    members = frozenset().union(*queries.members(viewer, [squad.id for squad in squads]).values())
    refs = [ref for ref in access.refs_visible(viewer, "level") if ref.id in members]
    gone = {"steps": (), "refused": (), "model": "", "rulebook": ""}
    return [replace(one, **gone) for one in show(viewer, refs, course=False)]


def asked_at_once(viewer: Viewer) -> list[AthleteShown]:
    return [line.show() for line in lines(viewer, listing(viewer).athletes)]


def drawn_lines(viewer: Viewer) -> str:
    """The lines of the page alone; the key under them shows every mark there is."""
    html = written(rows.Page(morning_list(viewer))).decode()
    return html[html.index('<ol class="rows">') : html.index("</ol>")]


def squad_of_all_kinds() -> tuple[list[Athlete], int, int]:
    """Eight athletes in two squads, some minors; concluded, half of them also for the day before, two not at all."""
    one, two = stored.squad("one"), stored.squad("two")
    found = stored.athletes([f"a{n}" for n in range(5)], one) + stored.athletes(["b0", "b1", "b2"], two, stored.MINOR)
    Membership.objects.create(squad=two, athlete=found[0])
    stored.conclude(found[:6], stored.event())
    EntryConclusion.objects.filter(athlete_id__in=[row.id for row in found[::2]], as_of=stored.YESTERDAY).delete()
    Staleness.objects.filter(athlete_id=found[1].id).update(input_rev=9)
    return found, one.id, two.id


@pytest.mark.parametrize("seed", range(40))
def test_it_lets_through_whom_the_door_lets_through_and_cuts_alike(seed: int) -> None:
    """Random words of consent (live, to come, over, withdrawn, to other roles, for other purposes), random viewers."""
    some = Random(seed)
    found, one, two = squad_of_all_kinds()

    def near(least: int = -2) -> date:
        return stored.TODAY + timedelta(days=some.randint(least, 2))

    words, taken_back = [], []
    for row, role, data_class in product(found, ROLES, choices.DATA_CLASSES):
        if some.random() < 0.3:
            continue
        given_on = near() if some.random() < 0.3 else stored.YESTERDAY
        until = max(near(), given_on) if some.random() < 0.3 else None
        withdrawn = near() if some.random() < 0.2 else None
        told = {"purpose": some.choice([stored.PURPOSES[role]] * 3 + ["coaching"]), "given_on": given_on}
        told |= {"data_class": data_class, "grantee_role": role, "athlete": row}
        by = some.choice(["both", "both", "self", "guardian"])
        words.append(Consent(until=until, grantor_role=by, grantee_person=some.choice([None, None, 1, 2]), **told))
        taken_back.append(withdrawn and Consent(ends=words[-1], **{**told, "given_on": withdrawn}))
    Consent.objects.bulk_create(words)
    Consent.objects.bulk_create(filter(None, taken_back))
    kinds = [*product(ROLES, [one, two], [None]), *product(["athlete", "guardian"], [None], [row.id for row in found])]
    grants = some.sample(kinds, some.randint(1, 4))
    viewer = Viewer(1, 1, stored.TODAY, tuple(Grant(*grant) for grant in grants))
    assert asked_at_once(viewer) == asked_apart(viewer)


def test_the_operator_sees_everybody() -> None:
    squad_of_all_kinds()
    viewer = access.OPERATOR(stored.TODAY)
    assert len(asked_at_once(viewer)) == 8 and asked_at_once(viewer) == asked_apart(viewer)


def test_it_is_one_query() -> None:
    found, one, _ = squad_of_all_kinds()
    stored.share(found)
    viewer = Viewer(1, 1, stored.TODAY, (Grant("head-coach", one),))
    with CaptureQueriesContext(connection) as asked:
        shown = morning_list(viewer)
        written(rows.Page(shown))
    assert len(asked) == 1 and len(shown.rows) == 5


def test_yesterday_is_the_day_before_the_newest_conclusion_and_no_other() -> None:
    """A day that is missing is not made up for by an older one."""
    found, one, _ = squad_of_all_kinds()
    stored.share(found)
    viewer = Viewer(1, 1, stored.TODAY, (Grant("head-coach", one),))
    assert any(e.level_before for shown in asked_at_once(viewer) for e in shown.entries)
    for table in (Conclusion, EntryConclusion):
        table.objects.filter(as_of=stored.YESTERDAY).update(as_of=stored.YESTERDAY - timedelta(days=1))
    assert not any(e.level_before for shown in asked_at_once(viewer) for e in shown.entries)
    assert asked_at_once(viewer) == asked_apart(viewer)


@pytest.mark.slow
def test_on_the_demo_every_role_is_shown_the_same_either_way() -> None:
    """Whole pages, byte for byte, drawn from the one query and from the many."""
    from django.contrib.auth import get_user_model

    from coaching.usecases import accounts, recompute

    with time_machine.travel(stored.NOW, tick=False):
        set_up.load_demo(stored.NOW)
        recompute.drain()
        seen = {}
        for login in accounts.demo_logins():
            if login.role not in ROLES:
                continue
            viewer = sign_in.viewer(get_user_model().objects.get(username=login.username))
            apart = {one.code: one for one in asked_apart(viewer)}
            shown = morning_list(viewer)
            assert {one.code: one for one in shown.rows} == apart
            page = rows.Page(shown)
            top = pictures.tallest_slu(one.picture for one in apart.values())
            drawn = [rows.drawn(rows.row_of(apart[one.code], top)).html for one in shown.rows]
            assert [one.html for one in page.drawn] == drawn
            seen[login.role] = b"".join(drawn)
        assert set(seen) == set(ROLES) and len(set(seen.values())) > 1


def test_what_is_kept_of_one_viewer_is_never_shown_to_another_who_may_see_less() -> None:
    """The coach's page first, then that of a manager with whom only the level is shared."""
    found, one, _ = squad_of_all_kinds()
    stored.share(found)
    stored.share(found, ["level"], "manager")
    pages = {}
    for role in ("head-coach", "manager", "head-coach", "manager"):
        viewer = Viewer(1, 1, stored.TODAY, (Grant(role, one),))
        html = drawn_lines(viewer)
        assert pages.setdefault(role, html) == html
    assert 'class="load load-' in pages["head-coach"] and 'class="load load-' not in pages["manager"]
    assert 'class="damage' in pages["head-coach"] and 'class="damage' not in pages["manager"]
    rows.forget_drawn()
    viewer = Viewer(1, 1, stored.TODAY, (Grant("manager", one),))
    assert drawn_lines(viewer) == pages["manager"]


def test_a_cause_that_the_medical_person_was_told_is_not_kept_for_the_coach() -> None:
    """Both are shared every class; whether an allergy stands behind a refusal is still for the medical role alone."""
    squad = stored.squad()
    found = stored.athletes(["a0"], squad)
    why = Reason("agent", None, cast.in_march(12), {"form": "iontophoresis", "class": "allergy", "rows": 2})
    stored.conclude(found, stored.event(), cast.athlete(entries=(cast.entry(reasons=(why,)),)))
    for role in ("medical", "head-coach"):
        stored.share(found, role=role)
    viewers = [Viewer(1, 1, stored.TODAY, (Grant(role, squad.id),)) for role in ("medical", "head-coach")]
    rows.forget_drawn()
    medical, coach = (drawn_lines(viewer) for viewer in viewers)
    assert medical != coach
    rows.forget_drawn()
    assert drawn_lines(viewers[1]) == coach and drawn_lines(viewers[0]) == medical


def test_bars_are_scaled_for_the_list_they_stand_in() -> None:
    """The same athlete beside one who loads far more: lower bars, whatever was drawn for another list before."""
    one, two = stored.squad("one"), stored.squad("two")
    common, heavy = stored.athletes(["a0"], one), stored.athletes(["h0"], two)
    event = stored.event()
    stored.conclude(common, event)
    loads = tuple(replace(day, done_slu=40.0) for day in cast.picture().load)
    stored.conclude(heavy, event, cast.athlete(picture=replace(cast.picture(), load=loads)))
    stored.share(common + heavy)
    alone = Viewer(1, 1, stored.TODAY, (Grant("head-coach", one.id),))
    both = Viewer(2, 2, stored.TODAY, (Grant("head-coach", one.id), Grant("head-coach", two.id)))
    rows.forget_drawn()

    def line(viewer: Viewer) -> str:
        html = drawn_lines(viewer)
        start = html.index('id="row-a0"')
        return html[start : html.index("</li>", start)]

    beside_none, beside_heavy = line(alone), line(both)
    assert beside_none != beside_heavy and line(alone) == beside_none
    rows.forget_drawn()
    assert line(both) == beside_heavy


def test_withdrawn_consent_is_gone_from_the_next_page() -> None:
    found, one, _ = squad_of_all_kinds()
    stored.share(found)
    viewer = Viewer(1, 1, stored.TODAY, (Grant("head-coach", one),))
    before = written(rows.Page(morning_list(viewer))).decode()
    stored.withdraw(athlete=found[1], data_class="level")
    stored.withdraw(athlete=found[2], data_class__in=["checkins", "damage"])
    after = written(rows.Page(morning_list(viewer))).decode()
    assert 'id="row-a1"' in before and 'id="row-a1"' not in after
    assert "1 member shares no level" in after
    assert after.count('class="damage') < before.count('class="damage')


def test_a_new_conclusion_is_drawn_at_once() -> None:
    found, one, _ = squad_of_all_kinds()
    stored.share(found)
    viewer = Viewer(1, 1, stored.TODAY, (Grant("head-coach", one),))
    before = written(rows.Page(morning_list(viewer))).decode()
    row = EntryConclusion.objects.get(athlete_id=found[0].id, as_of=stored.TODAY)
    row.level, row.body = "tight", {**row.body, "level": "tight"}
    row.save()
    after = written(rows.Page(morning_list(viewer))).decode()
    assert before.count("level-tight") + 1 == after.count("level-tight")


def test_days_of_birth_and_of_today_are_the_doors_own() -> None:
    """A guardian's right ends with the eighteenth birthday, to the day."""
    found, one, _ = squad_of_all_kinds()
    day = cast.AS_OF.replace(year=cast.AS_OF.year - 18)
    for born, seen in ((day, 0), (day + timedelta(days=1), 1), (None, 0)):
        Athlete.objects.filter(id=found[0].id).update(birth_date=born)
        viewer = Viewer(1, 1, date(2027, 3, 11), (Grant("guardian", None, found[0].id), Grant("manager", one)))
        assert len(asked_at_once(viewer)) == len(asked_apart(viewer)) == seen
