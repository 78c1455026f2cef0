"""What can be wrong with a value or a row, in words, and what to do about it."""

from __future__ import annotations

from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from athletes.records.errors import BadInput

PROBLEMS = {
    "missing": (_("must not be empty"), _("fill it in")),
    "not-text": (_("is not text"), _("give text")),
    "control-character": (_("holds a character that cannot be printed"), _("take it out")),
    "too-long": (_("is too long"), _("use at most {hint} characters")),
    "semicolon": (_("holds a semicolon"), _("semicolons only divide the items of a list")),
    "not-a-date": (_("is not a date"), _("write it as {hint}, a day that the calendar has")),
    "not-an-instant": (_("is not a point in time with its offset"), _("write it as {hint}")),
    "not-a-number": (_("is not a number"), _("write it with digits and a decimal point")),
    "not-whole": (_("is not a whole number"), _("give a whole number from {hint}")),
    "not-finite": (_("is not a finite number"), _("leave it empty where it is not known")),
    "out-of-range": (_("is outside {hint}"), _("give a value within {hint}")),
    "not-yes-or-no": (_("is neither yes nor no"), _("write yes or no, or leave it empty")),
    "unknown-code": (_("is not one of the codes"), _("use one of: {hint}")),
    "unknown-site": (_("is not a site of the hand"), _("write it as in {hint}")),
    "unknown-timezone": (_("is not a time zone"), _("use an IANA name such as {hint}")),
    "not-a-mark": (_("is not a site with a mark"), _("write it as in {hint}")),
    "not-a-list": (_("is not a list"), _("give a list")),
    "unknown-column": (_("is not a column of this table"), _("use only: {hint}")),
    "before-first": (_("lies before the first day, {hint}"), _("put the days in order")),
    "not-a-form-of-verb": (_("is not a form of that verb"), _("use one of: {hint}")),
    "no-column": (_("is a column that must be there"), _("add it to the first row; its cells may be empty")),
    "column-twice": (_("stands twice in the first row"), _("keep one of the two")),
    "cells": (_("the row has more or fewer cells than the first row"), _("give it {hint} cells")),
    "not-csv": (_("is not a table as RFC 4180 has it: {hint}"), _("check the quotation marks")),
    "not-utf-8": (_("is not UTF-8 text"), _("save the file as UTF-8")),
    "no-header": (_("has no first row with the names of the columns"), _("add it: {hint}")),
    "contradicts": (
        _("says something else than row {hint} of the same thing"),
        _("keep one of the two rows"),
    ),
    "differs-from-stored": (
        _("says something else than what is stored for it"),
        _("correct it where it is kept, or leave the row out"),
    ),
    "unknown-reference": (_("is found neither in {hint} nor in what is stored"), _("add it to {hint}")),
    "unknown-file": (_("is not a file of a bundle"), _("take it out; a bundle holds {hint}")),
    "no-manifest": (_("is missing"), _("add it; it names the format, its version and the time zone")),
    "manifest": (_("does not say what it must: {hint}"), _("correct it")),
    "path-outside": (_("is a path that leads outside the bundle"), _("refuse this file and ask who made it")),
    "photo-untold": (
        _("is a photo of which the bundle does not say at which damage"), _("leave it out, or export it again"),
    ),
    "photo-refused": (_("is no photo that can be taken: {hint}"), _("leave it out, or export it again")),
    "link": (_("is a link"), _("put the file itself in its place")),
    "not-a-file": (_("is a folder or a device, not a file"), _("put the file itself in its place")),
    "name-twice": (_("stands in the zip more than once"), _("keep one of them")),
    "no-unit": (_("says no unit, and none was chosen"), _("choose its unit, or name the column as one of: {hint}")),
    "to-come": (_("is still to come, so nobody has measured it"), _("say under known_at when it was forecast")),
    "unborn": (_("is a birth date after the bundle was made, on {hint}"), _("correct it or leave it empty")),
    "too-large": (_("is larger than a bundle may be: {hint}"), _("split it by athlete")),
    "not-a-workbook": (_("is a workbook that cannot be read"), _("save it as XLSX or CSV again")),
    "too-many": (_("has more than {hint} rows"), _("divide it")),
    "not-a-bundle": (_("is neither a folder nor a zip that can be read"), _("give the path of a bundle")),
}


def wrong(code: str, hint: str = "") -> str:
    """What is wrong, as the end of a sentence that begins with the field."""
    return str(PROBLEMS[code][0]).format(hint=hint)


def remedy(code: str, hint: str = "") -> str:
    """What to do about it."""
    return str(PROBLEMS[code][1]).format(hint=hint)


def bad_input(field: str, code: str, value: object, hint: str = "") -> BadInput:
    """The error for one value."""
    return BadInput(field, wrong(code, hint), value, remedy(code, hint))


def sentence(where: str, what: str, cure: str) -> str:
    """One line of a report."""
    return gettext("{where} {what}: {cure}.").format(where=where, what=what, cure=cure)
