"""Templates hold no inline style, script or handler and name no other host: the policy forbids them."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
TEMPLATES = sorted(
    path
    for folder in ("coaching/config/templates", "coaching/pages/templates", "athletes/pages/templates")
    for path in (ROOT / folder).rglob("*.html")
)
HANDLER = re.compile(r"<[^>]*\son[a-z]+\s*=", re.I)
STYLE = re.compile(r"<style\b|<[^>]*\sstyle\s*=", re.I)
SCRIPT = re.compile(r"<script\b(?![^>]*\bsrc=)", re.I)
HOST = re.compile(r"""(?:src|href|action)\s*=\s*["'](?:https?:)?//""", re.I)
TAGS = re.compile(r"{%.*?%}|{{.*?}}|<[^>]*>|&\w+;", re.S)
MARKED = re.compile(r"{% blocktranslate.*?endblocktranslate %}|{% block page_class %}.*?{% endblock %}", re.S)
SPOKEN = re.compile(r"""(?:aria-label|title|alt|placeholder)="[A-Za-z]""")


def test_there_are_templates() -> None:
    assert len(TEMPLATES) > 20


@pytest.mark.parametrize("path", TEMPLATES, ids=lambda p: p.name)
@pytest.mark.parametrize(
    "forbidden", [HANDLER, STYLE, SCRIPT, HOST], ids=["handler", "style", "script", "host"]
)
def test_nothing_inline_and_no_other_host(path: Path, forbidden: re.Pattern[str]) -> None:
    assert forbidden.search(path.read_text(encoding="utf-8")) is None


@pytest.mark.parametrize("path", TEMPLATES, ids=lambda p: p.name)
def test_every_word_is_marked_for_translation(path: Path) -> None:
    text = MARKED.sub("", path.read_text(encoding="utf-8"))
    drawn = re.sub(r"<svg.*?</svg>", "", text, flags=re.S)
    assert re.findall(r"[A-Za-z]{2,}", TAGS.sub(" ", drawn)) == []
    assert SPOKEN.search(drawn) is None


def test_the_patterns_find_what_they_forbid() -> None:
    assert HANDLER.search('<a href="x" onclick="y()">') and STYLE.search('<p class="a" style="color:red">')
    assert SCRIPT.search("<script>go()</script>") and not SCRIPT.search(
        '<script src="/static/a.js"></script>'
    )
    assert HOST.search('<img src="//elsewhere.example/a.png">') and SPOKEN.search('<nav aria-label="Pages">')
