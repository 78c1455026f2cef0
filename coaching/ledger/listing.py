"""Conclusions for a list of many, as parts that one query can carry; bodies stay text until somebody reads them."""

from __future__ import annotations

from typing import Any

from django.db.models import Case, F, Func, OuterRef, Subquery, TextField, Value, When
from django.db.models.fields.json import KeyTransform
from django.db.models.functions import Cast

from coaching.ledger.models import Conclusion, EntryConclusion, Staleness


class DayBefore(Func):
    """The day before a day; the ORM's own way with a timedelta gives an instant on SQLite, which equals no day."""

    template = "(%(expressions)s - 1)"

    def as_sqlite(self, compiler: Any, connection: Any, **context: Any) -> Any:
        """As SQLite counts days."""
        return self.as_sql(compiler, connection, template="date(%(expressions)s, '-1 day')", **context)


def _newest(key: str) -> Subquery:
    rows = Conclusion.objects.filter(athlete_id=OuterRef(key)).order_by("-as_of")
    return Subquery(rows.values("as_of")[:1])


def conclusions(athlete_ids: Any) -> Any:
    """The newest conclusion of each athlete; as text its picture (`drawn`), today's verdict and limits of sessions."""
    rows = Conclusion.objects.filter(athlete_id__in=athlete_ids, as_of=_newest("athlete_id"))
    return rows.annotate(
        drawn=Cast("picture", TextField()),
        verdict=Cast(KeyTransform("today", "body"), TextField()),
        limited=Cast(KeyTransform("limits", "body"), TextField()),
    )


def entries(athlete_ids: Any) -> Any:
    """Entries of those conclusions, the body as text (`said`), and of the day before them, without the body."""
    newest = EntryConclusion.objects.filter(athlete_id__in=athlete_ids).annotate(newest=_newest("athlete_id"))
    text = Case(When(as_of=F("newest"), then=Cast("body", TextField())), default=Value(""), output_field=TextField())
    return newest.filter(as_of__lte=F("newest"), as_of__gte=DayBefore(F("newest"))).annotate(said=text)


def stale(athlete_ids: Any) -> Any:
    """Rows of those of the athletes whose facts are newer than their conclusions."""
    return Staleness.objects.filter(athlete_id__in=athlete_ids, computed_rev__lt=F("input_rev"))
