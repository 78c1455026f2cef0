"""The coach's morning list in a basement without a signal: what it was, how old it is, answers that wait, what becomes
of them, and how it goes away. Browser, worker and server are real; only the network is cut.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import timedelta
from typing import Any

import pytest

from tests.journey.kept_world import ATHLETES, FURTHER, KeptWorld, signed_in
from tests.journey.test_no_signal import LEFT, NOTHING, NOW, Phone

pytestmark = pytest.mark.browser
SNAPSHOT = """async () => { const who = await tenpads.queue.read("who");
  return who && (await tenpads.queue.read("snapshot:" + who)); }"""
DRAWN = """() => document.querySelectorAll("#snapshot .row").length > 0
  || /signal, and no|seven days and/.test(document.body.innerText)"""
SHELL = "() => !!document.getElementById('snapshot') && !!window.tenpads && tenpads.started.then(() => true)"


class Coach(Phone):
    def sign_in(self, user: str) -> Coach:
        signed_in(self.page, self.world.address, user)
        self.page.evaluate("() => navigator.serviceWorker.ready.then(() => true)")
        self.until("() => !!navigator.serviceWorker.controller || location.reload() || false")
        self.go("/morning").until(f"async () => !!(await ({SNAPSHOT})())")
        return self

    def offline_list(self) -> str:
        self.go("/morning").until(SHELL)
        self.until(DRAWN)
        return str(self.page.inner_text("body"))


@pytest.fixture
def coach(browser: Any, kept_world: KeptWorld) -> Iterator[Any]:
    made: list[Coach] = []

    def make(user: str = "coach1") -> Coach:
        made.append(Coach(browser, kept_world))
        return made[-1].sign_in(user)

    kept_world.travel(NOW)
    yield make
    assert [said for one in made for said in one.said] == []


def answer(page: Any, code: str, choice: str, why: str = "") -> None:
    line = page.locator("#snapshot li.decision").filter(has_text=f"Athlete {code}:")
    line.locator("summary").click()
    line.locator(f"input[value={choice}]").check()
    if why:
        line.locator("textarea").fill(why)
    line.get_by_role("button", name="Answer").click()
    line.get_by_text("waits on this device").wait_for()


def decided(world: KeptWorld) -> list[list[str]]:
    ask = "print(json.dumps(sorted([d.athlete.code, d.kind, d.answer, d.by.username] for d in Decision.objects.all())))"
    return list(json.loads(world.asks(ask)))


def test_the_last_list_answers_that_wait_and_a_conflict_that_is_told(coach: Any, kept_world: KeptWorld) -> None:
    one, other = coach(), coach("coach2")
    one.off().at(NOW + timedelta(hours=3))
    said = one.offline_list()
    assert one.page.locator("#snapshot .row").count() == len((*ATHLETES, *FURTHER)) and "3 hours ago" in said
    assert "Crease split, right middle" in said and "30–60" in said  # the one reason, the chance
    answer(one.page, "k01", "accept")
    answer(one.page, "k02", "decline", "seen in person")
    # A look that is due, declined by somebody else meanwhile.
    stored = other.page.evaluate(
        """async () => { const told = await (await fetch('/contact')).json(); const list = await (await
        fetch('/morning/kept')).json(), d = list.decisions.find((one) => one.code === 'k01' && !one.plan); const body =
        { event_id: d.event_id, kind: d.kind, site: d.site || null, about: d.about, answer: 'decline', why: 'w' };
        return (await fetch('/api/v1/athletes/k01/decisions', { method: 'POST', body: JSON.stringify(body), headers: {
        'Content-Type': 'application/json', 'Idempotency-Key': 'other', 'X-CSRFToken': told.csrf } })).status; }
        """
    )
    assert stored == 201
    one.on().sent()
    one.until("async () => (await tenpads.queue.list()).length === 1")
    assert "somebody has declined it since; your answer was not stored" in one.heard()
    assert decided(kept_world) == [["k01", "look", "decline", "coach2"], ["k02", "look", "decline", "coach1"]]
    one.page.get_by_role("button", name="Throw it away").click()
    one.until("async () => (await tenpads.queue.list()).length === 0")


def test_only_named_fields_are_kept_and_not_for_longer_than_seven_days(coach: Any) -> None:
    one = coach()
    kept = one.page.evaluate(SNAPSHOT)
    assert set(kept) == {"taken", "sharing", "headline", "known", "rows", "decisions", "answers"}
    assert {key for row in kept["rows"] for key in row} == {
        "code", "name", "level", "level_word", "event", "chance", "range", "reason", "verdict",
    }  # fmt: skip
    assert {key for d in kept["decisions"] for key in d} == {
        "key", "code", "name", "event_id", "kind", "site", "about", "by", "what", "plan",
    }  # fmt: skip
    copies = one.page.evaluate("async () => (await caches.keys()).filter((name) => name.startsWith('kept-'))")
    assert copies == []  # no page of anybody's is kept for a coach
    one.off().at(NOW + timedelta(days=6, hours=23))
    assert "Athlete k03" in one.offline_list() and "7 days ago" in one.heard()
    one.at(NOW + timedelta(days=7, hours=1))
    assert "older than seven days and is gone" in one.offline_list()
    assert one.page.evaluate(SNAPSHOT) is None


def test_a_withdrawal_takes_it_at_the_next_contact_and_signing_out_at_once(coach: Any, kept_world: KeptWorld) -> None:
    one = coach()
    one.off()
    kept_world.asks(
        "from tests import stored; from athletes.records.models import Athlete, Consent\n"
        "stored.withdraw(athlete__code='k05')"
    )
    assert "Athlete k05" in one.offline_list()  # nothing has told this device yet
    one.on().go("/rules")  # any page is a contact
    one.until(f"async () => !JSON.stringify(await ({SNAPSHOT})() || 'k05').includes('k05')")
    one.off()
    said = one.offline_list()
    assert "Athlete k05" not in said and "Athlete k06" in said
    one.on().go("/login").page.get_by_role("button", name="Sign out").click()
    one.page.wait_for_selector("input[name=password]")
    one.until("() => !!window.tenpads && tenpads.started.then(() => true)")
    assert one.page.evaluate(LEFT) == NOTHING
    with pytest.raises(Exception, match="DISCONNECTED"):  # not even the worker is left
        one.off().go("/morning")


def test_nine_answers_alike_are_flagged_and_not_called_a_lie(coach: Any, kept_world: KeptWorld) -> None:
    """"All ok, pain 0" nine days running, and somebody saw pink: the coach reads it offline, to look in person.
    Nothing of the athlete's is overwritten, and no reason is asked of them.
    """
    ask = (
        "own = CheckIn.objects.filter(athlete__code='k12').order_by('local_date')\n"
        "print(list(own.values_list('local_date', 'reserve', 'pull_pain', 'note')))"
    )
    before = kept_world.asks(ask)
    one = coach()
    one.off().offline_list()
    row = one.page.inner_text("#row-k12")
    assert "9 answers alike" in row and "pink" in row
    assert not any(word in row.lower() for word in ("lying", "lie ", "dishonest", "false"))
    one.on().go("/morning").sent()
    assert kept_world.asks(ask) == before
