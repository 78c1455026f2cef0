"""Pauses: which rule of time is broken, who may go on, and what a named person's word changes; hard stops, nothing."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from coaching.rules.conclusions import AthleteConclusion
from coaching.rules.facts import CareFact, EpisodeFact, OverruledFact, SessionFact
from tests import cast
from tests.cast import day

EVENT, AS_OF = day("6-20"), day("6-1")
SPRAY = "methenamine spray"


def conclude(*care: CareFact, wet: float = 5.0, **changes: object) -> AthleteConclusion:
    facts = cast.athlete(AS_OF, care=care, entries=(cast.entry(EVENT),), **changes)
    return cast.concluded(facts, cast.numbers(cast.chance(0.7), dampness_mean_pt=wet), AS_OF)


def before(days: int) -> date:
    return EVENT - timedelta(days=days)


def course(days: int, reaction: str | None = "none") -> tuple[CareFact, ...]:
    """A week and more of a form, the last use two days ago."""
    return tuple(
        cast.done(AS_OF - timedelta(days=2 + n), "dry", SPRAY, reaction=reaction) for n in (0, days // 2, days)
    )


def refused(found: AthleteConclusion) -> list[tuple[str, str]]:
    return [(one.class_, one.cause) for one in found.refused]


@pytest.mark.parametrize(
    ("row", "cause"),
    [
        (cast.planned(day("6-3"), "dry", "methenamine cream", part="day"), "part-of-day"),
        (cast.planned(day("6-3"), "soften", "wax balm", part="day"), "before-climbing"),
        (cast.planned(before(13), "dry", SPRAY, part="night"), "first-use"),
        (cast.planned(before(1), "even", "sand", part="day"), "last-use"),
        (cast.planned(before(5), "toughen", "scrape finger sides", part="night"), "unfinished-run"),
    ],
)
def test_the_rule_of_time_is_named(row: CareFact, cause: str) -> None:
    """The class is one word for five rules; the sentence needs to know which."""
    plan = (SessionFact(day("6-3"), planned=True, minutes=90),)
    assert refused(conclude(row, sessions=plan)) == [("timing", cause)]


@pytest.mark.parametrize(
    ("strength", "kind", "done", "allowed"),
    [
        ("weak", "damp", course(8), True),
        ("weak", "damp", course(7), True),
        ("weak", "damp", course(6), False),  # under a week says nothing
        ("weak", "damp", (), False),
        ("weak", "damp", course(8, "mild"), False),
        ("weak", "mixed", course(8), False),
        ("medium", "damp", course(8), False),
        (None, "damp", course(8), False),
    ],
)
def test_only_a_weak_spray_goes_on_and_only_for_damp_skin_that_tolerated_it(
    strength: str | None, kind: str, done: tuple[CareFact, ...], allowed: bool
) -> None:
    """Common practice, no source: usable the night before and on the day; three days before is judgement."""
    rows = [cast.planned(before(n), "dry", SPRAY, strength=strength, part="night") for n in (3, 2, 1)]
    found = conclude(*done, *rows, skin_kind=kind, wet=7.0 if kind == "damp" else 5.0)
    late = {one.date for one in found.refused if one.cause == "last-use"}
    if done:
        assert late == (set() if allowed else {before(2), before(1)})
    else:
        assert {one.cause for one in found.refused} == {"first-use"}


def test_cream_of_any_strength_ends_on_the_third_day_before() -> None:
    used = tuple(cast.done(AS_OF - timedelta(days=n), "dry", "methenamine cream") for n in (2, 12))
    rows = [cast.planned(before(n), "dry", "methenamine cream", strength="weak", part="night") for n in (3, 2)]
    assert [one.date for one in conclude(*used, *rows, skin_kind="damp", wet=7.0).refused] == [before(2)]


def word(form: str = SPRAY, class_: str = "timing", **said: date) -> OverruledFact:
    return OverruledFact(form, class_, said.get("on", before(10)), "Ayo Lind", "tolerated in spring",
                         said.get("given_on", AS_OF))  # fmt: skip


def test_a_named_person_overrules_a_pause_and_the_step_says_so() -> None:
    row = cast.planned(before(10), "dry", SPRAY, part="night")
    assert refused(conclude(row)) == [("timing", "first-use")]
    found = conclude(row, overruled=(word(),))
    assert found.refused == ()
    (step,) = [one for one in found.steps if one.form == SPRAY]
    assert [(one.class_, one.by, one.on, one.note) for one in step.overruled] == [
        ("timing", "Ayo Lind", AS_OF, "tolerated in spring")
    ]


@pytest.mark.parametrize(
    "said",
    [
        word(on=before(9)), word(form="methenamine liquid"), word(class_="clash"),
        word(given_on=AS_OF + timedelta(days=1)),
    ],
)  # fmt: skip
def test_another_day_form_class_or_a_later_word_overrules_nothing(said: OverruledFact) -> None:
    row = cast.planned(before(10), "dry", SPRAY, part="night")
    assert refused(conclude(row, overruled=(said,))) == [("timing", "first-use")]


@pytest.mark.parametrize(
    ("class_", "changes"),
    [
        ("allergy", {"sensitivities": frozenset({"formaldehyde"})}),
        ("age", {"age_years": 15}),
        ("age", {"age_years": 11}),
        ("medical", {"contraindications": frozenset({"pregnancy"})}),
        ("open-skin", {"episodes": (EpisodeFact("d1", "R-index-tip", "split", day("5-31")),)}),
    ],
)
def test_nobodys_word_opens_a_hard_stop(class_: str, changes: dict[str, object]) -> None:
    row = cast.planned(before(18), "dry", SPRAY, part="night")
    for said in ((), (word(class_=class_, on=before(18)), word(class_="timing", on=before(18)))):
        found = conclude(row, overruled=said, **changes)
        assert class_ in {one.class_ for one in found.refused if one.hard}
        assert SPRAY not in {one.form for one in found.steps}


CURRENT = ("pregnancy", "implant", "metal", "heart", "epilepsy", "numb-skin")


@pytest.mark.parametrize("named", [*CURRENT, "breast-feeding"])
@pytest.mark.parametrize(
    ("form", "stops"),
    [("iontophoresis", set(CURRENT)), (SPRAY, {"pregnancy", "breast-feeding"}), ("aluminium salt", set())],
)
def test_contraindications_stop_what_their_sources_name_and_no_more(named: str, form: str, stops: set[str]) -> None:
    """H13: a university dermatology page and a hospital leaflet. Methenamine: label (pregnancy and breast-feeding)."""
    row = cast.planned(before(18), "dry", form, part="evening" if form != "aluminium salt" else "night")
    found = conclude(row, contraindications=frozenset({named}))
    assert {(one.class_, one.hard) for one in found.refused} == ({("medical", True)} if named in stops else set())


@pytest.mark.parametrize(
    ("changes", "class_"),
    [
        ({"depth": "deep"}, "open-skin"),
        ({"depth": "shallow", "worries": ("dirty",)}, "medical"),
        ({"depth": "shallow"}, None),
    ],
)
def test_glue_only_on_clean_shallow_damage(changes: dict[str, object], class_: str | None) -> None:
    """H15: StatPearls on 2-octyl cyanoacrylate."""
    hurt = EpisodeFact("d1", "R-index-tip", "split", day("5-31"), **changes)  # type: ignore[arg-type]
    found = conclude(cast.planned(AS_OF, "mend", "glue", "R-index-tip", part="day"), episodes=(hurt,))
    assert {one.class_ for one in found.refused if one.form == "glue"} == ({class_} if class_ else set())


@pytest.mark.parametrize("named", ["acrylate", "adhesive"])
def test_glue_and_an_acrylate_allergy(named: str) -> None:
    """Cutis 2014;94:183-186."""
    found = conclude(cast.planned(AS_OF, "mend", "glue", part="day"), sensitivities=frozenset({named}))
    assert [one.class_ for one in found.refused] == (["allergy"] if named == "acrylate" else [])
