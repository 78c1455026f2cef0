"""The record of processing (Art. 30) and the impact assessment (Art. 35), written from the register of columns."""

from __future__ import annotations

from collections.abc import Iterator

from athletes.records import register
from athletes.records.register import Entry

problems = register.problems


def record() -> str:
    """The record of processing as Markdown: by purpose, each table with classes of data, basis and term."""
    told, tables = register.loaded(), register.tables()
    lines = ["# Record of processing", "", "Made from the register of columns; every column there is stands in it.", ""]
    for purpose, words in told["purpose"].items():
        entries = [one for one in register.entries() if one.purpose == purpose]
        if not entries:
            continue
        lines += [f"## {purpose}: {words}", ""]
        lines += ["| what | columns by class | basis | kept |", "| --- | --- | --- | --- |"]
        for table in sorted({one.table for one in entries}):
            mine = [one for one in entries if one.table == table]
            basis, kept = told["basis"][mine[0].basis], told["retention"][mine[0].retention]
            lines.append(f"| {tables[table]['what']} ({table}) | {_by_class(mine)} | {basis} | {kept} |")
        lines.append("")
    lines += ["## Words", ""]
    lines += [f"- {name}: {words}" for name, words in told["class"].items()]
    lines += ["", *(f"- {who}" for who in told["record"]["also"]), ""]
    return "\n".join(lines)


def impact() -> str:
    """The impact assessment as Markdown: what is processed, why it needs one, each risk with what holds it."""
    told = register.loaded()
    health = [one for one in register.entries() if one.data_class == "health"]
    count = len(list(register.entries()))
    lines = ["# Impact assessment", "", told["impact"]["why"], ""]
    lines += [
        f"{count} columns are kept, {len(health)} of them of health, in {len({one.table for one in health})} tables: "
        + "; ".join(sorted({register.tables()[one.table]["what"] for one in health}))
        + ".",
        "",
    ]
    lines += ["| risk | what holds it | proof | what is left |", "| --- | --- | --- | --- |"]
    for risk in told["impact"]["risks"]:
        lines.append(f"| {risk['risk']} | {risk['held_by']} | {risk['proof']} | {risk['left']} |")
    lines += ["", "## In a child's words", "", told["impact"]["child"], "", "## For a lawyer to answer", ""]
    lines += [f"- {question}" for question in told["impact"]["lawyer"]]
    return "\n".join([*lines, ""])


def _by_class(entries: list[Entry]) -> str:
    return "; ".join(_classes(entries))


def _classes(entries: list[Entry]) -> Iterator[str]:
    for data_class in dict.fromkeys(one.data_class for one in entries):
        yield f"{data_class}: " + ", ".join(one.column for one in entries if one.data_class == data_class)
