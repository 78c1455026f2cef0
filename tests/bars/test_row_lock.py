"""The second lock: with the first one forgotten, PostgreSQL itself gives nobody's rows of health.

The role of these tests is what the program's should be, no superuser and not exempt from policies: PostgreSQL's manual,
5.9 Row Security Policies, says that superusers and roles with BYPASSRLS are not held, owners only where it is forced.
It owns the tables, as the role of `docker-compose.yml` does. Planted bugs: a filter that is forgotten, a setting that
outlives its transaction, a table that nobody guards.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import psycopg
import pytest
import time_machine
from django.apps import apps
from django.db import ProgrammingError, connection, transaction
from django.db.models import (
    AutoField,
    BinaryField,
    BooleanField,
    CharField,
    DateField,
    DateTimeField,
    FloatField,
    ForeignKey,
    IntegerField,
    JSONField,
    Model,
    TextField,
)
from django.http import Http404, HttpRequest, JsonResponse
from django.test import Client, override_settings
from django.urls import path

from athletes.records import access, checks, register, row_lock, row_scope
from athletes.records.models import Athlete, Away, CheckIn, Look, Session
from athletes.records.row_scope import Scope
from coaching.config import reads as config_reads
from coaching.config import urls
from tests import databases, stored
from tests.bars import canary, test_matrix
from tests.bars import world as worlds

APART = ("contact", "me/export", "me/who-looked", "api/v1/schema", "readyz")
"""Addresses whose answers hold what the asking itself changes."""
UNCHECKED = """
DO $$ DECLARE one record; BEGIN
  FOR one IN SELECT conname, conrelid::regclass AS relation FROM pg_constraint WHERE contype = 'c' AND conrelid <> 0
    AND connamespace = 'public'::regnamespace
  LOOP EXECUTE format('ALTER TABLE %s DROP CONSTRAINT %I', one.relation, one.conname); END LOOP;
END $$"""


@pytest.fixture(scope="module")
def role(django_db_blocker: Any) -> Iterator[str]:
    with django_db_blocker.unblock(), databases.as_role() as name:
        with connection.cursor() as cursor:
            cursor.execute(UNCHECKED)  # what a table takes is no matter here, so that a new one is filled by itself
        yield name


@pytest.fixture
def world(role: str) -> Iterator[worlds.World]:
    """Two clubs with facts in every table, written over again for each test."""
    with time_machine.travel(stored.NOW, tick=False), transaction.atomic():
        yield worlds.build()
        transaction.set_rollback(True)


@pytest.fixture
def filled(world: worlds.World) -> tuple[Athlete, Athlete]:
    """Two athletes with a row in every guarded table."""
    one, other = (canary.athlete(n, stored.squad(f"c{n}")) for n in (1, 2))
    models = {model._meta.db_table: model for model in apps.get_models()}
    for table in sorted(set(row_lock.guarded()) - set(row_lock.THROUGH)):
        for athlete in (one, other):
            if not models[table]._base_manager.filter(athlete_id=athlete.pk).exists():
                _plain_row(models[table], athlete).save(force_insert=True)
    return one, other


def _plain_row(model: type[Model], athlete: Athlete) -> Model:
    """A row of a table that no other test fills: of the athlete, and of the plainest values otherwise."""
    row = model()
    for field in model._meta.concrete_fields:
        if field.attname == "athlete_id":
            row.athlete_id = athlete.pk  # type: ignore[attr-defined]
        elif not field.null and not field.has_default() and not isinstance(field, AutoField):
            if isinstance(field, ForeignKey):
                rows = field.related_model.objects.all()
                named = {one.attname for one in field.related_model._meta.concrete_fields}
                rows = rows.filter(athlete_id=athlete.pk) if "athlete_id" in named else rows
                value = rows.values_list("pk", flat=True).first()
            elif field.choices:
                value = field.choices[0][0]
            else:
                value = next(v for kind, v in PLAIN.items() if isinstance(field, kind))
                value = f"{value}{athlete.pk}" if isinstance(value, str) else value
            setattr(row, field.attname, value)
    return row


PLAIN: dict[Any, Any] = {
    DateTimeField: stored.NOW, DateField: stored.TODAY, BinaryField: b"", BooleanField: False, FloatField: 0.5,
    IntegerField: 1, JSONField: {}, CharField: "a", TextField: "a",
}  # fmt: skip


def counted(scope: Scope | None, athlete: Athlete | None = None) -> dict[str, int]:
    """Rows that a statement without any filter finds in each guarded table, or those of one athlete."""
    found = {}
    for table in row_lock.guarded():
        where = "" if athlete is None else f" WHERE {_leads(table)} = {athlete.pk}"
        with _of(scope), connection.cursor() as cursor:
            cursor.execute(f"SELECT count(*) FROM {table} AS t{where}")  # noqa: S608 - names of the register
            found[table] = cursor.fetchone()[0]
    return found


def _of(scope: Scope | None) -> Any:
    return row_scope.of(scope)  # type: ignore[arg-type]  # None is what a thread begins with


def _leads(table: str) -> str:
    through = "(SELECT d.athlete_id FROM records_damage d WHERE d.id = damage_id)"
    return through if table == "records_look" else "athlete_id"


def unset(statement: str) -> Any:
    """Through the connection itself, past whatever the program puts before its statements."""
    with psycopg.ClientCursor(connection.connection) as cursor:
        return cursor.execute(statement).fetchone()[0]


# --- which tables


def test_every_table_of_health_is_guarded_or_said_to_be_open_with_a_reason() -> None:
    found = set(row_lock.of_health())
    assert set(row_lock.guarded()) | set(row_lock.OPEN) == found and len(row_lock.guarded()) >= 18
    assert set(row_lock.OPEN) == {"records_athlete"} and all(len(why) > 30 for why in row_lock.OPEN.values())
    assert set(row_lock.STAFF) == set(access.PURPOSE_OF_ROLE)
    models = {model._meta.db_table: model for model in apps.get_models()}
    for table in row_lock.guarded():
        columns = {field.column for field in models[table]._meta.concrete_fields}
        assert "athlete_id" in columns or row_lock.THROUGH[table][0] in columns, table


def test_planted_a_table_of_health_that_leads_nowhere_stops_everything(monkeypatch: pytest.MonkeyPatch) -> None:
    entry = register.Entry("records_made_tomorrow", "how_sore", "health", "coaching", "explicit", "activity")
    every = [*register.entries(), entry]
    monkeypatch.setattr(register, "entries", lambda: iter(every))
    with pytest.raises(LookupError, match="records_made_tomorrow"):
        row_lock.guarded.__wrapped__()


@pytest.mark.service
def test_each_guarded_table_has_its_policy_forced_and_a_new_one_gets_it_with_the_next_migration(role: str) -> None:
    with connection.cursor() as cursor:
        assert set(row_lock._standing(cursor)) == set(row_lock.guarded())
        cursor.execute("ALTER TABLE records_care NO FORCE ROW LEVEL SECURITY")
        cursor.execute("DROP POLICY in_scope ON records_damage")
        cursor.execute("ALTER POLICY in_scope ON records_away USING (true)")
        cursor.execute("COMMENT ON POLICY in_scope ON records_away IS 'another'")
        assert set(row_lock.guarded()) - set(row_lock._standing(cursor)) == {"records_care", "records_damage"}
    row_lock.put_up()
    with connection.cursor() as cursor:
        assert set(row_lock._standing(cursor)) == set(row_lock.guarded())
        cursor.execute("SELECT qual FROM pg_policies WHERE tablename = 'records_away'")
        assert "tenpads.athletes" in cursor.fetchone()[0]


# --- what is seen


@pytest.mark.service
def test_where_nothing_is_said_nothing_is_there(filled: tuple[Athlete, Athlete]) -> None:
    there = counted(Scope(everybody=True))
    print(f"rows by table: {there}")
    assert min(there.values()) > 0, "a guarded table is empty, so nothing is shown by this"
    nothing = dict.fromkeys(there, 0)
    assert counted(None) == counted(Scope()) == nothing
    unset("SELECT set_config('tenpads.athletes', '', true), set_config('tenpads.account', '', true)")
    assert {table: unset(f"SELECT count(*) FROM {table}") for table in there} == nothing  # noqa: S608


@pytest.mark.service
def test_planted_a_query_without_a_filter_finds_those_let_through_and_nobody_else(
    filled: tuple[Athlete, Athlete],
) -> None:
    one, other = filled
    whole = counted(Scope(everybody=True), one)
    assert counted(Scope({one.pk})) == counted(Scope({one.pk}), one) == whole
    assert counted(Scope({one.pk}), other) == dict.fromkeys(whole, 0)
    assert counted(Scope({one.pk, other.pk}), other) == counted(Scope(everybody=True), other)


@pytest.mark.service
def test_what_is_not_in_scope_is_neither_added_nor_changed_nor_dropped(filled: tuple[Athlete, Athlete]) -> None:
    one, other = filled
    day = stored.TODAY.replace(year=2020)
    with row_scope.of(Scope({one.pk})):
        CheckIn.objects.create(athlete=one, local_date=day, reserve=5)
        with pytest.raises(ProgrammingError, match="row-level security"), transaction.atomic():
            CheckIn.objects.create(athlete=other, local_date=day, reserve=5)
        with pytest.raises(ProgrammingError, match="row-level security"), transaction.atomic():
            CheckIn.objects.filter(athlete=one).update(athlete=other)
        assert CheckIn.objects.filter(athlete=other).update(reserve=1) == 0
        assert Look.objects.filter(damage__athlete=other).delete()[0] == 0
        assert Look.objects.filter(damage__athlete=one).update(pain=3) > 0


@pytest.mark.service
def test_an_account_finds_again_what_it_sent_itself_and_nobody_elses(filled: tuple[Athlete, Athlete]) -> None:
    table = "records_sentbefore"
    with row_scope.everybody(), connection.cursor() as cursor:
        cursor.execute(f"SELECT account_id, count(*) FROM {table} GROUP BY 1 ORDER BY 1")  # noqa: S608
        by_account = dict(cursor.fetchall())
    assert len(by_account) == 2
    for account, n in by_account.items():
        assert counted(Scope(account=account)) == {**dict.fromkeys(row_lock.guarded(), 0), table: n}


@pytest.mark.service
def test_who_is_entered_is_open_to_whoever_works_with_the_squad_and_to_no_other(
    filled: tuple[Athlete, Athlete],
) -> None:
    one, _ = filled
    squad = one.memberships.get().squad
    for role, n in {"head-coach": 1, "manager": 1, "support": 0, "athlete": 0}.items():
        account = stored.login(role, squad)
        found = {table: n for table, n in counted(Scope(account=account.pk)).items() if n}
        assert found == ({"records_entry": 1} if n else {}), role


@pytest.mark.service
def test_a_batch_is_in_scope_too(filled: tuple[Athlete, Athlete]) -> None:
    one, other = filled
    sql = "INSERT INTO records_sighting (athlete_id, local_date, by, marks, note) VALUES (%s, %s, 'coach', '[]', '')"
    with row_scope.of(Scope({one.pk})), connection.cursor() as cursor:
        cursor.executemany(sql, [(one.pk, stored.TODAY), (one.pk, stored.YESTERDAY)])
        with pytest.raises(ProgrammingError, match="row-level security"), transaction.atomic():
            cursor.executemany(sql, [(one.pk, stored.TODAY), (other.pk, stored.TODAY)])


@pytest.mark.service
def test_a_question_of_the_doors_opens_those_that_it_finds_beside_those_let_through(
    filled: tuple[Athlete, Athlete],
) -> None:
    one, other = filled
    sql, values = "SELECT id FROM records_athlete WHERE code LIKE '%%' || %s", [other.code]
    with row_scope.of(Scope()), row_scope.and_those(sql, values):
        assert set(CheckIn.objects.values_list("athlete_id", flat=True)) == {other.pk}
        with connection.cursor() as cursor:
            cursor.execute("SELECT DISTINCT athlete_id FROM records_checkin WHERE note LIKE '%'")
            assert cursor.fetchall() == [(other.pk,)]
    with row_scope.of(Scope({one.pk})), row_scope.and_those(sql, values):
        assert set(CheckIn.objects.values_list("athlete_id", flat=True)) == {one.pk, other.pk}


# --- requests


def forgetful(request: HttpRequest) -> JsonResponse:
    """The planted bug: a page that asks for nobody's in particular, behind a door that let one through or none."""
    try:
        if code := request.GET.get("of"):
            access.athlete_by_code(request.viewer, code)  # type: ignore[attr-defined]
    except access.NotFound:
        raise Http404 from None
    if request.GET.get("fails"):
        list(CheckIn.objects.all())
        raise RuntimeError("planted")
    return JsonResponse({"notes": sorted(CheckIn.objects.values_list("note", flat=True))})


urlpatterns = [path("forgetful", forgetful, name="healthz"), *urls.urlpatterns]


def notes(client: Client, **asked: str) -> list[str]:
    with override_settings(ROOT_URLCONF=__name__):
        answer = client.get("/forgetful", asked)
    return answer.json()["notes"] if answer.status_code == 200 else [str(answer.status_code)]


@pytest.mark.service
def test_planted_a_page_that_forgets_its_filter_shows_whom_the_door_let_through_and_nobody_else(
    world: worlds.World,
) -> None:
    callers = world.callers()
    assert notes(callers["stranger"]().client) == []
    coach = callers["head coach"]().client
    assert notes(coach) == []
    assert notes(coach, of="h-a1") == ["note of h"]
    assert notes(coach, of="f-a1") == ["404"]
    assert notes(coach) == [], "a former request's scope is still there"
    assert set(CheckIn.objects.values_list("note", flat=True)) >= {"note of h", "note of f"}  # both are there


def left_over() -> tuple[Any, Any, int]:
    """What a kept connection still has of the requests before, asked past the program."""
    return (
        unset("SELECT COALESCE(current_setting('tenpads.athletes', true), '')"),
        unset("SELECT COALESCE(current_setting('tenpads.account', true), '')"),
        unset("SELECT count(*) FROM records_checkin"),
    )


@pytest.fixture
def committed(role: str) -> Iterator[worlds.World]:
    """The same two clubs for good, so that requests run without a transaction around them, as they do when served."""
    with time_machine.travel(stored.NOW, tick=False):
        with transaction.atomic():
            found = worlds.build()
        yield found
        with connection.cursor() as cursor:
            cursor.execute("TRUNCATE records_club, records_person, records_athlete CASCADE")
            cursor.execute("TRUNCATE records_place, records_event CASCADE")
            cursor.execute("TRUNCATE ledger_conclusion, ledger_entryconclusion, ledger_staleness, ledger_keptforecast")


@pytest.mark.service
def test_a_kept_connection_keeps_nothing_of_a_request_not_even_of_one_that_failed(committed: worlds.World) -> None:
    coach = committed.callers()["head coach"]().client
    assert not connection.in_atomic_block and notes(coach, of="h-a1") == ["note of h"]
    assert left_over() == ("", "", 0)
    with row_scope.of(Scope({committed.home.athlete.pk})), pytest.raises(ProgrammingError):
        CheckIn.objects.extra(where=["no_such_column = 1"]).count()
    assert left_over() == ("", "", 0)
    coach.raise_request_exception = False
    assert notes(coach, of="h-a1", fails="yes") == ["500"]
    assert left_over() == ("", "", 0) and notes(coach) == []
    with pytest.raises(RuntimeError), row_scope.of(Scope({committed.home.athlete.pk})), transaction.atomic():
        assert CheckIn.objects.count() == 1
        raise RuntimeError("planted")
    assert left_over() == ("", "", 0)


@pytest.mark.service
def test_planted_a_setting_that_outlives_its_transaction_is_found(
    committed: worlds.World, monkeypatch: pytest.MonkeyPatch
) -> None:
    real = row_scope.before
    monkeypatch.setattr(row_scope, "before", lambda s, v: (real(s, v)[0].replace("SET LOCAL", "SET"), v))
    notes(committed.callers()["head coach"]().client, of="h-a1")
    found = left_over()
    connection.close()
    assert found[2] == 1 and found[0] == str(committed.home.athlete.pk)


@pytest.mark.service
@pytest.mark.parametrize("name", ["athlete self", "guardian own", "head coach", "medical", "manager"])
def test_no_page_says_less_behind_the_lock(
    committed: worlds.World, monkeypatch: pytest.MonkeyPatch, name: str
) -> None:
    """Each address is asked twice by the same caller, the second time with every row open: the door alone decides then,
    and the answers are the same. What the door lets see and the lock hides would be a page that lost something, or a
    question of all that was answered by some.
    """
    home = committed.home
    Session.objects.create(athlete=home.athlete, local_date=stored.TODAY, planned=True, minutes=77.0)
    Away.objects.create(athlete=home.athlete, first_day=stored.TODAY, last_day=stored.TODAY, kind="travel")
    for routes in (test_matrix.ROUTES, ["sessions?from=2027-03-11"]):
        walk = test_matrix.Walk(committed, committed.callers()[name]())
        behind = {route: walk.send("get", test_matrix.filled(route, home.ids)) for route in routes}
        with monkeypatch.context() as patched:
            patched.setattr(config_reads, "Scope", lambda account: Scope(account=account, everybody=True))
            open_ = {route: walk.send("get", test_matrix.filled(route, home.ids)) for route in routes}
        told = [route for route in routes if behind[route][:2] != open_[route][:2] and route not in APART]
        assert told == [], f"{name}: {told}"
    assert sum(answer[0] == 200 for answer in behind.values()) == (name == "head coach")


@pytest.mark.service
def test_the_lists_of_a_coach_are_as_full_behind_the_lock(committed: worlds.World) -> None:
    from coaching.usecases.listing import listing

    coach = committed.callers()["head coach"]()
    account = stored.Account.objects.get(pk=int(coach.client.session["_auth_user_id"]))
    viewer = access.viewer_for(account, stored.TODAY)
    with row_scope.of(Scope(account=account.pk)):
        behind = listing(viewer)
        assert CheckIn.objects.filter(athlete__code__startswith="f").count() == 0
    assert behind == listing(viewer) and all(one.concluded and one.entries for one in behind.athletes)
    assert len(behind.athletes) == 2


@pytest.mark.service
def test_whether_a_role_is_held_is_told_by_a_check(role: str) -> None:
    assert row_lock.held() and checks.held_by_policies(["default"]) == checks.held_by_policies() == []
    with databases.served():  # the administrator of these tests is held by nothing
        assert [one.id for one in checks.held_by_policies(["default"])] == ["records.W001"]


def test_each_way_to_a_row_besides_its_athletes_scope_is_that_of_one_table_alone() -> None:
    row_lock.guarded.cache_clear()
    told = row_lock.guarded()
    assert set(told) == set(row_lock.of_health()) - {"records_athlete"}
    ways = {
        "records_membership m": {"records_entry"}, "athlete_id IS NULL": {"records_correction"},
        "account_id = ": {"records_sentbefore"}, "damage_id IN (SELECT": {"records_look"},
    }  # fmt: skip
    for way, tables in ways.items():
        assert {table for table, condition in told.items() if way in condition} == tables, way
    own = {table for table, condition in told.items() if f" OR athlete_id = ANY ({row_lock.KEYS})" in condition}
    assert own == set(told) - {"records_look"} and all(one.startswith(row_lock.WHOLE) for one in told.values())


def test_a_statement_needs_a_scope_where_it_names_a_guarded_table_as_a_whole() -> None:
    row_lock._names.cache_clear()
    row_lock.names_guarded.cache_clear()
    for table in row_lock.guarded():
        assert row_lock.names_guarded(f'TABLE "{table}"') and row_lock.names_guarded(f"TABLE {table};")
        assert not row_lock.names_guarded(f"TABLE {table}_old") and not row_lock.names_guarded(f"VACUUM {table}")
    assert not row_lock.names_guarded("SELECT name FROM records_squad") and not row_lock.names_guarded("SELECT 1")


@pytest.mark.django_db
def test_a_file_has_no_role_to_be_warned_of() -> None:
    if connection.vendor == "sqlite":
        assert row_lock.held() and row_lock.put_up() is None
