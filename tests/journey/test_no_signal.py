"""An athlete without a signal, in a real browser with its real worker, on a real server: only the network is cut. The
phone's clock and zone are set by the browser, the server's by its world. Common practice, no source: what has to work
at a crag.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from tests.journey.kept_world import KeptWorld, signed_in
from tests.journey.phone import COPY, NOW, SEND, Phone, holds

pytestmark = pytest.mark.browser
@pytest.fixture
def phone(browser: Any, kept_world: KeptWorld) -> Iterator[Callable[..., Phone]]:
    made: list[Phone] = []

    def make(user: str, **options: Any) -> Phone:
        made.append(Phone(browser, kept_world, **options))
        return made[-1].sign_in(user)

    kept_world.travel(NOW)
    yield make
    assert [said for one in made for said in one.said] == []  # no script failed, and the policy held


def rows(world: KeptWorld, code: str) -> dict[str, Any]:
    """Check-ins of an athlete by day, and what arrived, as the database has them."""
    ask = (
        f"c = CheckIn.objects.filter(athlete__code='{code}').order_by('local_date')\n"
        f"d = Delivery.objects.filter(athlete__code='{code}')\n"
        "said = lambda r: [r.reserve, r.dampness, r.note, r.red_flags, r.marks]\n"
        "print(json.dumps({'days': {str(r.local_date): said(r) for r in c},"
        " 'log': sorted([e.seq, e.device, e.timezone, str(e.said_at), e.body] for e in d)}, default=str))"
    )
    return dict(json.loads(world.asks(ask)))


def test_a_week_of_check_ins_goes_once_there_is_a_signal(phone: Any, kept_world: KeptWorld) -> None:
    one = phone("k01")
    one.go("/me/check-in").tick(marks="L-index-tip=pink", reserve="8").page.locator(SEND).click()
    one.page.wait_for_url("**/me/today")
    one.until(holds("/me/check-in", "Already sent"))
    one.off()
    for n in range(1, 8):
        one.at(NOW + timedelta(days=n)).copy("/me/check-in")
        day = NOW + timedelta(days=n)
        assert one.page.inner_text("form.checkin h1").startswith(day.strftime("%A")), "the day on the screen is the day"
        assert "Already sent" not in one.page.content()
        assert one.page.locator("input[name=marks]:checked").count() == 0  # of the day of the copy: never sent unseen
        one.answer(reserve=str(n % 5 * 2), dampness="4")
        assert f"{n} answer" in one.heard() and "hours ago" in one.heard() or "days ago" in one.heard()
    one.copy("/me/session")
    one.page.evaluate("() => { document.querySelector('#minutes').value = '75' }")
    one.answer(skin_limited="no")
    kept_world.travel(NOW + timedelta(days=7, minutes=2))
    one.on().sent()
    found = rows(kept_world, "k01")
    days = [str((NOW + timedelta(days=n)).date()) for n in range(8)]
    assert list(found["days"]) == days
    assert [row[0] for row in found["days"].values()] == [8, *[n % 5 * 2 for n in range(1, 8)]]
    assert [e[0] for e in found["log"]] == list(range(1, 9))  # each once, none lost
    assert all(row[4] == [] for row in list(found["days"].values())[1:])
    session = "s = Session.objects.get(athlete__code='k01', planned=False); print(s.local_date, s.minutes)"
    assert kept_world.asks(session) == f"{days[7]} 75.0"


def test_two_devices_and_a_coachs_edit_between_lose_nothing(phone: Any, kept_world: KeptWorld) -> None:
    first, second, coach = phone("k02"), phone("k02"), Phone(first_browser(phone), kept_world)
    signed_in(coach.page, kept_world.address, "coach1")
    first.off()
    second.off()
    first.check_in(reserve="8", **{"stage-d-k02": "open", "pain-d-k02": "6"})
    second.check_in(reserve="2", agent_used="yes")
    second.check_in(dampness="10", reserve="4")
    look = {"local_date": "2027-03-11", "stage": "closing"}
    second.on().sent()
    own = "async () => (await tenpads.queue.read('own:' + await tenpads.queue.read('who'))).seq"
    second_seen = second.page.evaluate(own)
    edited = coach.page.evaluate(
        """async (look) => { const told = await (await fetch('/contact')).json(); return (await
        fetch('/api/v1/athletes/k02/damage/d-k02/looks', { method: 'POST', body: JSON.stringify(look), headers: {
        'Content-Type': 'application/json', 'Idempotency-Key': 'a-look', 'X-CSRFToken': told.csrf } })).status; }
        """,
        look,
    )
    first.on().sent()
    assert (edited, second_seen) == (201, 2)
    found = rows(kept_world, "k02")
    assert found["days"]["2027-03-11"][:2] == [4, 10]  # the tablet's second comes last; the phone's is in the log
    assert sorted(e[4].get("reserve") for e in found["log"] if e[1]) == [2, 4, 8]
    seen = kept_world.asks("l = Look.objects.get(damage__code='d-k02'); print(l.stage, l.pain)")
    assert seen == "closing 6"  # the coach's stage, the athlete's pain
    assert kept_world.asks("print(CheckIn.objects.get(athlete__code='k02').agent_used)") == "True"


def first_browser(phone: Any) -> Any:
    """The browser that the phones are opened in."""
    return phone.__closure__[[*phone.__code__.co_freevars].index("browser")].cell_contents


FILL = """async () => {
  const base = await new Promise((done) => { const open = indexedDB.open("filler");
    open.onupgradeneeded = () => open.result.createObjectStore("f", { autoIncrement: true });
    open.onsuccess = () => done(open.result); });
  const put = (bytes) => new Promise((done) => { const t = base.transaction("f", "readwrite");
    t.objectStore("f").add(crypto.getRandomValues(new Uint8Array(bytes)));
    t.oncomplete = () => done(true); t.onabort = () => done(false); });
  let left = 4000;
  for (let bytes = 65536; bytes >= 32; bytes = Math.floor(bytes / 2)) while (left-- > 0 && await put(bytes));
  base.close();
  return left;
}"""


def test_a_full_device_says_so_and_keeps_what_was_typed(phone: Any, kept_world: KeptWorld) -> None:
    one = phone("k03", quota=6_000_000).off()
    one.copy("/me/check-in")
    assert one.page.evaluate(FILL) > 0  # filled to the brim by something else on the device
    one.page.evaluate("() => document.querySelector('details:has(#note)').open = true")
    one.page.fill("#note", "hard to hold " * 20)
    one.tick(reserve="6").page.locator(SEND).click()
    one.until("() => document.querySelector('#offline-said').innerText.includes('no room left')")
    assert one.page.url.endswith("/me/check-in") and one.waiting() == 0
    assert one.page.input_value("#note").startswith("hard to hold")
    assert one.page.locator("input[name=reserve][value='6']").is_checked()
    one.page.evaluate("() => new Promise((done) => { indexedDB.deleteDatabase('filler').onsuccess = done; })")
    one.limit(0)
    one.page.locator(SEND).click()
    one.page.wait_for_url("**/me/today")
    one.on().sent()
    assert rows(kept_world, "k03")["days"]["2027-03-11"][0] == 6


def test_a_killed_tab_loses_nothing_and_nothing_is_doubled(phone: Any, kept_world: KeptWorld) -> None:
    one = phone("k04", clock=None).off()
    one.check_in(reserve="6")
    one.page.close()
    one.on()
    one.page = one.context.new_page()
    one.listen()
    one.go("/me/today").sent()
    found = rows(kept_world, "k04")
    assert (found["days"]["2027-03-11"][0], len(found["log"])) == (6, 1)


def test_a_new_worker_takes_over_while_answers_wait(phone: Any, kept_world: KeptWorld) -> None:
    one = phone("k05").off()
    one.check_in(reserve="4")
    before = one.page.evaluate("async () => (await caches.keys()).filter((name) => name.startsWith('shell-'))")
    kept_world.stop()
    kept_world.start(version="zz")
    one.on().go("/me/today").until(
        "async () => { const all = (await caches.keys()).filter((name) => name.startsWith('shell-'));"
        " return all.length === 1 && all[0].startsWith('shell-zz'); }"
    )
    one.sent()
    assert len(before) == 1 and not before[0].startswith("shell-zz")
    assert rows(kept_world, "k05")["days"]["2027-03-11"][0] == 4
    one.off().copy("/me/today")  # the new worker opens what the old one had kept


def test_the_night_in_which_the_clock_jumps(phone: Any, kept_world: KeptWorld) -> None:
    """28 March 2027: at 02:00 in Vienna it is 03:00 (last Sunday of March, EU directive 2000/84/EC)."""
    evening = datetime(2027, 3, 27, 22, 50, tzinfo=UTC)  # 23:50 there
    kept_world.travel(evening)
    one = phone("k06", clock=evening).off()
    one.check_in(reserve="8")
    one.at(evening + timedelta(minutes=20)).check_in(reserve="6")  # 00:10 of the 28th
    one.at(evening + timedelta(hours=2, minutes=20)).check_in(dampness="2")  # 03:10, an hour after 01:10
    kept_world.travel(evening + timedelta(hours=3))
    one.on().sent()
    found = rows(kept_world, "k06")
    assert {day: row[:2] for day, row in found["days"].items()} == {"2027-03-27": [8, None], "2027-03-28": [6, 2]}
    assert [e[3] for e in found["log"]] == [
        "2027-03-27 22:50:00+00:00", "2027-03-27 23:10:00+00:00", "2027-03-28 01:10:00+00:00",
    ]  # fmt: skip


def test_a_zone_that_changes_in_flight(phone: Any, kept_world: KeptWorld) -> None:
    """From Vienna over the date line to Auckland (UTC+13 in March), where the day of an athlete at home has not begun,
    and back again.
    """
    one = phone("k07", zone="").off()
    tools = one.context.new_cdp_session(one.page)
    tools.send("Emulation.setTimezoneOverride", {"timezoneId": "Europe/Vienna"})
    one.check_in(reserve="8")
    landed = NOW + timedelta(hours=4)  # 14:00 in Vienna, 02:00 of the twelfth in Auckland
    tools.send("Emulation.setTimezoneOverride", {"timezoneId": "Pacific/Auckland"})
    one.at(landed).check_in(reserve="4")
    kept_world.travel(landed)
    one.on().sent()
    tools.send("Emulation.setTimezoneOverride", {"timezoneId": "America/Los_Angeles"})
    one.off().at(landed + timedelta(hours=1)).check_in(dampness="6")  # 06:00 of the eleventh, once more
    one.on().sent()
    found = rows(kept_world, "k07")
    assert {day: row[:2] for day, row in found["days"].items()} == {"2027-03-11": [8, 6], "2027-03-12": [4, None]}
    assert [e[2] for e in found["log"]] == ["Europe/Vienna", "Pacific/Auckland", "America/Los_Angeles"]


LEFT = """async () => ({
  caches: (await caches.keys()).filter((name) => name.startsWith("kept-")),
  meta: await new Promise((done) => { const open = indexedDB.open("tenpads");
    open.onsuccess = () => { if (![...open.result.objectStoreNames].includes("meta")) return done([]);
      const all = open.result.transaction("meta").objectStore("meta").getAllKeys();
      all.onsuccess = () => done(all.result.filter((key) => key !== "clock")); }; }),
  entries: (await tenpads.queue.list()).length,
})"""
NOTHING = {"caches": [], "meta": [], "entries": 0}


def test_signing_out_takes_everything_and_somebody_else_finds_nothing(phone: Any, kept_world: KeptWorld) -> None:
    one = phone("k08").off()
    one.check_in(reserve="6")
    one.page.evaluate("async () => tenpads.queue.put('check-in', 'k08', { local_date: '2027-03-11', reserve: 99 })")
    one.on().sent()
    one.go("/login")
    one.page.get_by_role("button", name="Sign out").click()
    one.until("() => document.querySelector('#offline-said').innerText.includes('not sent yet')")  # the one refused
    assert one.waiting() == 1 and one.page.url.endswith("/login")
    one.page.get_by_role("button", name="Sign out and lose them").click()
    one.page.wait_for_selector("input[name=password]")
    one.until("() => !!window.tenpads && tenpads.started.then(() => true)")
    assert one.page.evaluate(LEFT) == NOTHING
    assert kept_world.asks("print(ApiToken.objects.filter(account__username='k08', revoked_at=None).count())") == "0"
    assert rows(kept_world, "k08")["days"]["2027-03-11"][0] == 6

    one.sign_in("k08")
    kept_before = one.page.evaluate("async () => (await tenpads.queue.read('who'))")
    one.context.clear_cookies()  # the session ended elsewhere; nobody pressed anything here
    one.sign_in("k09")
    left = one.page.evaluate(LEFT)
    assert left["caches"] == [f"kept-{one.page.evaluate('() => tenpads.queue.read(String(`who`))')}"]
    assert not any(kept_before in str(part) for part in (left["caches"], left["meta"]))
    one.off().copy("/me/today")
    assert "k08" not in one.page.content()


def test_asking_to_be_erased_takes_the_copies_and_no_more_are_made(phone: Any, kept_world: KeptWorld) -> None:
    one = phone("k09")
    one.go("/me/erase").page.locator("button[value=erase]").click()
    one.until(
        "async () => window.tenpads && tenpads.started.then("
        " async () => (await caches.keys()).every((name) => !name.startsWith('kept-')))"
    )
    one.off().go("/me/today")
    assert "not kept on this device" in one.page.content()
    one.on().go("/me/erase").page.locator("form button[name=do]").first.click()


def test_a_clock_that_is_wrong_by_a_day(phone: Any, kept_world: KeptWorld) -> None:
    """Ahead by a day all along: put right by what the server says. Set ahead or back without a signal: refused or
    asked about, kept, and put right by the person.
    """
    one = phone("k10", clock=NOW + timedelta(days=1)).off()
    one.check_in(reserve="8")
    one.at(NOW - timedelta(days=2)).copy("/me/check-in")
    assert "clock of this device cannot be right" in one.heard()
    one.at(NOW + timedelta(days=3)).check_in(dampness="6")  # two days on, says the clock, and nothing contradicts it
    one.on().sent()
    assert "is still to come" in one.heard() and "kept here until you say" in one.heard()
    assert list(rows(kept_world, "k10")["days"]) == ["2027-03-11"] and one.waiting() == 1
    one.page.evaluate("() => { document.querySelector('#offline-said input[type=date]').value = '2027-03-10' }")
    one.page.get_by_role("button", name="It was for this day").click()
    one.until("async () => (await tenpads.queue.list()).length === 0")
    found = {day: row[:2] for day, row in rows(kept_world, "k10")["days"].items()}
    assert found == {"2027-03-10": [None, 6], "2027-03-11": [8, None]}


def test_an_infection_on_a_trip_without_a_signal(phone: Any, kept_world: KeptWorld) -> None:
    """Four days out, two hours from the road: the card opens in one tap with the clinic's number, outranks everything,
    and proposes no tape, no glue and no sanding. The signs go as soon as there is a signal.
    """
    one = phone("k11")
    one.go("/me/infected").page.locator("summary").click()
    one.page.locator("input[name=name]").first.fill("Clinic in the valley")
    one.page.locator("input[name=number]").first.fill("+34 900 000 000")
    one.page.get_by_role("button", name="Write down").click()
    one.page.wait_for_selector("a[href='tel:+34900000000']")
    one.until(holds("/me/infected", "34900000000"))
    one.off().at(NOW + timedelta(days=4)).copy("/me/check-in")
    one.page.locator("input[name=infected][value=yes]").check(force=True)
    one.page.get_by_role("link", name="What to do, and whom to call").click()
    one.until(COPY)
    said = one.page.inner_text("main")
    assert all(one.page.locator(f"a[href='tel:{number}']").is_visible() for number in ("+34900000000", "112"))
    for must in (
        "redness past a joint", "Emergency department now", "A doctor today", "Off climbing",
        "No tape under load, no glue, no filing", "guardian",
    ):  # fmt: skip
        assert must in said
    assert "Done" not in said  # nothing to tick off, nothing planned
    one.check_in(infected="yes")
    one.copy("/me/check-in").answer(infected="yes", red_flags="redness-past-joint")
    kept_world.travel(NOW + timedelta(days=4, hours=2))
    one.on().sent()
    day = rows(kept_world, "k11")["days"]["2027-03-15"]
    assert day[3] == ["redness-past-joint"] and "infected" in day[2]
