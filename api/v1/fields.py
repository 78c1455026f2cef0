"""Fields that take what the schema says and nothing that resembles it: no number for a text, no truth for a 1."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from datetime import date, datetime
from typing import Any

from django.utils.translation import gettext_lazy as _
from drf_spectacular.extensions import OpenApiSerializerExtension
from drf_spectacular.utils import Direction, extend_schema_field
from rest_framework import serializers

from athletes.records import choices

DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", re.ASCII)
INSTANT = re.compile(
    r"[0-9]{4}-[0-9]{2}-[0-9]{2}[Tt][0-9]{2}:[0-9]{2}:[0-9]{2}(\.[0-9]{1,6})?([Zz]|[+-][0-9]{2}:[0-9]{2})", re.ASCII
)
CONTROL = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]")


class StrictSerializer(serializers.Serializer):
    """Refuses what it does not know, so that a misspelt answer is not lost in silence."""

    def to_internal_value(self, data: Any) -> Any:
        if isinstance(data, Mapping) and (unknown := sorted(set(data) - set(self.fields))):
            raise serializers.ValidationError({name: [_("Unknown field; see the schema.")] for name in unknown})
        return super().to_internal_value(data)


class StrictSchema(OpenApiSerializerExtension):
    """Lets the schema say what the serializer does."""

    target_class = StrictSerializer
    match_subclasses = True

    def map_serializer(self, auto_schema: Any, direction: Direction) -> dict[str, Any]:
        drawn = auto_schema._map_serializer(self.target, direction, bypass_extensions=True)
        return {**drawn, "additionalProperties": False}


class Whole(serializers.IntegerField):
    """A JSON number without a fraction, 5 or 5.0; neither `true` nor "5"."""

    def to_internal_value(self, data: Any) -> int:
        number = isinstance(data, int | float) and not isinstance(data, bool)
        if not number or not math.isfinite(data) or data != int(data):
            self.fail("invalid")
        return int(data)


class Number(serializers.FloatField):
    """A finite JSON number; neither `true` nor "5"."""

    def to_internal_value(self, data: Any) -> float:
        if isinstance(data, bool) or not isinstance(data, int | float) or not math.isfinite(data):
            self.fail("invalid")
        return float(data)


class Truth(serializers.BooleanField):
    """`true` or `false`; neither 1 nor "yes"."""

    def to_internal_value(self, data: Any) -> bool:
        if not isinstance(data, bool):
            self.fail("invalid", input=type(data).__name__)
        return data


class Day(serializers.DateField):
    """A calendar day as RFC 3339 writes it; neither a week date nor eight digits."""

    def to_internal_value(self, value: Any) -> date:
        if not isinstance(value, str) or not DAY.fullmatch(value):
            self.fail("invalid", format="YYYY-MM-DD")
        try:
            return date.fromisoformat(value)
        except ValueError:
            raise serializers.ValidationError(_("The calendar has no such day.")) from None


class Instant(serializers.DateTimeField):
    """A point in time with its offset as RFC 3339 writes it."""

    def to_internal_value(self, value: Any) -> datetime:
        if not isinstance(value, str) or not INSTANT.fullmatch(value):
            self.fail("invalid", format="YYYY-MM-DDThh:mm:ss+hh:mm")
        try:
            return datetime.fromisoformat(value.upper())
        except ValueError:
            raise serializers.ValidationError(_("The calendar has no such instant.")) from None


class Text(serializers.CharField):
    """A JSON string that can be printed; a number is not made into one."""

    default_error_messages = {"control": _("It holds a character that cannot be printed.")}

    def to_internal_value(self, data: Any) -> str:
        if not isinstance(data, str):
            self.fail("invalid")
        if CONTROL.search(data):
            self.fail("control")
        return super().to_internal_value(data)


class Code(serializers.ChoiceField):
    """One of the codes, as a JSON string."""

    default_error_messages = {"invalid_choice": _("Not one of the codes; see the schema.")}

    def to_internal_value(self, data: Any) -> str:
        if not isinstance(data, str):
            self.fail("invalid_choice")
        return str(super().to_internal_value(data))


@extend_schema_field({"type": "string", "enum": sorted(choices.SITES)})
class Site(serializers.Field):
    """A site of the hand."""

    default_error_messages = {"unknown": _("Not a site of the hand; write it as L-index-tip.")}

    def to_internal_value(self, data: Any) -> str:
        if not isinstance(data, str) or data not in choices.SITES:
            self.fail("unknown")
        return data

    def to_representation(self, value: Any) -> str:
        return str(value)


def rating() -> Whole:
    """An answer on the scale from 0 to 10; null or left out where it was not given."""
    return Whole(min_value=0, max_value=10, required=False, allow_null=True)
