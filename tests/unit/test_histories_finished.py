"""What the looks at an episode say of it as a whole."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
import pytest

from athletes.records.histories_episodes import episode_arrays
from athletes.records.histories_finished import believed, closed_days, last_run
from athletes.records.histories_grid import Grid
from coaching.rules.facts import AthleteFacts, EpisodeFact, LookFact

FIRST = date(2027, 3, 1)


def day(n: int) -> date:
    return FIRST + timedelta(days=n)


def looks(stages: str, **said: bool) -> list[LookFact]:
    """One look a day; o open, r rimmed, s sound, - nobody looked."""
    words = {"o": "open", "r": "rimmed", "s": "sound"}
    return [LookFact(day(n), words[c], **said) for n, c in enumerate(stages) if c != "-"]


@pytest.mark.parametrize(
    ("seen", "kept"),
    [("oorrs", "oorrs"), ("orors", "oors"), ("oosor", "ooor"), ("rrorr", "rrrr"), ("roor", "roor"), ("so", "so")],
)
def test_a_look_that_both_neighbours_gainsay_is_a_slip(seen: str, kept: str) -> None:
    """Judgement: one look among others that see otherwise before and after; two in a row are no slip."""
    assert "".join(look.stage[0] for look in believed(looks(seen))) == kept


def test_a_pull_bears_a_look_out() -> None:
    sure = [LookFact(day(0), "rimmed"), LookFact(day(1), "rimmed", opens_on_pull=True), LookFact(day(2), "rimmed")]
    assert len(believed(sure)) == 3 and last_run(sure, day(0)).reopened == 1


def test_a_run_begins_with_the_look_that_found_it_open_again() -> None:
    run = last_run(looks("orr-ooorr"), day(0))
    assert (run.begun, run.reopened, run.shut_after, run.shut_by) == (day(4), 1, day(6), day(7))
    unseen = last_run([], day(3))
    assert (unseen.begun, unseen.shut_after, unseen.shut_by) == (day(3), day(3), day(3))


def test_days_in_which_it_could_open() -> None:
    assert closed_days(looks("oor--rs")) == 4 and closed_days(looks("oo")) == 0


def test_what_was_seen_sound_stands_among_the_finished() -> None:
    """Noticed on day 0, not closed on 1, closed on 3, not sound on 4, sound on 6; nights after that do not count."""
    seen = (
        LookFact(day(1), "open", balm_night=True), LookFact(day(3), "rimmed", balm_night=False),
        LookFact(day(4), "thinned"), LookFact(day(6), "sound", balm_night=False), LookFact(day(7), "sound"),
    )  # fmt: skip
    split = EpisodeFact("e", "R-ring-tip-crease", "split", day(0), "deep", looks=seen)
    athletes = [AthleteFacts("a", 22, "UTC"), AthleteFacts("b", 22, "UTC", episodes=(split,))]
    episodes, index = episode_arrays(athletes, Grid(2, 30, FIRST.toordinal(), 20))
    over = episodes.finished
    assert not index and episodes.athlete.size == 0 and over.athlete.tolist() == [1]
    assert [int(getattr(over, n)[0]) for n in ("noticed", "begun", "shut_after", "shut_by")] == [0, 0, 1, 3]
    assert [int(getattr(over, n)[0]) for n in ("sound_after", "sound_by", "reopened", "closed_d")] == [4, 6, 0, 3]
    assert over.deep[0] == 1 and over.balm_share[0] == pytest.approx(0.5)
    before, _ = episode_arrays(athletes, Grid(2, 30, FIRST.toordinal(), 5))
    assert before.finished.athlete.size == 0 and before.athlete.tolist() == [1] and np.isnan(before.taped[0])
