"""The catalogues hold every text of the tree, with what a sentence needs to come out whole in another language.

Plural categories: Unicode CLDR, as Babel carries them. Placeholders: printf and format strings of the Python library
reference. Words that a caution turns on: judgement, a short list.
"""

from __future__ import annotations

import ast
import re
from collections import Counter
from collections.abc import Iterator

import pytest
from babel import Locale
from django.utils import translation
from django.utils.translation import ngettext, pgettext

from coaching.rules import rulebook
from coaching.wording import care
from tests.catalogue import files
from tests.catalogue.extraction import PACKAGES, ROOT, Key, all_keys, in_python, in_template

RENEW = "python -m tests.catalogue.renew, then translate"
HELD = re.compile(r"%\((\w+)\)([sdg])|%%|(%[sd])|(?<![%\w])\{(\w*)\}|(</?\w+[^>]*>)|(&\w+;)")
LAZY_LESS = {"gettext", "ngettext", "pgettext", "npgettext"}


@pytest.fixture(scope="module")
def tree() -> set[Key]:
    return all_keys()


@pytest.fixture(scope="module", params=files.LANGUAGES)
def language(request: pytest.FixtureRequest) -> str:
    return str(request.param)


def said(words: str | tuple[str, ...]) -> tuple[str, ...]:
    return words if isinstance(words, tuple) else (words,)


def held(text: str) -> Counter[str]:
    """Placeholders, tags and entities."""
    return Counter(found.group(0) for found in HELD.finditer(text))


def test_every_text_of_the_tree_is_in_the_catalogue_and_none_that_is_gone(tree: set[Key], language: str) -> None:
    there = set(files.keyed(files.read(language)))
    assert sorted(tree - there)[:5] == [], RENEW
    assert sorted(there - tree)[:5] == [], RENEW


def test_what_is_not_translated_is_listed_and_nothing_is_a_guess(language: str) -> None:
    catalogue = files.read(language)
    assert [message.id for message in catalogue if message.id and message.fuzzy] == []
    empty = [key[1] for key, words in files.keyed(catalogue).items() if not all(said(words))]
    assert sorted(empty) == files.waiting().get(language, []), RENEW


def test_the_file_that_is_read_is_made_from_the_file_that_is_written(language: str) -> None:
    catalogue = files.read(language)
    assert files.path(language).read_bytes() == files.po(files.make(language, files.keyed(catalogue))), RENEW
    assert files.path(language).with_suffix(".mo").read_bytes() == files.mo(catalogue), RENEW


def test_placeholders_tags_and_entities_are_those_of_the_english(language: str) -> None:
    wrong = []
    for (_, one, more), words in files.keyed(files.read(language)).items():
        forms = said(words)
        for text, form in zip((one, *(more,) * (len(forms) - 1)), forms, strict=True):
            # A form for one may say "one" in words and leave the number out, as the English may.
            missing, extra = held(text) - held(form), held(form) - held(more or one) - held(one)
            if extra or (missing and not (more and text is one and set(missing) <= {"%(n)d", "%(n)s", "{n}"})):
                wrong.append((text, form))
    assert wrong == []


def test_a_sentence_ends_as_the_english_does(language: str) -> None:
    """A full stop or a colon lost at the end runs two sentences together; so does a space lost at either end."""
    wrong = []
    for (_, one, more), words in files.keyed(files.read(language)).items():
        for text, form in zip((one, *(more,) * (len(said(words)) - 1)), said(words), strict=True):
            ends = [found[-1:] if found[-1:] in ".:?" else "" for found in (text.strip(), form.strip())]
            around = [(found[:1] == " ", found[-1:] == " ") for found in (text, form)]
            if form and (ends[0] != ends[1] or around[0] != around[1]):
                wrong.append((text, form))
    assert wrong == []


def test_plural_forms_are_those_of_the_language(language: str) -> None:
    """The forms are those of the categories that CLDR gives the language, and a number is told in that of its own."""
    catalogue, locale = files.read(language), Locale(language)
    forms = [tag for tag in ("one", "many", "other") if tag in locale.plural_form.tags | {"other"}]
    assert catalogue.num_plurals == len(forms)
    words = files.keyed(catalogue)["", "%(n)d day", "%(n)d days"]
    for n in (0, 1, 2, 21, 101, 1_000_000):
        with translation.override(language):
            assert ngettext("%(n)d day", "%(n)d days", n) == words[forms.index(locale.plural_form(n))], n
    assert words[forms.index(locale.plural_form(0))] == {"de": "%(n)d Tage", "fr": "%(n)d jour"}[language]


def test_dates_are_written_with_the_same_parts(language: str) -> None:
    """Django's letters for a date: weekday D or l, day j, month M or F, year Y; b is M without a capital."""
    for (context, one, _), words in files.keyed(files.read(language)).items():
        if context == "date format":
            parts = [sorted(re.findall("[a-zA-Z]", form.replace("b", "M"))) for form in (one, said(words)[0])]
            assert parts[0] == parts[1], one


def test_each_verb_of_care_has_a_mark_of_its_own_and_the_key_says_which(language: str) -> None:
    key = next(key for key in files.keyed(files.read(language)) if key[1].startswith("care, its first letter"))
    with translation.override(language):
        marks = {verb: str(mark) for verb, mark in care.VERB_MARKS.items()}
        named = [f"{mark} {care.VERBS[verb]}" for verb, mark in marks.items()]
    assert len(set(marks.values())) == len(marks)
    told = said(files.keyed(files.read(language))[key])[0]
    assert [one for one in named if one not in told] == []


TURNS = {
    r"\bnever\b": {"de": r"\bnie\b|\bkein|\bnie$", "fr": r"jamais|aucun|ne .* (pas|rien)|pas de"},
    r"\bdoctor\b": {"de": r"[Aa]rzt|[Ää]rzt|medizin", "fr": r"médecin|médical"},
    r"\bpharmacist\b": {"de": r"Apotheke", "fr": r"pharmacien"},
    r"\bemergency department\b": {"de": r"Notaufnahme", "fr": r"urgences"},
    r"\ballergy\b": {"de": r"[Aa]llerg", "fr": r"[Aa]llerg"},
    r"\bpregnan": {"de": r"[Ss]chwanger", "fr": r"enceinte|grossesse"},
    r"\bfever\b": {"de": r"Fieber", "fr": r"fièvre"},
    r"\bstop\b": {"de": r"[Aa]ufhören|[Ss]topp", "fr": r"[Aa]rrêt"},
    r"\bnot on\b|\bnot over\b": {"de": r"[Nn]icht|[Nn]ie", "fr": r"[Pp]as|[Jj]amais"},
}
"""What a caution turns on, and how each language says it."""


@pytest.mark.parametrize("turn", TURNS)
def test_a_caution_loses_no_word_that_it_turns_on(turn: str, language: str) -> None:
    words = {key[1]: said(found)[0] for key, found in files.keyed(files.read(language)).items()}
    cautions = {rule.caution for rule in rulebook.current().forms.values()}
    about = cautions | {text for text in words if "doctor" in text or "emergency department" in text}
    asked = [text for text in about if re.search(turn, text, re.IGNORECASE)]
    assert asked, "no caution says it: the check asks nothing"
    assert [text for text in asked if not re.search(TURNS[turn][language], words[text], re.IGNORECASE)] == []


def test_a_number_of_a_caution_is_the_same_number(language: str) -> None:
    """Ages, shares and days of a caution are in its translation, each as often."""
    words = {key[1]: said(found)[0] for key, found in files.keyed(files.read(language)).items()}
    for rule in rulebook.current().forms.values():
        for text in (rule.caution, rule.how):
            assert sorted(re.findall(r"\d+", text)) == sorted(re.findall(r"\d+", words[text])), text


def functions(tree: ast.AST) -> Iterator[ast.FunctionDef]:
    return (node for node in ast.walk(tree) if isinstance(node, ast.FunctionDef))


def translated_now(node: ast.AST) -> bool:
    """A call that translates at once, outside every function within the node."""
    if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda):
        return False
    if isinstance(node, ast.Call) and getattr(node.func, "id", getattr(node.func, "attr", "")) in LAZY_LESS:
        return True
    return any(map(translated_now, ast.iter_child_nodes(node)))


def kept_words(source: str) -> list[str]:
    """Words that would stay in the language of whoever came first: made at import, or kept by a cache of a function."""
    tree, found = ast.parse(source), []
    if any(translated_now(node) for node in tree.body):
        found.append("at import")
    for one in functions(tree):
        caches = {getattr(mark, "id", getattr(getattr(mark, "func", None), "id", "")) for mark in one.decorator_list}
        if caches & {"cache", "lru_cache"} and any(map(translated_now, one.body)):
            found.append(one.name)
    return found


def test_no_word_is_kept_in_the_language_of_whoever_came_first() -> None:
    assert kept_words("from x import gettext\nA = gettext('a')") == ["at import"]
    assert kept_words("@lru_cache(maxsize=4)\ndef a(n):\n    return gettext('a')") == ["a"]
    paths = [path for package in PACKAGES for path in (ROOT / package).rglob("*.py")]
    assert {str(path): found for path in paths if (found := kept_words(path.read_text(encoding="utf-8")))} == {}


def test_texts_are_found_as_they_are_marked() -> None:
    source = 'a = gettext("one " "two"); b = ngettext("%(n)d x", "%(n)d xs", n); c = pgettext_lazy("care", "dry")'
    assert set(in_python(source)) == {("", "one two", ""), ("", "%(n)d x", "%(n)d xs"), ("care", "dry", "")}
    page = '{% load i18n %}{% translate "A" context "b" %}{% blocktranslate count n=k %}{{ n }} x{% plural %}{{ n }} xs'
    found = set(in_template(page + '{% endblocktranslate %}{{ x|default:_("it\'s") }}'))
    assert found == {("b", "A", ""), ("", "%(n)s x", "%(n)s xs"), ("", "it's", "")}


def test_a_code_says_its_own_word_in_each_language(language: str) -> None:
    """One English word with two meanings has a context; here they differ."""
    with translation.override(language):
        assert pgettext("care", "dry") != translation.gettext("dry")


def test_what_concludes_stores_and_draws_knows_no_words() -> None:
    """So what is stored is the same whoever's language it was made in; words come at the end, in delivery."""
    layers = ("coaching/science", "coaching/rules", "coaching/ledger", "coaching/drawing", "coaching/sheets")
    sources = {path: path.read_text(encoding="utf-8") for layer in layers for path in (ROOT / layer).rglob("*.py")}
    assert len(sources) > 50
    assert [str(path) for path, source in sources.items() if "utils.translation" in source] == []
    assert [str(path) for path, source in sources.items() if list(in_python(source))] == []
