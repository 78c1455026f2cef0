"""Every text marked for translation, read off the tree: Python by its syntax tree, templates as Django reads them,
and the sentences of the rulebook, which are data.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

from django.utils.translation.template import templatize

from coaching.rules import rulebook

ROOT = Path(__file__).resolve().parents[2]
PACKAGES = ("api", "athletes", "coaching")
Key = tuple[str, str, str]
"""(context, text, text for several); "" where there is none."""

_SHAPES = {"gettext": "t", "gettext_lazy": "t", "gettext_noop": "t", "_": "t", "ngettext": "tp", "ngettext_lazy": "tp",
           "pgettext": "ct", "pgettext_lazy": "ct", "npgettext": "ctp", "npgettext_lazy": "ctp"}  # fmt: skip
"""What the arguments of each function are: context, text, text for several."""
_LITERAL = r"""u?(?:'(?:\\.|[^'\\])*'|"(?:\\.|[^"\\])*")"""
_CALL = re.compile(rf"(?<!\w)({'|'.join(_SHAPES)})\(\s*({_LITERAL}(?:\s*,\s*{_LITERAL})*)")


def _key(name: str, texts: list[str]) -> Key:
    told = dict(zip(_SHAPES[name], texts, strict=False))
    return told.get("c", ""), told["t"], told.get("p", "")


def in_python(source: str) -> Iterator[Key]:
    """The texts of a module; a call whose text is not written out marks nothing."""
    for node in ast.walk(ast.parse(source)):
        if not isinstance(node, ast.Call):
            continue
        name = node.func.id if isinstance(node.func, ast.Name) else getattr(node.func, "attr", "")
        if name not in _SHAPES:
            continue
        asked = node.args[: len(_SHAPES[name])]
        texts = [one.value for one in asked if isinstance(one, ast.Constant) and isinstance(one.value, str)]
        if len(texts) == len(_SHAPES[name]):
            yield _key(name, texts)


def in_template(source: str) -> Iterator[Key]:
    """The texts of a template."""
    for name, literals in _CALL.findall(templatize(source)):
        yield _key(name, list(ast.literal_eval(f"({literals},)")))


def in_rulebook() -> Iterator[Key]:
    """How each form of care is done, its caution, and what the trade says; sources stay as they are printed."""
    book = rulebook.current()
    for rule in book.forms.values():
        yield from (("", text, "") for text in (rule.how, rule.caution) if text)
    for said in book.practice.values():
        yield from (("", text, "") for text in (said.says, said.here))
    for one in book.contradictions.values():
        yield from (("", text, "") for text in (*one.says, one.here))


def all_keys() -> set[Key]:
    """Every text of the tree."""
    found = set(in_rulebook())
    for package in PACKAGES:
        for path in sorted((ROOT / package).rglob("*.py")):
            found.update(in_python(path.read_text(encoding="utf-8")))
        for path in sorted((ROOT / package).rglob("templates/**/*.*")):
            found.update(in_template(path.read_text(encoding="utf-8")))
    return {key for key in found if key[1]}
