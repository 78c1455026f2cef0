"""Rows of the records. Private: others read through `queries` and `histories`, use-cases write through `writes`."""

from athletes.records.models.accounts import OneTimeLink, SignedIn, Tried
from athletes.records.models.care import Care, Damage, Look, Sighting, Signoff
from athletes.records.models.consents import Consent
from athletes.records.models.days import Away, CheckIn, Session
from athletes.records.models.decisions import Decision
from athletes.records.models.doors import ApiToken, SentBefore
from athletes.records.models.erasures import Erased, ErasureAsked
from athletes.records.models.events import Air, Entry, Event, ForecastAsk, Place, TypicalAir
from athletes.records.models.people import Account, Athlete, Club, Membership, Person, Role, Squad
from athletes.records.models.reads import AccessLog, AccessScope, BrokenGlass
from athletes.records.models.rules import OverruledPause, RuleChange
from athletes.records.models.trace import Correction

__all__ = [
    "AccessLog", "AccessScope", "Account", "Air", "ApiToken", "Athlete", "Away", "BrokenGlass", "Care",
    "CheckIn", "Club", "Consent", "Correction", "Damage", "Decision", "Entry", "Erased", "ErasureAsked",
    "Event", "ForecastAsk", "Look", "Membership", "OneTimeLink", "OverruledPause", "Person", "Place", "Role",
    "RuleChange", "SentBefore", "Session", "Sighting", "SignedIn", "Signoff", "Squad", "Tried", "TypicalAir",
]  # fmt: skip
