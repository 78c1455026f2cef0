"""Counting tries in the database, in one statement, so that of many at once none is missed."""

from __future__ import annotations

from django.db import connection

COUNT = """
INSERT INTO records_tried (what, until_s, times) VALUES (%(what)s, %(until_s)s, 1)
ON CONFLICT (what) DO UPDATE SET
    times = CASE WHEN records_tried.until_s <= %(now_s)s THEN 1 ELSE records_tried.times + 1 END,
    until_s = CASE WHEN records_tried.until_s <= %(now_s)s THEN excluded.until_s ELSE records_tried.until_s END
RETURNING times, until_s
"""


def count(what: str, window_s: int, now_s: int) -> tuple[int, int]:
    """This try's number in its window, and the seconds until the window ends. One statement, counted whatever follows:
    call it outside a transaction.
    """
    with connection.cursor() as cursor:
        cursor.execute(COUNT, {"what": what, "until_s": now_s + window_s, "now_s": now_s})
        times, until_s = cursor.fetchone()
    return int(times), max(1, int(until_s) - now_s)
