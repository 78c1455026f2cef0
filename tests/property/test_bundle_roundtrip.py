"""Export, import, export: the digest stays; the order of rows and the spelling of numbers do not matter."""

from __future__ import annotations

import random
import tempfile
from pathlib import Path
from typing import Any

import pytest
from django.db import transaction
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.django import TestCase

from athletes.records import access, choices
from athletes.records.bundle.reading import read_bundle
from coaching.usecases.export_bundle import export_bundle
from tests import bundles
from tests.bundles import ATHLETE, NOW

OPERATOR = access.OPERATOR(NOW.date())
DAYS = st.dates(min_value=NOW.date().replace(year=2026), max_value=NOW.date()).map(str)
RATING = st.one_of(st.just(""), st.integers(0, 10))
NOTE = st.text(
    st.characters(codec="utf-8", exclude_categories=("Cc", "Cs")) | st.sampled_from('\n",;='), max_size=30
)
SITE = st.sampled_from(sorted(choices.SITES))
MARKS = st.lists(st.tuples(SITE, st.sampled_from(choices.MARKS)), max_size=3)
ATHLETES = st.sampled_from(["a1", "a2"])
FLAG = st.sampled_from(["", "yes", "no"])

CHECKINS = st.lists(
    st.fixed_dictionaries(
        {
            "athlete_id": ATHLETES,
            "local_date": DAYS,
            "reserve": RATING,
            "sting": RATING,
            "agent_used": FLAG,
            "marks": MARKS.map(lambda marks: ";".join(f"{site}={mark}" for site, mark in marks)),
            "note": NOTE,
            "made_at": st.sampled_from(["", "2027-03-10T07:00:00+01:00", "2027-03-10T06:00:00Z"]),
        }
    ),
    max_size=6,
    unique_by=lambda row: (row["athlete_id"], row["local_date"]),
)
SESSIONS = st.lists(
    st.fixed_dictionaries(
        {
            "athlete_id": ATHLETES,
            "local_date": DAYS,
            "planned": st.sampled_from(["yes", "no"]),
            "minutes": st.one_of(st.just(""), st.floats(0, 1440), st.integers(0, 1440)),
            "rpe": st.sampled_from(["", "5", "5.0", "5.00", "0.5"]),
            "surface": st.sampled_from(["", *choices.SURFACES]),
            "skin_limited": FLAG,
        }
    ),
    max_size=6,
)
TABLES = st.fixed_dictionaries({"checkins": CHECKINS, "sessions": SESSIONS})
TWO = [ATHLETE, ATHLETE | {"athlete_id": "a2"}]


def filled(tables: dict[str, Any]) -> dict[str, Any]:
    """The tables that have rows, with the two athletes whom they name."""
    return {"athletes": TWO} | {name: rows for name, rows in tables.items() if rows}


class RoundTrip(TestCase):
    @settings(max_examples=40, deadline=None)
    @given(TABLES)
    def test_export_import_export_keeps_the_digest(self, tables: dict[str, Any]) -> None:
        with tempfile.TemporaryDirectory() as name:
            path = Path(name)
            with transaction.atomic():
                read = bundles.load(path / "a", filled(tables))
                first = export_bundle(path / "b", viewer=OPERATOR, now=NOW)
                transaction.set_rollback(True)
            with transaction.atomic():
                bundles.import_bundle(path / "b", club_name="Club", now=NOW)
                second = export_bundle(path / "c", viewer=OPERATOR, now=NOW)
                transaction.set_rollback(True)
            assert read.digest == first.digest == second.digest
            assert all((path / "b" / f.name).read_bytes() == f.read_bytes() for f in (path / "c").iterdir())


@settings(max_examples=40, deadline=None)
@given(TABLES, st.randoms(use_true_random=False))
def test_the_order_of_rows_does_not_matter(tables: dict[str, Any], chance: random.Random) -> None:
    mixed = {file: chance.sample(rows, len(rows)) for file, rows in tables.items()}
    with tempfile.TemporaryDirectory() as name:
        a = read_bundle(bundles.folder(Path(name) / "a", filled(tables))).digest()
        assert read_bundle(bundles.folder(Path(name) / "b", filled(mixed))).digest() == a


def test_changing_any_one_answer_changes_the_digest(tmp_path: Path) -> None:
    row = {"athlete_id": "a1", "local_date": "2027-03-10", "reserve": 5, "sting": "", "note": ""}
    changes: list[dict[str, Any]] = [
        {},
        {"reserve": 6},
        {"sting": 0},
        {"note": "x"},
        {"local_date": "2027-03-09"},
    ]
    found = {
        read_bundle(bundles.folder(tmp_path / str(n), {"checkins": [row | change]})).digest()
        for n, change in enumerate(changes)
    }
    assert len(found) == len(changes)


@pytest.mark.parametrize(("a", "b"), [("5", "5.0"), ("0.5", ".5"), ("120", "1.2e2"), ("0", "-0")])
def test_numbers_count_by_value(tmp_path: Path, a: str, b: str) -> None:
    row = bundles.SESSION
    one, other = (
        read_bundle(bundles.folder(tmp_path / n, {"sessions": [row | {"minutes": text}]}))
        for n, text in (("a", a), ("b", b))
    )
    assert one.digest() == other.digest()
