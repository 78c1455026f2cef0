"""Every entry of the rulebook is whole: source, caution, known words, known forms; a broken one is refused by
name.
"""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from coaching.rules import rulebook
from coaching.rules.rulebook import RulebookError

FORMS = {
    "dry": {
        "methenamine spray",
        "methenamine liquid",
        "methenamine cream",
        "aluminium salt",
        "iontophoresis",
        "alcohol base",
        "fine chalk",
        "coarse chalk",
    },
    "soften": {
        "water-based cream",
        "humectant cream",
        "oil-based cream",
        "occlusive ointment",
        "wax balm",
        "damp cloth",
        "moisture spray",
    },
    "even": {"sand", "level callus"},
    "toughen": {"scrape finger sides"},
    "cover": {"session tape", "pre-tape", "night tape", "moist cover", "closed cover", "dish gloves"},
    "mend": {"clip edges", "thin rim", "balm in split", "glue"},
    "rest": {"rest site", "rest hand", "rest day"},
    "cool": {"fan", "longer rests", "cold rock", "cool body", "shade"},
    "try": {"taped try", "rehearsal"},
}


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return Path(shutil.copytree(rulebook.FOLDER, tmp_path / "rulebook"))


def spoil(folder: Path, file: str, old: str, new: str) -> None:
    path = folder / file
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")


@pytest.mark.parametrize("verb", FORMS)
def test_every_form_of_every_verb_has_an_entry(verb: str) -> None:
    found = {name for name, rule in rulebook.current().forms.items() if rule.verb == verb}
    assert found == FORMS[verb]


@pytest.mark.parametrize("name", sorted(rulebook.current().forms))
def test_every_entry_has_a_caution_a_how_and_a_source_worth_the_name(name: str) -> None:
    rule = rulebook.current().forms[name]
    assert len(rule.caution) > 20 and len(rule.how) > 20
    cited = any(sign.isdigit() for sign in rule.source)
    assert cited or rule.source.startswith("judgement") or "common practice, no source" in rule.source


@pytest.mark.parametrize("name", sorted(rulebook.current().forms))
def test_ranges_run_from_the_middle_to_the_late_end(name: str) -> None:
    rule = rulebook.current().forms[name]
    for low, high in (rule.uses_a_week, rule.run_days, rule.lead_days, rule.carry_over_days):
        assert low <= high


@pytest.mark.parametrize("kind", sorted(rulebook.current().deadlines))
def test_every_deadline_has_a_source(kind: str) -> None:
    assert len(rulebook.current().deadlines[kind].source) > 15


def test_every_agent_stops_at_an_allergy_at_the_age_rule_and_at_open_skin() -> None:
    for rule in (one for one in rulebook.current().forms.values() if one.ingredient):
        assert (rule.minimum_age, rule.signoff_under_age) == (12, 18)
        assert {"open", "closing", "pink"} <= set(rule.not_on)
        assert "dry" in rule.not_for_kinds and rule.no_first_use_days > 0 and rule.stop_days > 0


@pytest.mark.parametrize("key", ["source", "caution", "how", "lead_days"])
def test_an_entry_without_a_key_is_refused_by_file_entry_and_key(folder: Path, key: str) -> None:
    text = (folder / "mend.toml").read_text(encoding="utf-8")
    kept = [line for line in text.splitlines() if not line.startswith(f"{key} =")]
    (folder / "mend.toml").write_text("\n".join(kept), encoding="utf-8")
    with pytest.raises(RulebookError, match=f"mend.toml: clip edges: {key}: missing"):
        rulebook.load(folder)


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ('caution = "Never on wet', 'caution = " " # "', "even.toml: sand: caution: must be text"),
        ("run_days = [1, 1]", "run_days = [1]", "even.toml: sand: run_days: must hold two"),
        ("run_days = [1, 1]", "run_days = [1, true]", "even.toml: sand: run_days: must be a whole number"),
        ("run_days = [1, 1]", "run_days = [1, -1]", "even.toml: sand: run_days: must be a whole number"),
        ('"rimmed", "thinned"', '"rimmed", "itchy"', "even.toml: sand: not_on: 'itchy' is none of"),
        (
            'instead = ["rest site"',
            'instead = ["rest toe"',
            "even.toml: sand: instead: unknown form 'rest toe'",
        ),
        ("stop_days = 2", 'stop_days = "2"', "even.toml: sand: stop_days: must be a whole number"),
        ("stop_days = 2", "stopp_days = 2", "even.toml: sand: stopp_days: unknown key"),
        ('[form."sand"]', '[forms."sand"]', "even.toml: forms: unknown table"),
        ('[form."sand"]', '[form."sand"', "even.toml: not TOML"),
    ],
)
def test_a_broken_entry_is_refused_with_its_place(folder: Path, old: str, new: str, message: str) -> None:
    spoil(folder, "even.toml", old, new)
    with pytest.raises(RulebookError, match=message):
        rulebook.load(folder)


def test_a_deadline_without_a_source_is_refused(folder: Path) -> None:
    spoil(folder, "deadlines.toml", 'source = "judgement: worn tips', '# "')
    with pytest.raises(RulebookError, match="deadlines.toml: rough-session-last: source: missing"):
        rulebook.load(folder)


def test_a_missing_file_is_named(folder: Path) -> None:
    (folder / "cool.toml").unlink()
    with pytest.raises(RulebookError, match="cool.toml: the file is missing"):
        rulebook.load(folder)


def test_the_digest_changes_with_one_word_and_only_then(folder: Path) -> None:
    assert rulebook.load(folder).digest == rulebook.current().digest
    spoil(folder, "rest.toml", "No load on this site", "No weight on this site")
    assert rulebook.load(folder).digest != rulebook.current().digest
