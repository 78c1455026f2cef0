"""A week without a signal, in a real browser with its real worker, on a real server: check-ins, tries, damage with a
photo, a look and a step of care, on two devices, with a coach's edit between; then the signal comes back, and the first
answer to everything is lost on its way. What stands is what a plain fold by (number, device), written here anew, says;
nothing is lost and nothing doubled. Planted faults in what the phones run turn it red. Common practice, no source: what
has to work at a crag.
"""

from __future__ import annotations

import io
import json
import os
import random
from collections import Counter
from collections.abc import Callable, Iterator
from datetime import date, timedelta
from typing import Any

import pytest
from PIL import Image

from tests.journey.kept_world import FAULTS, KeptWorld, signed_in
from tests.journey.phone import COPY, NOW, SEND, Phone
from tests.unit.test_photo_cleaning import CANARY, exif, segment

pytestmark = pytest.mark.browser
KEPT = """async () => (await tenpads.queue.list()).map((one) => ({ kind: one.kind, seq: one.seq, device: one.device,
  body: { ...one.body, ...(one.body.photo ? { photo: one.body.photo.length } : {}) } }))"""
SCALES = ("reserve", "dampness", "pull_pain")
DAMAGE = {"site": "L-index-tip", "kind": "flapper", "stage": "open", "bled": "yes"}
PHOTO = {"name": "IMG_2041.JPG", "mimeType": "image/jpeg"}
ROUNDS = int(os.environ.get("TENPADS_ORDERS", "40"))
"""500 for the whole proof, some minutes; `test_deliveries_fold.py` has its own 500 each time."""
FAULTY = [f"w{n:02}" for n in range(3, 10)]
Entry = dict[str, Any]


@pytest.fixture
def phones(browser: Any, kept_world: KeptWorld) -> Iterator[Callable[..., Phone]]:
    made: list[Phone] = []

    def make(user: str, **options: Any) -> Phone:
        made.append(Phone(browser, kept_world, **options))
        return made[-1].sign_in(user)

    kept_world.travel(NOW)
    yield make
    assert [said for one in made for said in one.said] == []


def camera_file() -> bytes:
    """As large as a camera makes it, once cut: its noise leaves little to code away. Its metadata are canaries."""
    noise = random.Random(2041).randbytes(300 * 400 * 3)
    out = io.BytesIO()
    Image.frombytes("RGB", (400, 300), noise).resize((2400, 1800)).save(out, "JPEG", quality=90)
    planted = segment(0xE1, b"Exif\0\0" + exif(6)) + segment(0xFE, CANARY)
    return out.getvalue()[:2] + planted + out.getvalue()[2:]


def day(n: int) -> date:
    return (NOW + timedelta(days=n)).date()


def count(phone: Phone, tries: list[str], end: str = "") -> None:
    """Taps on the tally, counted at once on the page; each page of it is opened anew, as a killed tab would."""
    phone.copy("/me/tally")
    before = int(phone.page.inner_text(".tally-number"))
    for n, value in enumerate(tries, 1):
        phone.page.locator(f"button[value='try {value}']").click()
        assert phone.page.inner_text(".tally-number") == str(before + n)
    waits = phone.waiting
    for _ in range(100):
        if len([one for one in phone.page.evaluate(KEPT) if one["kind"] == "tap"]) >= before + len(tries):
            break
        phone.page.wait_for_timeout(50)
    if end == "back":
        phone.page.locator("button[value^='back ']").click()
        phone.until(f"() => document.querySelector('.tally-number').textContent === '{before + len(tries) - 1}'")
    elif end:
        phone.page.locator(f"button[value='{end}']").click()
        phone.page.wait_for_url("**/me/session")
    assert waits()


def note_damage(phone: Phone, **more: str) -> None:
    phone.copy("/me/damage").tick(**DAMAGE, **more)
    phone.page.set_input_files("input[name=photo]", {**PHOTO, "buffer": camera_file()})
    phone.page.wait_for_selector(".photo-crop:not([hidden])")
    phone.until("() => document.querySelector('input[name=photo]').files[0].name === 'photo.jpg'")
    phone.page.locator(SEND).click()
    phone.page.wait_for_url("**/me/infected" if "infected" in more else "**/me/hands")


def look(phone: Phone, code: str, **answers: str) -> None:
    phone.copy(f"/me/damage/{code}")
    phone.tick(**answers).page.locator(SEND).click()
    phone.page.wait_for_url("**/me/hands")


def step(phone: Phone, what: str) -> None:
    phone.copy("/me/today")
    phone.page.locator("form.step-told button", has_text=what).first.click()
    phone.until("() => !!document.querySelector('form.step-told .tick')")  # the page came anew, and says so
    phone.until(COPY)


def lose_first_answers(phone: Phone) -> list[str]:
    """Everything sent arrives; the first answer to each does not come back."""
    lost: list[str] = []

    def once(route: Any) -> None:
        key = route.request.headers.get("idempotency-key", "")
        if key in lost:
            return route.continue_()
        lost.append(key)
        route.fetch()
        return route.abort()

    phone.context.route("**/deliveries", once)
    return lost


def press_on(phone: Phone) -> None:
    """A page tries again ever more seldom; here as often as answers are lost."""
    for _ in range(60):
        phone.page.evaluate("async () => { await tenpads.sendNow().catch(() => {}); }")
        if not phone.page.evaluate("async () => (await tenpads.queue.list()).some((one) => one.state === 'waiting')"):
            return
    raise AssertionError(f"still waits: {phone.heard()}")


def told(world: KeptWorld, code: str) -> dict[str, Any]:
    """What stands of an athlete, and what arrived, as the database has it."""
    ask = f"""
from tests.journey.orders import standing
a, canary = Athlete.objects.get(code={code!r}), bytes.fromhex({CANARY.hex()!r})
photos = Photo.objects.filter(athlete=a)
print(json.dumps(standing(a) | {{
    "photos": [str(p.local_date) for p in photos], "clean": not any(canary in bytes(p.content) for p in photos),
}}))"""
    return dict(json.loads(world.asks(ask)))


def plainly(entries: list[Entry]) -> dict[str, Any]:
    """What must stand, by loops over the entries in their order and nothing else."""
    found: dict[str, Any] = {"checks": {}, "looks": {}, "taps": {}, "noted": set(), "photos": [], "care": {}}
    back: set[str] = set()
    for one in sorted(entries, key=lambda one: (one["seq"], one["device"] == "", one["device"])):
        body, kind = one["body"], one["kind"]
        on = body["local_date"]
        seen = body.get("looks", []) if kind == "check-in" else [body] if kind == "look" else []
        for each in seen:
            site = "R-middle-tip-crease" if each.get("episode_id", "").startswith("d-w") else "?"
            row = found["looks"].setdefault(f"{on} {site}", dict.fromkeys(("stage", "pain", "bled", "opens_on_pull")))
            row |= {name: value for name, value in each.items() if name in row and value is not None}
        if kind == "check-in":
            row = found["checks"].setdefault(on, {**dict.fromkeys(SCALES), "flags": []})
            row |= {name: body[name] for name in SCALES if body.get(name) is not None}
            row["flags"] = sorted({*row["flags"], *body.get("red_flags", [])})
        elif kind == "tap":
            (back.add(body["key"]) if body["back"] else found["taps"].setdefault(body["key"], (on, body)))
        elif kind == "damage":
            found["noted"].add((on, body["site"], body["kind"], "deep" if body.get("bled") else ""))
            found["looks"][f"{body['seen_on']} {body['site']}"] = {
                "stage": body["stage"], "pain": None, "bled": body.get("bled"), "opens_on_pull": None,
            }  # fmt: skip
            found["photos"] += [body["seen_on"]] if body.get("photo") else []
        elif kind == "step":
            found["care"][on, body["form"]] = body["status"]
    tries = [(on, key, tap["surface"]) for key, (on, tap) in found["taps"].items() if tap["what"] == "try"]
    return {
        "checks": found["checks"], "looks": found["looks"], "photos": found["photos"], "clean": True,
        "taps": sorted([on, key, surface] for on, key, surface in tries if key not in back),
        "noted": sorted(map(list, found["noted"])),
        "care": sorted([*at, status] for at, status in found["care"].items() if status != "none"),
        "log": sorted([one["seq"], one["device"], "check-in" if one["kind"] == "look" else one["kind"]]
                      for one in entries if one["device"]),
    }  # fmt: skip


def a_week(phones: Any, world: KeptWorld, code: str, short: bool = False) -> list[Entry]:
    """The whole of it, and what the phones had kept; `short` is enough for a planted fault to show."""
    phone, tablet = phones(code), phones(code)
    for one in (phone, tablet):
        one.off()
    days = range(1, 4 if short else 8)
    for n in days:
        phone.at(NOW + timedelta(days=n)).check_in(reserve=str(n % 5 * 2), dampness=str((n + 1) % 5 * 2))
    end = NOW + timedelta(days=days[-1])
    count(phone.at(NOW + timedelta(days=2)), ["plastic", "plastic", "wood"])
    count(phone, ["plastic", "plastic"], end="back")
    count(tablet.at(NOW + timedelta(days=2)), ["plastic", "wood"], end="end")
    tablet.check_in(reserve="10", **{f"stage-d-{code}": "open", f"pain-d-{code}": "6"})
    look(phone.at(NOW + timedelta(days=2)), f"d-{code}", stage="closing", opens="no")
    look(phone.at(NOW + timedelta(days=3)), f"d-{code}", stage="rimmed", bled="no")
    note_damage(phone)
    step(phone, "Done")
    kept = [*phone.page.evaluate(KEPT), *tablet.page.evaluate(KEPT)]
    made = {"check-in": len(days) + 1, "tap": 6 + 3, "look": 2, "damage": 1, "step": 1}
    assert Counter(one["kind"] for one in kept) == made  # by what the thumb did, not by what is there
    coach_says: list[Entry] = []
    if not short:
        kept_seq = max(one["seq"] for one in kept if one["kind"] == "check-in" and one in tablet.page.evaluate(KEPT))
        world.travel(NOW + timedelta(days=2, hours=1))
        tablet.on().sent()
        coach_says = [coach_edits(tablet, world, code, day(2), kept_seq)]
        tablet.off().at(NOW + timedelta(days=5)).check_in(reserve="0", pull_pain="4")
        kept += tablet.page.evaluate(KEPT)
        assert [one["kind"] for one in kept].count("check-in") == 9
    world.travel(end + timedelta(hours=2))
    lost = lose_first_answers(phone)
    press_on(phone.on().at(end + timedelta(hours=2)))
    tablet.on().at(end + timedelta(hours=2)).sent()
    found, must = told(world, code), plainly([*kept, *coach_says])
    assert {name: found[name] for name in must if found[name] != must[name]} == {
        name: value for name, value in must.items() if found[name] != value
    }  # fmt: skip
    assert len({(e["seq"], e["device"]) for e in kept}) == len(kept) == len(found["log"])
    assert len(found["taps"]) == 3 + 2 - 1 + 2
    assert len(lost) == len([one for one in kept if one["device"] not in tablet_devices(tablet)])
    return kept


def tablet_devices(tablet: Phone) -> list[str]:
    ask = "async () => [(await tenpads.queue.read('own:' + await tenpads.queue.read('who'))).device]"
    return list(tablet.page.evaluate(ask))


def coach_edits(tablet: Phone, world: KeptWorld, code: str, on: date, seen: int) -> Entry:
    """A coach's look at the same damage of the same day, after the tablet's had arrived; an entry behind it."""
    coach = Phone(tablet.context.browser, world)
    signed_in(coach.page, world.address, "coach1")
    said = {"local_date": str(on), "stage": "open", "pain": 2}
    status = coach.page.evaluate(
        """async ([code, look]) => {
          const told = await (await fetch('/contact')).json();
          const headers = { 'Content-Type': 'application/json', 'X-CSRFToken': told.csrf, 'Idempotency-Key': code };
          const address = `/api/v1/athletes/${code}/damage/d-${code}/looks`;
          return (await fetch(address, { method: 'POST', body: JSON.stringify(look), headers })).status;
        }""",
        [code, said],
    )
    assert status == 200  # it corrects the tablet's
    coach.context.close()
    looks = [{"episode_id": f"d-{code}", "stage": "open", "pain": 2}]
    return {"kind": "check-in", "seq": seen, "device": "", "body": {"local_date": str(on), "looks": looks}}


def test_a_week_on_two_devices_with_a_coachs_edit_between(phones: Any, kept_world: KeptWorld) -> None:
    kept = a_week(phones, kept_world, "w01")
    other = json.loads(json.dumps(kept).replace("d-w01", "d-w10"))
    for one in other:
        one["body"].pop("photo", None)  # is made anew each time it arrives; how often it counts is held above
    at = (NOW + timedelta(days=7, hours=2)).isoformat()
    ask = f"from tests.journey import orders; print(json.dumps(orders.run('w10', {other!r}, {ROUNDS}, {at!r})))"
    must = {name: value for name, value in plainly(other).items() if name not in ("photos", "clean")}
    assert json.loads(kept_world.asks(ask, patience_s=900)) == [must]


@pytest.mark.parametrize("fault", sorted(FAULTS))
def test_a_planted_fault_turns_it_red(phones: Any, kept_world: KeptWorld, fault: str) -> None:
    """What phones run, with one easy mistake in it."""
    kept_world.stop()
    kept_world.start(version="fault", fault=fault)
    try:
        with pytest.raises(AssertionError):
            a_week(phones, kept_world, FAULTY[sorted(FAULTS).index(fault)], short=True)
    finally:
        kept_world.stop()
        kept_world.start(version="right")


def test_without_a_fault_the_short_way_is_green(phones: Any, kept_world: KeptWorld) -> None:
    """Else the planted ones would prove nothing."""
    a_week(phones, kept_world, "w02", short=True)
