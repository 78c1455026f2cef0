"""A note of damage, and a look after it, as plain forms: nothing preset, everything but site and kind may stay open."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from athletes.records import choices
from athletes.records.photos.cleaning import Clean, cleaned
from athletes.records.photos.shape import MOST_BYTES, Refused
from coaching.usecases.note_damage import LookTold, Note, Signs
from coaching.wording import damage_note

YES_NO = ("yes", "no")
PAINS = tuple(str(n) for n in range(11))
LENGTHS = tuple(str(n) for n in damage_note.LENGTHS_MM)
NOTICED = ("0", "1", "2")
"""Days back from today."""


def _one_of(codes: Sequence[str], wrong: Any, **more: Any) -> forms.ChoiceField:
    """A question that may stay open unless `required` says why not."""
    errors = {"invalid_choice": wrong, "required": more.pop("missing", wrong)}
    required = more.get("required", False)
    return forms.ChoiceField(choices=[(c, c) for c in codes], required=required, error_messages=errors)


def _yes_no() -> forms.ChoiceField:
    return _one_of(YES_NO, _("Choose yes or no."))


class WithPhoto(forms.Form):
    """What both forms ask: how it looks, signs of infection, a photo."""

    stage = _one_of(choices.STAGES, _("Choose one of the five stages."))
    bled = _yes_no()
    infected = _yes_no()
    red_flags = forms.MultipleChoiceField(
        choices=[(c, c) for c in choices.RED_FLAGS], required=False,
        error_messages={"invalid_choice": _("One of the signs is not known.")},
    )  # fmt: skip
    photo = forms.FileField(
        required=False, error_messages={"empty": damage_note.PHOTO_REFUSED["empty"], "invalid": _("Choose a file.")}
    )

    def clean(self) -> dict[str, Any]:
        found = super().clean() or {}
        if found.get("infected") == "no" and found.get("red_flags"):
            self.add_error("infected", _("Signs are ticked, but the answer is no. Take away one of the two."))
        return found

    def clean_photo(self) -> Clean | None:
        """The photo made anew. It is done last and only where one came: it takes a second."""
        file = self.cleaned_data.get("photo")
        if not file:
            return None
        try:
            if file.size > MOST_BYTES:
                raise Refused("too-big")
            return cleaned(b"".join(file.chunks()))
        except Refused as refused:
            raise forms.ValidationError(damage_note.photo_refused(refused.code)) from None

    def signs(self) -> Signs:
        found = self.cleaned_data
        flags = tuple(found["red_flags"])
        told = flags if flags or found["infected"] == "no" else None
        return Signs(told, found["infected"] == "yes" and not flags)

    def yes(self, name: str) -> bool | None:
        return {"yes": True, "no": False}.get(self.cleaned_data[name])


class NoteForm(WithPhoto):
    """New damage."""

    site = _one_of(sorted(choices.SITES), _("Tap the place on the hands."), required=True)
    kind = _one_of(choices.DAMAGE_KINDS, _("Choose what it is."), required=True)
    red_below = _yes_no()
    length_mm = _one_of(LENGTHS, _("Choose one of the lengths."))
    worries = forms.MultipleChoiceField(
        choices=[(c, c) for c in choices.WORRIES], required=False,
        error_messages={"invalid_choice": _("One of the worries is not known.")},
    )  # fmt: skip
    noticed = _one_of(NOTICED, _("Choose one of the days."))
    cause = forms.CharField(required=False, max_length=300, strip=True)

    def __init__(self, today: date, data: Any = None, files: Any = None, site: str = "") -> None:
        super().__init__(data, files, initial={"site": site})
        self.today = today

    def told(self) -> Note:
        """The valid answers."""
        found = self.cleaned_data
        return Note(
            site=found["site"],
            kind=found["kind"],
            noticed_on=self.today - timedelta(days=int(found["noticed"] or 0)),
            bled=self.yes("bled"),
            red_below=self.yes("red_below"),
            stage=found["stage"] or None,
            length_mm=float(found["length_mm"]) if found["length_mm"] else None,
            worries=tuple(found["worries"]),
            cause=found["cause"],
            signs=self.signs(),
            photo=found["photo"],
        )


class LookForm(WithPhoto):
    """A later look."""

    opens = _yes_no()
    pain = _one_of(PAINS, _("Choose 0 to 10."))

    def clean(self) -> dict[str, Any]:
        found = super().clean()
        said = any(found.get(name) for name in ("opens", "pain", "bled"))
        if said and not found.get("stage") and "stage" not in self.errors:
            self.add_error("stage", _("Say how it looks: the stage is missing."))
        told = said or any(found.get(name) for name in ("stage", "infected", "red_flags", "photo"))
        if not told and not self.errors:
            self.add_error(None, _("Nothing is answered yet. One tap is enough: how does it look?"))
        return found

    def told(self) -> LookTold:
        """The valid answers."""
        found = self.cleaned_data
        pain = int(found["pain"]) if found["pain"] else None
        return LookTold(found["stage"] or None, self.yes("opens"), pain, self.yes("bled"), self.signs(), found["photo"])
