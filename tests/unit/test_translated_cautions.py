"""A translated caution says that no clinician has read it, with the English beside it, until one has: judgement."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from pathlib import Path

import pytest
from django.template import Context, Template
from django.utils import translation

from coaching.rules import rulebook
from coaching.wording import care, cautions, verdicts

NOTE = {"de": "noch von keiner klinischen Fachperson gelesen", "fr": "pas encore relue par un soignant"}
SPRAY = rulebook.current().forms["methenamine spray"].caution
make = partial(care.rulebook_text, SPRAY)


@pytest.fixture(autouse=True)
def _registry() -> Iterator[None]:
    yield
    cautions.signed.cache_clear()


def sign(monkeypatch: pytest.MonkeyPatch, folder: Path, language: str, english: str, read: str) -> None:
    text = f'["{language}"."{english}"]\nby = "A. B., physician"\non = 2027-01-31\n'
    file = folder / "read.toml"
    file.write_text(f'{text}fingerprint = "{cautions.fingerprint(read)}"\n', encoding="utf-8")
    monkeypatch.setattr(cautions, "READ_FILE", file)
    cautions.signed.cache_clear()


def test_nobody_has_signed_any_yet() -> None:
    assert cautions.signed() == {}


@pytest.mark.parametrize("language", ["de", "fr"])
def test_every_caution_of_the_rulebook_is_translated_and_has_its_english_beside_it(language: str) -> None:
    with translation.override(language):
        for rule in rulebook.current().forms.values():
            said = cautions.beside(partial(care.rulebook_text, rule.caution))
            assert not said.startswith(rule.caution[:20]), "not translated"
            assert NOTE[language] in said
            assert f'<span lang="en">{translation_safe(rule.caution)}</span>' in said


def translation_safe(text: str) -> str:
    return text.replace("'", "&#x27;")


def test_in_english_nothing_is_added() -> None:
    with translation.override("en"):
        assert cautions.beside(make) == translation_safe(SPRAY)
        assert cautions.plain(make) == SPRAY


def test_a_translation_that_somebody_read_stands_alone(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    with translation.override("de"):
        read = make()
        sign(monkeypatch, tmp_path, "de", SPRAY, read)
        assert cautions.beside(make) == read
    with translation.override("fr"):
        assert NOTE["fr"] in cautions.beside(make), "read in German is not read in French"


def test_a_translation_that_changed_after_it_was_read_counts_as_not_read(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    sign(monkeypatch, tmp_path, "de", SPRAY, "what it said before")
    with translation.override("de"):
        assert NOTE["de"] in cautions.beside(make)


def test_what_is_said_is_escaped() -> None:
    with translation.override("de"):
        assert "<script>" not in cautions.beside(lambda: "<script>alert(1)</script>")


@pytest.mark.parametrize("grade", ["emergency", "today", "ask"])
def test_the_advice_of_a_medical_stop_has_its_english_line_by_line(grade: str) -> None:
    english = verdicts.medical_advice(grade)
    with translation.override("fr"):
        said = cautions.each(partial(verdicts.medical_advice, grade))
        paper = cautions.plain(lambda: verdicts.medical_advice(grade)[0])
    assert len(said) == len(english) > 0
    for line, original in zip(said, english, strict=True):
        assert translation_safe(original) in line
        assert line.index("<small") > 0, "the translation comes first"
    assert english[0] in paper
    assert "<" not in paper


def test_every_page_says_the_stop_rule_in_english_under_a_translation_only() -> None:
    page = Template("{% load cautions %}{% unread_cautions %}")
    with translation.override("de"):
        assert "a finger that cannot bend: stop and see a doctor today" in page.render(Context())
    with translation.override("en"):
        assert page.render(Context()) == ""
