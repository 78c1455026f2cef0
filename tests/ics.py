"""A strict reader of calendar files, from the text of RFC 5545 alone; nothing of the library that writes them is in it.

Section 3.1: lines end with CRLF, are no longer than 75 octets without it, are folded by CRLF and one space or tab, and
are a name, parameters and a value. Section 3.3.11: what a TEXT may hold and how it is escaped. Section 3.6: what a
component must have and may have once.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field

LONGEST = 75
LINE = re.compile(r'([A-Za-z0-9-]+)((?:;[A-Za-z0-9-]+=(?:"[^"\x00-\x1f]*"|[^";:,\x00-\x1f]*))*):(.*)', re.S)
TEXTS = {"SUMMARY", "NAME", "DESCRIPTION", "TZNAME", "PRODID", "UID"}
TEXT = re.compile(r"(?:[^\\;,\x00-\x08\x0a-\x1f\x7f]|\\[\\;,nN])*")
MUST = {
    "VCALENDAR": {"PRODID", "VERSION"},
    "VEVENT": {"UID", "DTSTAMP", "DTSTART"},
    "VTIMEZONE": {"TZID"},
    "STANDARD": {"DTSTART", "TZOFFSETFROM", "TZOFFSETTO"},
    "DAYLIGHT": {"DTSTART", "TZOFFSETFROM", "TZOFFSETTO"},
}
ONCE = {"UID", "DTSTAMP", "DTSTART", "DTEND", "SEQUENCE", "STATUS", "SUMMARY", "CLASS", "TRANSP", "VERSION", "PRODID"}


@dataclass
class Component:
    name: str
    properties: list[tuple[str, dict[str, str], str]] = field(default_factory=list)
    inside: list[Component] = field(default_factory=list)

    def value(self, name: str) -> str:
        """The value of a property that is there once, escapes undone."""
        (found,) = [value for own, _, value in self.properties if own == name]
        return re.sub(r"\\(.)", lambda m: "\n" if m[1] in "nN" else m[1], found) if name in TEXTS else found

    def parameters(self, name: str) -> dict[str, str]:
        return next(parameters for own, parameters, _ in self.properties if own == name)

    def all(self, name: str) -> list[Component]:
        return [one for one in self.inside if one.name == name]


def read(content: bytes) -> Component:
    """The calendar. Raises AssertionError where a line or a component is not as the standard has it."""
    lines = _unfolded(content)
    top = Component("")
    stack = [top]
    for line in lines:
        found = LINE.fullmatch(line)
        assert found, f"no content line: {line!r}"
        name, value = found[1].upper(), found[3]
        given = dict(part.split("=", 1) for part in found[2].split(";") if part)
        if name == "BEGIN":
            stack.append(Component(value))
            stack[-2].inside.append(stack[-1])
        elif name == "END":
            ended = stack.pop()
            assert ended.name == value, f"{ended.name} ends as {value}"
            _whole(ended)
        else:
            assert name not in TEXTS or TEXT.fullmatch(value), f"not escaped: {line!r}"
            stack[-1].properties.append((name, given, value))
    assert len(stack) == 1 and len(top.inside) == 1 and top.inside[0].name == "VCALENDAR"
    return top.inside[0]


def _unfolded(content: bytes) -> list[str]:
    assert content.endswith(b"\r\n")
    physical = content[:-2].split(b"\r\n")
    for line in physical:
        assert b"\r" not in line and b"\n" not in line, f"a bare line end in {line!r}"
        assert 0 < len(line) <= LONGEST, f"{len(line)} octets: {line!r}"
        line.decode("utf-8")  # raises where a letter of several octets is cut in two
    assert physical[0][:1] not in (b" ", b"\t")
    found: list[bytes] = []
    for line in physical:
        if line[:1] in (b" ", b"\t"):
            found[-1] += line[1:]
        else:
            found.append(line)
    return [line.decode("utf-8") for line in found]


def _whole(one: Component) -> None:
    names = [name for name, _, _ in one.properties]
    assert MUST.get(one.name, set()) <= set(names), f"{one.name} lacks {MUST[one.name] - set(names)}"
    twice = {name for name in names if names.count(name) > 1} & ONCE
    assert not twice, f"{one.name} has {twice} more than once"
