"""One session's answers as a plain form: what is planned stands in it to be confirmed, what only the athlete knows is
left open.
"""

from __future__ import annotations

from datetime import datetime, time
from typing import Any
from zoneinfo import ZoneInfo

from django import forms
from django.utils.translation import gettext_lazy as _

from athletes.records import choices
from coaching.usecases.after_session import SessionAsked
from coaching.usecases.counting import Counted

EFFORTS = tuple(str(n) for n in range(11))
YES_NO = ("yes", "no")
HAPPENED = ("yes", "no")


class SessionForm(forms.Form):
    """Names of fields are those of the answers; `happened` is "no" where a planned session was left out."""

    happened = forms.ChoiceField(choices=[(code, code) for code in HAPPENED], required=False)
    skin_limited = forms.ChoiceField(
        choices=[(code, code) for code in YES_NO], required=False,
        error_messages={"invalid_choice": _("Choose yes or no.")},
    )  # fmt: skip
    minutes = forms.FloatField(
        required=False, min_value=0, max_value=1440,
        error_messages={
            "invalid": _("Type the minutes as a number."), "max_value": _("A day has 1440 minutes."),
            "min_value": _("Minutes start at 0."),
        },
    )  # fmt: skip
    rpe = forms.ChoiceField(
        choices=[(code, code) for code in EFFORTS], required=False,
        error_messages={"invalid_choice": _("Choose 0 to 10.")},
    )  # fmt: skip
    surface = forms.ChoiceField(
        choices=[(code, code) for code in choices.SURFACES], required=False,
        error_messages={"invalid_choice": _("Choose one of the surfaces.")},
    )  # fmt: skip
    hard_tries = forms.IntegerField(
        required=False, min_value=0, max_value=1000,
        error_messages={
            "invalid": _("Type the number of hard tries as a whole number."),
            "max_value": _("At most 1000 hard tries."), "min_value": _("Hard tries start at 0."),
        },
    )  # fmt: skip
    place_id = forms.ChoiceField(
        required=False, error_messages={"invalid_choice": _("Choose one of the places, or none.")}
    )
    began = forms.TimeField(
        required=False, input_formats=["%H:%M"],
        error_messages={"invalid": _("Type the hour as 17:30.")},
    )  # fmt: skip

    def __init__(self, asked: SessionAsked, data: Any = None) -> None:
        super().__init__(data, initial=_start(asked))
        self.asked = asked
        place: Any = self.fields["place_id"]
        place.choices = [("", ""), *asked.places]

    def clean(self) -> dict[str, Any]:
        found = super().clean() or {}
        said = any(found.get(name) not in (None, "") for name in self.fields if name != "happened")
        if not self.errors and not said and found.get("happened") != "no":
            self.add_error(None, _("Nothing is answered yet. One tap is enough: did skin limit you?"))
        return found

    def values(self) -> dict[str, Any]:
        """The valid answers as columns of sessions.csv. A session left out is known to have been nothing."""
        found, day = self.cleaned_data, self.asked.day
        base = {"local_date": day, "ordinal": self.asked.ordinal}
        if found["happened"] == "no":
            return {**base, "minutes": 0.0, "hard_tries": 0, "rpe": None, "skin_limited": None}
        return {
            **base,
            "minutes": found["minutes"],
            "rpe": float(found["rpe"]) if found["rpe"] else None,
            "surface": found["surface"] or None,
            "hard_tries": found["hard_tries"],
            "skin_limited": {"yes": True, "no": False}.get(found["skin_limited"]),
            "place_id": found["place_id"] or None,
            "started_at": self._instant(found["began"]),
        }

    def _instant(self, began: time | None) -> datetime | None:
        """The hour as an instant of the athlete's own clock; of an hour that comes twice, the first."""
        return datetime.combine(self.asked.day, began, ZoneInfo(self.asked.timezone)) if began else None


def _start(asked: SessionAsked) -> dict[str, Any]:
    """What was told before, else what was counted, else what is planned. Whether skin limited the session is never
    taken from a plan; that the athlete ended it because skin was about to open is their own word.
    """
    if asked.told is None and asked.counted is not None:
        return _plan(asked) | _counted(asked.counted, asked.timezone)
    return _plan(asked)


def _counted(found: Counted, timezone: str) -> dict[str, Any]:
    """What the tally knows; what it does not know stays as it is planned."""
    began = found.began_at.astimezone(ZoneInfo(timezone)).strftime("%H:%M") if found.began_at else ""
    told = {
        "hard_tries": found.total, "surface": found.surface, "minutes": found.minutes, "began": began,
        "skin_limited": "yes" if found.end and found.end.what == "skin" else None,
    }  # fmt: skip
    return {name: value for name, value in told.items() if value not in (None, "")}


def _plan(asked: SessionAsked) -> dict[str, Any]:
    """What was told before, else what is planned."""
    known = asked.told or asked.planned
    if known is None:
        return {}
    begun = known.started_at.astimezone(ZoneInfo(asked.timezone)).strftime("%H:%M") if known.started_at else ""
    return {
        "minutes": None if known.minutes is None else f"{known.minutes:g}",
        "rpe": "" if known.rpe is None else f"{round(known.rpe)}",
        "surface": known.surface or "",
        "hard_tries": known.hard_tries,
        "place_id": known.place or "",
        "began": begun,
        "skin_limited": {True: "yes", False: "no"}.get(known.skin_limited, "") if asked.told else "",
    }
