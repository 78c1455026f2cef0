"""Every row that is of one athlete, found by walking the schema, so that a table made tomorrow is not forgotten.

A foreign key that would cascade, or do nothing, leads on; one that would be set to nothing is. A column called
`athlete_id` counts although no foreign key is on it: conclusions have none.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from typing import Any

from django.apps import apps
from django.db import connection
from django.db.models import SET_NULL, Model

from athletes.records.models import Athlete, Person, Role

Keys = set[Any]
Doomed = dict[type[Model], Keys]
CHUNK = 500


def erase_rows(athlete_id: int) -> int:
    """Delete them all; call it inside a transaction. Returns how many rows went.

    Whoever has no other role goes along: the athlete's own person and login, and guardians of nobody else.
    """
    emptied: list[tuple[type[Model], str, Keys]] = []
    doomed = rows_of(athlete_id, emptied)
    for model, column, keys in emptied:
        _each(f"UPDATE {_table(model)} SET {column} = NULL WHERE", _key(model), keys - doomed[model])  # noqa: S608
    # The athlete goes first: words of consent let themselves be deleted only then. Keys are checked at the end.
    ordered = [Athlete, *(model for model in doomed if model is not Athlete)]
    return sum(_each(f"DELETE FROM {_table(m)} WHERE", _key(m), doomed[m]) for m in ordered)  # noqa: S608


def rows_of(athlete_id: int, emptied: list[tuple[type[Model], str, Keys]] | None = None) -> Doomed:
    """Keys of the rows that go, by model; what would be set to nothing is added to `emptied`."""
    doomed: Doomed = defaultdict(set)
    emptied = [] if emptied is None else emptied
    follow(Athlete, {athlete_id}, doomed, emptied)
    follow(Person, _people(athlete_id), doomed, emptied)
    for model, column in keyed_without_reference():
        doomed[model] |= set(model._default_manager.filter(**{column: athlete_id}).values_list("pk", flat=True))
    return doomed


def keyed_without_reference() -> Iterator[tuple[type[Model], str]]:
    """Models whose rows name their athlete by a bare number."""
    for model in apps.get_models():
        if any(field.name == "athlete_id" for field in model._meta.concrete_fields):
            yield model, "athlete_id"


def reaching_the_athlete() -> set[type[Model]]:
    """Every model that an erasure looks into."""
    doomed: Doomed = defaultdict(set)
    for root in (Athlete, Person):
        follow(root, {0}, doomed, [], look=False)
    return set(doomed) | {model for model, _ in keyed_without_reference()}


def follow(
    model: type[Model],
    keys: Keys,
    doomed: Doomed,
    emptied: list[tuple[type[Model], str, Keys]],
    look: bool = True,
) -> None:
    """Add to `doomed` what hangs on these rows, and to `emptied` whose column would be set to nothing. Without `look`
    no row is looked for, and every model that could have one is added.
    """
    keys = keys - doomed[model] if look else keys
    if not keys or (not look and keys <= doomed[model]):
        return
    doomed[model] |= keys
    for relation in model._meta.get_fields(include_hidden=True):
        if not (relation.auto_created and (relation.one_to_many or relation.one_to_one)) or relation.concrete:
            continue
        other: Any = relation.related_model
        field: Any = relation.field
        found = set(_referring(other, field.name, keys)) if look else {0}
        if relation.on_delete is SET_NULL:
            emptied.append((other, f'"{field.column}"', found))
        else:
            follow(other, found, doomed, emptied, look)


def _referring(model: type[Model], name: str, keys: Keys) -> Iterator[Any]:
    for some in _chunks(keys):
        yield from model._base_manager.filter(**{f"{name}__in": some}).values_list("pk", flat=True)


def _people(athlete_id: int) -> Keys:
    """People who are in the records for this athlete alone."""
    mine = set(Role.objects.filter(athlete_id=athlete_id).values_list("person_id", flat=True))
    others = Role.objects.filter(person_id__in=mine).exclude(athlete_id=athlete_id)
    return mine - set(others.values_list("person_id", flat=True))


def _table(model: type[Model]) -> str:
    return connection.ops.quote_name(model._meta.db_table)


def _key(model: type[Model]) -> str:
    return connection.ops.quote_name(model._meta.pk.column)


def _each(statement: str, column: str, keys: Iterable[Any]) -> int:
    """Run it for these keys; nothing in it was typed by anybody but names from the schema."""
    count = 0
    with connection.cursor() as cursor:
        for some in _chunks(keys):
            cursor.execute(f"{statement} {column} IN ({', '.join(['%s'] * len(some))})", some)
            count += cursor.rowcount
    return count


def _chunks(keys: Iterable[Any]) -> Iterator[list[Any]]:
    every = sorted(keys)
    return (every[n : n + CHUNK] for n in range(0, len(every), CHUNK))
