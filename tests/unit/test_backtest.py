"""Forecasts of past evenings from a bundle: the service's own, blind to what came later, the same bytes each time.

The form of both files is that of the interchange format (README).
"""

from __future__ import annotations

import csv
import io
import shutil
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command

from athletes.records import access
from coaching.science import versions
from coaching.usecases import conclude
from coaching.usecases.backtest import COLUMNS, SPLIT_COLUMNS, Forecasts, backtest
from coaching.usecases.import_bundle import import_bundle
from coaching.usecases.throwaway import throwaway_database
from tests.bundles import NOW

pytestmark = pytest.mark.django_db
DEMO = Path(__file__).parents[2] / "fixtures" / "demo" / "bundle"
ORIGINS = (date(2027, 2, 15), date(2027, 3, 1))
HORIZONS = (7, 14)
DATED = {
    "checkins.csv": ("local_date", "reserve", "1"),
    "sessions.csv": ("local_date", "skin_limited", "yes"),
    "care.csv": ("local_date", "reaction", "stopped"),
    "damage.csv": ("noticed_on", "depth", "deep"),
    "damage_looks.csv": ("local_date", "stage", "open"),
    "sightings.csv": ("local_date", "marks", "R-index-tip=pink"),
    "away.csv": ("first_day", "first_day", "2027-03-02"),
    "air.csv": ("starts_at", "temp_c", "31"),
}
"""Files of what was observed: the column of its day, and a cell that is changed to another meaning."""


@pytest.fixture(scope="module")
def made(django_db_blocker: pytest.FixtureRequest) -> Forecasts:
    with django_db_blocker.unblock():
        return backtest(DEMO, ORIGINS, HORIZONS)


def rows(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text)))


def edited(folder: Path, change: Callable[[str, dict[str, str]], dict[str, str]]) -> Path:
    """The demo's bundle with every row of a dated file passed through `change`."""
    shutil.copytree(DEMO, folder)
    for name in DATED:
        with (folder / name).open(newline="", encoding="utf-8") as file:
            reader = csv.DictReader(file)
            columns, kept = list(reader.fieldnames or ()), [change(name, row) for row in reader]
        with (folder / name).open("w", newline="", encoding="utf-8") as file:
            writer = csv.DictWriter(file, columns)
            writer.writeheader()
            writer.writerows(kept)
    return folder


def test_one_row_for_every_athlete_origin_and_horizon_in_the_promised_columns(made: Forecasts) -> None:
    found = rows(made.forecasts)
    athletes = {row["athlete_id"] for row in found}
    assert tuple(found[0]) == COLUMNS and tuple(rows(made.splits)[0]) == SPLIT_COLUMNS
    assert len(found) == len(athletes) * len(ORIGINS) * len(HORIZONS) and len(athletes) >= 24
    for row in found:
        ahead = date.fromisoformat(row["target_date"]) - date.fromisoformat(row["origin"])
        assert ahead.days == int(row["horizon_days"])
        assert 0 <= float(row["p_ready"]) <= float(row["p_skin"]) <= 1
        for scale in ("reserve", "dampness"):
            points = [float(row[name]) for name in COLUMNS if name.startswith(scale)]
            assert len(points) == 7 and points == sorted(points) and 0 <= points[0] and points[-1] <= 10


def test_splits_grow_sounder_with_the_days(made: Forecasts) -> None:
    found = rows(made.splits)
    assert found
    for row in found:
        chances = [float(row[f"p_sound_{days}"]) for days in (4, 7, 14)]
        times = [float(row[name]) for name in ("days_q10", "days_q50", "days_q90") if row[name]]
        assert chances == sorted(chances) and times == sorted(times)


def test_the_same_bundle_gives_the_same_bytes_in_whatever_order_it_is_asked(made: Forecasts) -> None:
    assert backtest(DEMO, ORIGINS[::-1], (*HORIZONS, 7)) == made


def test_it_is_what_the_service_concludes_that_evening(made: Forecasts) -> None:
    """The course of the athlete's page, four digits of it, holds the same chance."""
    said = {(r["athlete_id"], r["target_date"]): float(r["p_ready"]) for r in rows(made.forecasts)
            if r["origin"] == ORIGINS[1].isoformat()}  # fmt: skip
    with throwaway_database():
        import_bundle(DEMO, club_name="served", now=NOW)
        refs = access.refs_visible(access.OPERATOR(ORIGINS[1]))
        found = conclude.concluded([ref.id for ref in refs], ORIGINS[1], versions.CURRENT)
    compared = 0
    for one in found.values():
        for day in one.figures.course:
            key = (one.facts.athlete_id, day.day.isoformat())
            if key in said:
                assert day.p == pytest.approx(said[key], abs=6e-5)
                compared += 1
    assert compared == len(said)


def test_what_came_later_changes_nothing(made: Forecasts, tmp_path: Path) -> None:
    """Every later answer, session, care, damage, look, absence and hour of air is changed; not one byte is."""
    changed = dict.fromkeys(DATED, 0)

    def later(name: str, row: dict[str, str]) -> dict[str, str]:
        column, cell, other = DATED[name]
        forecast = bool(row.get("known_at")) and date.fromisoformat(row["known_at"][:10]) <= ORIGINS[1]
        planned = row.get("planned") == "yes" or row.get("status") == "planned"
        known = date.fromisoformat(row[column][:10]) <= ORIGINS[1] or planned or forecast
        if known or cell not in row or row[cell] == other:
            return row
        changed[name] += 1
        return {**row, cell: other}

    assert backtest(edited(tmp_path / "later", later), ORIGINS, HORIZONS) == made
    assert min(changed.values()) > 0, changed


def test_what_came_before_does_count(made: Forecasts, tmp_path: Path) -> None:
    def before(name: str, row: dict[str, str]) -> dict[str, str]:
        old = name == "checkins.csv" and date.fromisoformat(row["local_date"]) <= ORIGINS[0]
        return {**row, "reserve": "1"} if old and row["reserve"] else row

    assert backtest(edited(tmp_path / "before", before), ORIGINS, HORIZONS) != made


def test_the_verb_writes_both_files(tmp_path: Path) -> None:
    out = tmp_path / "forecasts.csv"
    call_command("backtest", DEMO, origins="2027-03-01", horizons="7", out=out)
    assert rows(out.read_text())[0]["origin"] == "2027-03-01"
    assert (tmp_path / "forecasts-splits.csv").read_text().startswith("episode_id,origin,p_sound_4")


@pytest.mark.parametrize(
    ("origins", "horizons", "says"),
    [("2027-13-01", "7", "--origins must be a day"), ("2027-03-01", "0", "--horizons must be whole days"),
     ("2027-03-01", "7,x", "--horizons must be whole days"), ("", "7", "--origins must be a day"),
     ("2027-03-01", "43", "--horizons must be whole days")],
)  # fmt: skip
def test_what_is_typed_wrong_is_said(tmp_path: Path, origins: str, horizons: str, says: str) -> None:
    with pytest.raises(CommandError, match=says):
        call_command("backtest", DEMO, origins=origins, horizons=horizons, out=tmp_path / "f.csv")
    assert not list(tmp_path.iterdir())


def test_a_bad_bundle_is_refused_and_nothing_written(tmp_path: Path) -> None:
    folder = edited(tmp_path / "bad", lambda name, row: {**row, "reserve": "11"} if "reserve" in row else row)
    with pytest.raises(CommandError, match="checkins.csv"):
        call_command("backtest", folder, origins="2027-03-01", horizons="7", out=tmp_path / "f.csv")
    assert not (tmp_path / "f.csv").exists()


@pytest.mark.slow
def test_a_squad_that_answered_teaches() -> None:
    """Learned twice from one past, the bytes are the same; the quantities of the register give others."""
    lines: list[str] = []
    taught = backtest(DEMO, ORIGINS[1:], (7,), train_until=ORIGINS[1], progress=lines.append)
    assert any("Learned from" in line for line in lines), lines
    assert taught == backtest(DEMO, ORIGINS[1:], (7,), train_until=ORIGINS[1])
    assert taught != backtest(DEMO, ORIGINS[1:], (7,))


def test_what_would_know_the_future_or_spoil_the_bundle_is_refused(tmp_path: Path) -> None:
    said = {"origins": "2027-03-01", "horizons": "7"}
    with pytest.raises(CommandError, match="lies after an origin"):
        call_command("backtest", DEMO, **said, train_until="2027-03-02", out=tmp_path / "f.csv")
    with pytest.raises(CommandError, match="outside the bundle"):
        call_command("backtest", DEMO, **said, out=DEMO / "f.csv")
    assert not (DEMO / "f.csv").exists() and not list(tmp_path.iterdir())
