"""The database as the queue: raised with the fact, claimed by one, finished only by what is not older."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from django.db import transaction

from coaching.ledger import staleness
from coaching.ledger.models import Staleness
from coaching.ledger.staleness import ATTEMPTS, CLAIM_S, PAUSE_S
from tests import databases

NOW = datetime(2027, 3, 11, 18, tzinfo=UTC)
LATER = NOW + timedelta(days=1)
CLAIM = timedelta(seconds=CLAIM_S)


@pytest.fixture(params=["SQLite", pytest.param("PostgreSQL", marks=pytest.mark.service)])
def shared(request: pytest.FixtureRequest, tmp_path: Path, django_db_blocker: Any) -> Iterator[str]:
    """A database that several threads reach, with nothing around the test: what is stored is committed."""
    with django_db_blocker.unblock():
        with databases.filed(tmp_path) if request.param == "SQLite" else databases.served():
            yield request.param


def raised(*ids: int, at: datetime = NOW) -> None:
    with transaction.atomic():
        staleness.raise_for(ids, at)


def revisions() -> dict[int, tuple[int, int]]:
    return {row.athlete_id: (row.input_rev, row.computed_rev) for row in Staleness.objects.all()}


def test_a_rolled_back_fact_leaves_nothing_raised(shared: str) -> None:
    raised(1)
    with pytest.raises(RuntimeError), transaction.atomic():
        staleness.raise_for([1, 2], NOW)
        raise RuntimeError
    assert revisions() == {1: (1, 0)}


def test_raising_outside_the_transaction_of_a_fact_is_refused(shared: str) -> None:
    with pytest.raises(transaction.TransactionManagementError):
        staleness.raise_for([1], NOW)
    assert revisions() == {}


def test_every_row_goes_to_one_of_many_claimers(shared: str) -> None:
    raised(*range(200))

    def claims() -> list[int]:
        mine: list[int] = []
        while claimed := staleness.claim(NOW, 7):
            mine += [due.athlete_id for due in claimed]
        return mine

    found = [i for mine in databases.at_once(claims, 6) for i in mine]
    assert sorted(found) == list(range(200))
    assert set(Staleness.objects.values_list("attempts", flat=True)) == {1}


def test_claimers_of_the_same_named_rows_share_them(shared: str) -> None:
    raised(*range(50))
    found = databases.at_once(lambda: staleness.claim_these(range(50), NOW), 6)
    assert sorted(due.athlete_id for mine in found for due in mine) == list(range(50))


def test_raising_claiming_and_finishing_at_once_block_nobody(shared: str) -> None:
    """Every fact counts, and none of the threads is made a victim by the database."""
    ids = list(range(30))
    raised(*ids)

    def busy() -> None:
        for _ in range(15):
            raised(*reversed(ids))
            claimed = staleness.claim(NOW, 20)
            with transaction.atomic():
                staleness.finish([(due, LATER) for due in claimed], NOW)

    databases.at_once(busy, 4)
    assert {row.input_rev for row in Staleness.objects.all()} == {1 + 4 * 15}


@pytest.mark.django_db
class TestOneConnection:
    """What needs no second connection."""

    def test_the_oldest_fact_is_claimed_first(self) -> None:
        raised(1, at=NOW + timedelta(seconds=1))
        raised(2, 3)
        assert [due.athlete_id for due in staleness.claim(NOW, 2)] == [2, 3]
        assert [due.athlete_id for due in staleness.claim(NOW, 2)] == [1]

    def test_a_claim_runs_out(self) -> None:
        raised(1)
        assert staleness.claim(NOW, 9) and not staleness.claim(NOW + CLAIM - timedelta(seconds=1), 9)
        assert [due.attempts for due in staleness.claim(NOW + CLAIM, 9)] == [2]

    def test_what_is_current_is_not_claimed(self) -> None:
        raised(1)
        (due,) = staleness.claim(NOW, 9)
        assert staleness.finish([(due, LATER)], NOW) and revisions() == {1: (1, 1)}
        assert staleness.waiting(NOW) == 0 and not staleness.claim(LATER - timedelta(seconds=1), 9)
        assert staleness.waiting(LATER) == 1 and staleness.claim(LATER, 9)

    def test_an_older_result_never_takes_the_place_of_a_newer(self) -> None:
        raised(1)
        (old,) = staleness.claim(NOW, 9)
        raised(1)
        (new,) = staleness.claim(NOW, 9)
        assert (old.input_rev, new.input_rev) == (1, 2)
        assert staleness.finish([(new, LATER)], NOW) and not staleness.finish([(old, LATER)], NOW)
        assert revisions() == {1: (2, 2)}

    def test_of_a_batch_only_what_is_neither_newer_nor_gone_is_recorded(self) -> None:
        raised(1, 2, 3)
        old = staleness.claim(NOW, 9)
        raised(2)
        staleness.finish([(due, LATER) for due in staleness.claim(NOW, 9)], NOW)
        staleness.forget([3])
        assert staleness.finish([(due, LATER) for due in old], NOW) == {1}
        assert revisions() == {1: (1, 1), 2: (2, 2)}

    def test_finishing_an_older_revision_leaves_the_newer_claim(self) -> None:
        raised(1)
        (old,) = staleness.claim(NOW, 9)
        raised(1)
        assert staleness.claim(NOW, 9)
        assert staleness.finish([(old, LATER)], NOW) and revisions() == {1: (2, 1)}
        assert staleness.stale_of([1, 2]) == {1} and not staleness.claim(NOW, 9)

    def test_a_failure_rests_longer_each_time_until_it_is_given_up(self) -> None:
        raised(1)
        at = NOW
        for n in range(ATTEMPTS):
            (due,) = staleness.claim(at, 9)
            staleness.fail(due, f"failure {n}", at)
            rest = timedelta(seconds=PAUSE_S * 4**n)
            assert not staleness.claim(at + rest - timedelta(seconds=1), 9)
            at += rest
        assert not staleness.claim(at + timedelta(days=30), 9)
        assert Staleness.objects.get().failure == f"failure {ATTEMPTS - 1}" and staleness.waiting(at) == 1

    def test_facts_changed_after_a_failure_are_a_new_start(self) -> None:
        raised(1)
        (due,) = staleness.claim(NOW, 9)
        staleness.fail(due, "why", NOW)
        raised(1)
        row = Staleness.objects.get()
        assert (row.attempts, row.failure) == (0, "") and staleness.claim(NOW, 9)

    def test_a_failure_of_older_facts_is_not_held_against_newer(self) -> None:
        raised(1)
        (old,) = staleness.claim(NOW, 9)
        raised(1)
        staleness.fail(old, "of the older facts", NOW)
        assert Staleness.objects.get().failure == "" and staleness.claim(NOW, 9)

    def test_a_start_frees_claims_and_tries_again_what_failed(self) -> None:
        raised(1, 2)
        Staleness.objects.filter(athlete_id=1).update(attempts=ATTEMPTS, failure="a mistake of ours")
        Staleness.objects.filter(athlete_id=2).update(attempts=1, claimed_until=LATER)
        staleness.release_claims()
        assert [due.athlete_id for due in staleness.claim(NOW, 9)] == [1]
        assert [due.athlete_id for due in staleness.claim(NOW, 9)] == [2]

    def test_a_row_that_ends_its_process_each_time_is_given_up_at_last(self) -> None:
        raised(1)
        for _ in range(ATTEMPTS):
            assert staleness.claim(NOW, 9)  # and then the process dies
            staleness.release_claims()
        assert not staleness.claim(NOW, 9)

    def test_a_task_run_again_takes_over_what_it_had_in_hand(self) -> None:
        """Its first process died; nobody else gets the rows before the claim runs out."""
        raised(1, 2)
        first = staleness.claim(NOW, 80, owner="0123456789abcdef01234567")
        assert not staleness.claim(NOW, 9, owner="f" * 32) and not staleness.claim(NOW, 9)
        again = staleness.claim(NOW, 80, owner="0123456789abcdef01234567")
        assert [due.athlete_id for due in again] == [1, 2] and again[0].claimed_by != first[0].claimed_by

    def test_a_failure_rests_whoever_owned_it(self) -> None:
        raised(1)
        (due,) = staleness.claim(NOW, 9, owner="0123456789abcdef")
        staleness.fail(due, "why", NOW)
        assert not staleness.claim(NOW, 9, owner="0123456789abcdef")

    def test_a_sign_of_life_keeps_a_claim(self) -> None:
        raised(1, 2)
        (one, two) = staleness.claim(NOW, 9)
        staleness.finish([(one, LATER)], NOW)
        staleness.renew(two.claimed_by, NOW + CLAIM / 2)
        assert not staleness.claim(NOW + CLAIM, 9)
        assert [due.athlete_id for due in staleness.claim(NOW + 3 * CLAIM / 2, 9)] == [2]

    def test_what_is_let_go_of_is_free_and_stays_counted(self) -> None:
        raised(1)
        (due,) = staleness.claim(NOW, 9)
        staleness.release(due.claimed_by)
        assert [again.attempts for again in staleness.claim(NOW, 9)] == [2]

    def test_what_was_tried_before_is_claimed_in_smaller_batches(self) -> None:
        raised(*range(100))
        sizes = []
        for _ in range(ATTEMPTS):
            sizes.append(len(staleness.claim(NOW, 100)))
            Staleness.objects.filter(attempts=len(sizes)).exclude(claimed_until=None).update(claimed_until=None)
            Staleness.objects.filter(attempts=len(sizes) - 1).delete()
        assert sizes == [100, 12, 1, 1, 1]

    def test_the_last_try_is_not_given_up_while_somebody_is_at_it(self) -> None:
        raised(1)
        Staleness.objects.update(attempts=ATTEMPTS - 1)
        assert staleness.claim(NOW, 9)
        assert (staleness.given_up(NOW), staleness.given_up(NOW + CLAIM)) == (0, 1)

    def test_what_was_given_up_is_tried_again_when_asked_for(self) -> None:
        raised(1, 2, 3)
        Staleness.objects.filter(athlete_id__lt=3).update(attempts=ATTEMPTS)
        assert staleness.retry([1], NOW) == 1 and staleness.retry(None, NOW) == 1
        assert len(staleness.claim(NOW, 9)) == 3

    def test_nothing_waiting_costs_one_query(self, django_assert_num_queries: Any) -> None:
        with django_assert_num_queries(1):
            assert staleness.claim(NOW, 9) == []
