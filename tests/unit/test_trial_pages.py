"""An athlete's own trial from the question to the word, on the pages: draw, arms, misses, reaction, result, squad."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date, timedelta

import pytest
import time_machine
from django.db import DatabaseError, connection, transaction
from django.test import Client

from athletes.records import histories, own_rows, queries_trials
from athletes.records.errors import NotFound
from athletes.records.histories_care import FINGERS
from athletes.records.models import (
    Account,
    Athlete,
    Care,
    CheckIn,
    Damage,
    Entry,
    Event,
    Look,
    Signoff,
    Trial,
    TrialDay,
    TrialEnd,
    TrialPatch,
)  # fmt: skip
from coaching.usecases import trial_data, trial_days, trial_set_up
from coaching.usecases.sign_in import viewer
from coaching.usecases.trial_board import one_trial
from tests import stored

pytestmark = pytest.mark.django_db
DAY = stored.TODAY
SALT = {
    "form": "aluminium salt", "strength": "", "outcome": "dampness", "better": "lower", "way": "blocks", "pairs": "6",
    "first_day": DAY.isoformat(),
}  # fmt: skip


@pytest.fixture
def people() -> Iterator[dict[str, Account]]:
    with time_machine.travel(stored.NOW, tick=False):
        squad = stored.squad()
        rows = stored.athletes(["a1", "a2"], squad)
        minor = stored.athletes(["m1"], squad, stored.MINOR)
        stored.share(rows[:1])
        found = {"athlete": stored.login("athlete", squad, rows[:1]), "other": stored.login("athlete", squad, rows[1:])}
        found["guardian"] = stored.login("guardian", squad, minor)
        found["minor"] = stored.login("athlete", squad, minor)
        found["head-coach"] = stored.login("head-coach", squad)
        yield found


def client(who: Account) -> Client:
    found = Client()
    found.force_login(who)
    return found


def page(who: Account, address: str, status: int = 200) -> str:
    answer = client(who).get(address)
    assert answer.status_code == status
    return answer.content.decode()


def look(who: Account, **changes: str) -> str:
    return client(who).post("/me/trials/new", {**SALT, "do": "look", **changes}).content.decode()


def patched(code: str = "a1", form: str = "aluminium salt", reacted: bool = False) -> None:
    athlete = Athlete.objects.get(code=code)
    for ago in (4, 2):
        TrialPatch.objects.create(
            athlete=athlete, form=form, local_date=DAY - timedelta(days=ago), reacted=reacted, made_at=stored.NOW
        )


def begun(who: Account, **changes: str) -> Trial:
    patched(form=changes.get("form", SALT["form"]))
    answer = client(who).post("/me/trials/new", {**SALT, "do": "begin", **changes})
    assert answer.status_code == 302, answer.content.decode()
    return Trial.objects.get()


def lived(trial: Trial, effect: float, missed: int = 0) -> None:
    """Every day told: mornings of the truth, uses as drawn but for every `missed`th; days are passed as they come."""
    row = one_row(trial)
    blocks, order = trial_data.blocks_of(row), trial_data.order_of(row)
    frame = trial_data.due(blocks, order, 1)
    force = 0.0
    for at in range(blocks.days):
        day = trial.first_day + timedelta(days=at)
        damp = round(6 + effect * force + (1 if at % 3 == 0 else 0))
        if trial.hands:
            hurt = [round(6 + (effect if frame[k][max(at - 3, 0)] else 0)) for k in (0, 1)]
            TrialDay.objects.create(
                athlete_id=trial.athlete_id, trial=trial, local_date=day, left=hurt[0], right=hurt[1],
                made_at=stored.NOW, taken=True,
            )  # fmt: skip
            continue
        CheckIn.objects.update_or_create(
            athlete_id=trial.athlete_id, local_date=day, defaults={"dampness": damp, "reserve": 6}
        )
        due = bool(frame[0][at])
        taken = due and not (missed and at % missed == 0)
        if due:
            TrialDay.objects.create(
                athlete_id=trial.athlete_id, trial=trial, local_date=day, taken=taken, made_at=stored.NOW
            )
        force += (float(taken) - force) * (0.5 if taken else 0.3)


def one_row(trial: Trial) -> object:
    return next(row for row in queries_trials.of_athletes([trial.athlete_id]) if row.id == trial.pk)


def over(who: Account, trial: Trial) -> TrialEnd:
    with time_machine.travel(stored.NOW + timedelta(days=(trial.last_day - DAY).days + 1), tick=False):
        assert client(who).post(f"/me/trials/{trial.pk}", {"end": "over"}).status_code == 302
    return TrialEnd.objects.get()


def test_length_and_power_are_said_before_anything_begins(people: dict[str, Account]) -> None:
    html = look(people["athlete"])
    assert "6 pairs of blocks of 8 days" in html and "The first 3 days of a block are not counted" in html
    assert "14 weeks in all" in html and "Six pairs at the least" in html
    assert "Four such trials in five show an effect of about" in html and not Trial.objects.exists()
    halved = look(people["athlete"], way="hands")
    assert "6 blocks of 8 days" in halved and "7 weeks in all" in halved
    assert "Irritates about one user in three" in html


def test_something_new_needs_a_small_spot_looked_at_after_two_days(people: dict[str, Account]) -> None:
    assert "Try a small spot on the inner forearm first" in look(people["athlete"])
    client(people["athlete"]).post("/me/trials", {"form": "aluminium salt", "reacted": "no"})
    assert "has to be looked at two days after" in look(people["athlete"])
    with time_machine.travel(stored.NOW + timedelta(days=2), tick=False):
        client(people["athlete"]).post("/me/trials", {"form": "aluminium salt", "reacted": "no"})
        first = (DAY + timedelta(days=2)).isoformat()
        assert "Draw the order and begin" in look(people["athlete"], first_day=first)


def test_a_small_spot_that_reacted_bars_it(people: dict[str, Account]) -> None:
    patched(reacted=True)
    assert "The small spot reacted" in look(people["athlete"])
    answer = client(people["athlete"]).post("/me/trials/new", {**SALT, "do": "begin"})
    assert answer.status_code == 422 and not Trial.objects.exists()


def refusals() -> list[tuple[str, object, str]]:
    return [
        ("allergy", told(sensitivities=["aluminium"]), "names an allergy"),
        ("doctor", told(contraindications=["other"]), "A doctor has to say"),
        ("dry skin", told(skin_kind="dry"), "dry or glassy already"),
        ("open skin", open_skin, "Skin is open"),
        ("reacted", reacted_before, "an earlier reaction"),
        ("event", near_event, "may begin on"),
    ]


def told(**values: object) -> Callable[[Athlete], object]:
    return lambda athlete: Athlete.objects.filter(pk=athlete.pk).update(**values)


def open_skin(athlete: Athlete) -> None:
    row = Damage.objects.create(athlete=athlete, code="d1", site="L-ring-tip", kind="split", noticed_on=DAY)
    Look.objects.create(damage=row, local_date=DAY, stage="open")


def reacted_before(athlete: Athlete) -> None:
    Care.objects.create(
        athlete=athlete, local_date=DAY - timedelta(days=30), status="done", verb="dry", form="aluminium salt",
        reaction="stopped",
    )  # fmt: skip


def near_event(athlete: Athlete, days: int = 9) -> None:
    first = DAY + timedelta(days=days)
    row = Event.objects.create(
        code="cup", name="Cup", kind="competition", first_day=first, last_day=first, timezone="UTC"
    )
    Entry.objects.create(event=row, athlete=athlete)


@pytest.mark.parametrize(("what", "do", "said"), refusals(), ids=[row[0] for row in refusals()])
def test_hard_stops_and_pauses_hold(people: dict[str, Account], what: str, do, said: str) -> None:
    patched()
    assert "Draw the order and begin" in look(people["athlete"])
    do(Athlete.objects.get(code="a1"))
    html = look(people["athlete"])
    assert said in html and "Draw the order and begin" not in html
    assert client(people["athlete"]).post("/me/trials/new", {**SALT, "do": "begin"}).status_code == 422


def test_a_minor_needs_both_sign_offs(people: dict[str, Account]) -> None:
    patched("m1")
    assert "sign-off of a guardian and of a medical person" in look(people["minor"])
    athlete = Athlete.objects.get(code="m1")
    for by in ("guardian", "medical"):
        Signoff.objects.create(athlete=athlete, form="aluminium salt", by=by, given_on=DAY)
    assert "Draw the order and begin" in look(people["minor"])


def test_pairs_that_would_meet_an_event_come_after_it(people: dict[str, Account]) -> None:
    patched()
    near_event(Athlete.objects.get(code="a1"), 30)
    assert "Pairs that would meet an event come after it" in look(people["athlete"])
    trial = begun(people["athlete"])
    event = Event.objects.get()
    for start in trial.starts:
        first = trial.first_day + timedelta(days=start)
        assert first + timedelta(days=8) < event.first_day - timedelta(days=6) or first > event.last_day


def test_one_change_at_a_time(people: dict[str, Account]) -> None:
    begun(people["athlete"])
    assert "Another trial is running" in look(people["athlete"])
    assert client(people["athlete"]).post("/me/trials/new", {**SALT, "do": "begin"}).status_code == 422


@pytest.mark.parametrize(
    "changes",
    [{"way": "hands", "outcome": "limited"}, {"way": "hidden", "form": "sand", "outcome": "loss"}, {"pairs": "5"},
     {"form": "iontophoresis"}, {"outcome": "loss"}],
)  # fmt: skip
def test_what_is_no_question_is_refused(people: dict[str, Account], changes: dict[str, str]) -> None:
    assert client(people["athlete"]).post("/me/trials/new", {**SALT, "do": "look", **changes}).status_code == 422


def test_the_days_list_tells_the_arm_and_the_use_becomes_care(people: dict[str, Account]) -> None:
    trial = begun(people["athlete"])
    first = bool(trial_data.order_of(one_row(trial))[0])
    html = page(people["athlete"], f"/me/trials/{trial.pk}")
    assert ("With aluminium salt today" in html) == first and ("Without aluminium salt today" in html) == (not first)
    today = page(people["athlete"], "/me/today")
    assert ("With aluminium salt today" if first else "Without aluminium salt today") in today
    client(people["athlete"]).post(f"/me/trials/{trial.pk}", {"day": DAY.isoformat(), "taken": "yes"})
    assert Care.objects.filter(form="aluminium salt", status="done").count() == int(first)
    assert TrialDay.objects.get().taken is True


def test_a_caution_holds_in_either_arm(people: dict[str, Account]) -> None:
    trial = begun(people["athlete"], way="hidden", outcome="dampness")
    open_skin(Athlete.objects.get(code="a1"))
    html = page(people["athlete"], f"/me/trials/{trial.pk}")
    assert "Not today: skin is open, thin or pink" in html
    client(people["athlete"]).post(f"/me/trials/{trial.pk}", {"day": DAY.isoformat(), "taken": "yes"})
    assert not TrialDay.objects.exists()
    with time_machine.travel(stored.NOW + timedelta(days=8), tick=False):  # the other arm of the pair
        assert "Not today" in page(people["athlete"], f"/me/trials/{trial.pk}")


def test_a_hidden_order_is_told_to_nobody_but_the_one_who_fills_bottles(people: dict[str, Account]) -> None:
    trial = begun(people["athlete"], way="hidden")
    html = page(people["athlete"], f"/me/trials/{trial.pk}")
    assert "Use bottle 1 this evening" in html and "With aluminium" not in html and "Without aluminium" not in html
    told = str(own_rows.own_rows(trial.athlete_id))
    assert str(trial.seed) not in told and "seed" not in told
    address = f"/athletes/a1/trials/{trial.pk}/bottles"
    order = trial_data.order_of(one_row(trial))
    html = page(people["head-coach"], address)
    assert html.count("<td>aluminium salt</td>") == 6 and html.count("<td>water</td>") == 6
    first = "aluminium salt" if order[0] else "water"
    assert f'<th scope="row">1</th><td>{first}</td>' in html
    for who in ("athlete", "other", "guardian"):
        page(people[who], address, 404)
    stored.withdraw(data_class="checkins")
    page(people["head-coach"], address, 404)


def test_in_a_hidden_trial_a_use_becomes_care_once_it_is_opened(people: dict[str, Account]) -> None:
    trial = begun(people["athlete"], way="hidden")
    lived(trial, -2.0)
    assert not Care.objects.exists()
    over(people["athlete"], trial)
    assert Care.objects.filter(status="done").count() == 48  # six blocks of eight evenings


def test_what_works_is_said_with_its_interval_and_every_answer(people: dict[str, Account]) -> None:
    trial = begun(people["athlete"])
    lived(trial, -3.0, missed=5)
    assert "What came" not in page(people["athlete"], f"/me/trials/{trial.pk}")
    end = over(people["athlete"], trial)
    assert end.verdict == "works" and end.result["pairs"] == 6 and 0.6 < end.result["taken_frac"] < 0.95
    assert end.result["p"] == 0.03125 and end.result["low"] <= end.result["effect"] <= end.result["high"] < 0
    html = page(people["athlete"], f"/me/trials/{trial.pk}")
    assert "Works for me." in html and html.count('class="dot-usual"') >= 30 and "The same as a table" in html
    assert "chance alone would show as much in 3.1 of 100" in html and "6 whole pairs" in html
    assert "day by day as they came" in html and end.result["evidence"] is None
    board = page(people["athlete"], "/me/trials")
    assert "Aluminium salt, dampness: works for me" in board
    squad = page(people["head-coach"], "/trials")
    assert "works for them" in squad and "Athlete a1" in squad


def test_one_hand_against_the_other_is_read_from_both_hands(people: dict[str, Account]) -> None:
    trial = begun(people["athlete"], way="hands")
    html = page(people["athlete"], f"/me/trials/{trial.pk}")
    assert "hand only" in html
    lived(trial, -3.0)
    end = over(people["athlete"], trial)
    assert end.verdict == "works" and end.result["effect"] < -2


def test_hands_are_an_answer_to_the_model_from_their_day_on_and_blocks_are_not(people: dict[str, Account]) -> None:
    trial = begun(people["athlete"], way="hands")
    client(people["athlete"]).post(f"/me/trials/{trial.pk}", {"day": DAY.isoformat(), "taken": "yes"})
    tips = set(Care.objects.get(athlete_id=trial.athlete_id).sites)
    assert tips in ({f"{hand}-{digit}-tip" for digit in FINGERS} for hand in "LR")
    lived(trial, -3.0)
    end = over(people["athlete"], trial)
    said = end.result["evidence"]
    assert (said["rule"], said["ingredient"]) == ("hands-1", "aluminium")
    assert said["effect_pt"] > 2 and said["sd_pt"] > 0
    (told,) = histories.facts([trial.athlete_id], end.local_date)[trial.athlete_id].tried
    assert (told.day, told.form, told.verdict) == (end.local_date, "aluminium salt", "works")
    assert (told.effect_pt, told.sd_pt) == (said["effect_pt"], said["sd_pt"])
    before = histories.facts([trial.athlete_id], end.local_date - timedelta(days=1))[trial.athlete_id]
    assert before.tried == ()
    html = page(people["athlete"], f"/me/trials/{trial.pk}")
    assert "Your forecasts go by it from" in html and "in 100 of what they hold" in html


def test_stopped_early_it_is_recorded_and_too_few_pairs_tell_nothing(people: dict[str, Account]) -> None:
    trial = begun(people["athlete"])
    lived(trial, -3.0)
    later = stored.NOW + timedelta(days=40)
    with time_machine.travel(later, tick=False):
        CheckIn.objects.filter(local_date__gt=later.date()).delete()
        assert client(people["athlete"]).post(f"/me/trials/{trial.pk}", {"end": "over"}).status_code == 302
        assert not TrialEnd.objects.exists()  # not over yet
        client(people["athlete"]).post(f"/me/trials/{trial.pk}", {"end": "stopped", "note": "travelled"})
    end = TrialEnd.objects.get()
    assert (end.why, end.verdict, end.note, end.result["pairs"], end.result["more"]) == (
        "stopped", "cannot-tell", "travelled", 2, 4,
    )  # fmt: skip
    html = page(people["athlete"], f"/me/trials/{trial.pk}")
    assert "Cannot tell yet." in html and "4 more pairs would make a word possible" in html
    assert "significant" not in html


def test_a_reaction_ends_it_leads_to_care_and_bars_the_form(people: dict[str, Account]) -> None:
    trial = begun(people["athlete"])
    client(people["athlete"]).post(f"/me/trials/{trial.pk}", {"end": "reaction"})
    end = TrialEnd.objects.get()
    assert (end.why, end.verdict) == ("reaction", "reaction")
    html = page(people["athlete"], f"/me/trials/{trial.pk}")
    assert "Skin reacted. Do not use it again before a doctor or pharmacist has looked" in html
    assert "an earlier reaction" in look(people["athlete"])
    client(people["athlete"]).post(f"/me/trials/{trial.pk}", {"day": DAY.isoformat(), "taken": "yes"})
    assert not TrialDay.objects.exists()  # it has ended


def test_a_trial_is_its_athletes_and_what_is_shared_is_shared_by_their_word(people: dict[str, Account]) -> None:
    trial = begun(people["athlete"])
    for who in ("other", "guardian", "minor"):
        page(people[who], f"/me/trials/{trial.pk}", 404)
        assert client(people[who]).post(f"/me/trials/{trial.pk}", {"end": "stopped"}).status_code == 404
    page(people["head-coach"], f"/me/trials/{trial.pk}", 404)
    assert "Athlete a1" in page(people["head-coach"], "/trials")
    stored.withdraw(data_class="checkins")
    assert "Athlete a1" not in page(people["head-coach"], "/trials")
    page(people["athlete"], "/trials", 404)


def test_rows_of_trials_are_only_added(people: dict[str, Account]) -> None:
    trial = begun(people["athlete"])
    for statement in ("UPDATE records_trial SET seed = 1", "DELETE FROM records_trial"):
        with pytest.raises(DatabaseError), transaction.atomic(), connection.cursor() as cursor:
            cursor.execute(statement)
    assert Trial.objects.get().seed == trial.seed


def test_a_day_is_told_of_within_three_days_and_the_last_word_counts(people: dict[str, Account]) -> None:
    trial = begun(people["athlete"])
    with time_machine.travel(stored.NOW + timedelta(days=4), tick=False):
        for ago, stored_days in ((4, 0), (3, 1), (-1, 1)):
            day = DAY + timedelta(days=4 - ago)
            client(people["athlete"]).post(f"/me/trials/{trial.pk}", {"day": day.isoformat(), "taken": "yes"})
            assert TrialDay.objects.count() == stored_days
        day = (DAY + timedelta(days=1)).isoformat()
        client(people["athlete"]).post(f"/me/trials/{trial.pk}", {"day": day, "taken": "no"})
        shown = one_trial(viewer(people["athlete"]), None, trial.pk)
        told = {arm.day: arm.told.taken for arm in shown.lately}
        assert told.get(date.fromisoformat(day), False) is False and TrialDay.objects.count() == 2


def test_one_cannot_tell_of_somebody_elses_trial(people: dict[str, Account]) -> None:
    trial = begun(people["athlete"])
    with pytest.raises(NotFound):
        trial_days.end(viewer(people["other"]), None, trial.pk, "stopped")
    with pytest.raises(NotFound):
        trial_set_up.tell_patch(viewer(people["head-coach"]), None, "sand", False)
