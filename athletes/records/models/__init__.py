"""Rows of the records. Private: others read through `queries` and `histories`, use-cases write through `writes`."""

from athletes.records.models.care import Care, Damage, Look, Sighting, Signoff
from athletes.records.models.days import Away, CheckIn, Session
from athletes.records.models.decisions import Decision
from athletes.records.models.doors import ApiToken, SentBefore
from athletes.records.models.events import Air, Entry, Event, ForecastAsk, Place, TypicalAir
from athletes.records.models.people import Account, Athlete, Club, Consent, Membership, Person, Role, Squad
from athletes.records.models.rules import OverruledPause, RuleChange
from athletes.records.models.trace import Correction

__all__ = [
    "Account", "Air", "ApiToken", "Athlete", "Away", "Care", "CheckIn", "Club", "Consent", "Correction", "Damage",
    "Decision", "Entry", "Event", "ForecastAsk", "Look", "Membership", "OverruledPause", "Person", "Place", "Role",
    "RuleChange", "SentBefore",
    "Session", "Sighting", "Signoff", "Squad", "TypicalAir",
]  # fmt: skip
