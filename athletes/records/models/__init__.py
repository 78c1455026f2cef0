"""Rows of the records. Private: others read through `queries` and `histories`, use-cases write through `writes`."""

from athletes.records.models.accounts import OneTimeLink, SignedIn, Tried
from athletes.records.models.calendars import CalendarFeed, CalendarItem
from athletes.records.models.care import Care, Damage, Look, Sighting, Signoff
from athletes.records.models.consents import Consent
from athletes.records.models.days import Away, CheckIn, Session
from athletes.records.models.decisions import Decision
from athletes.records.models.deliveries import Delivery, WhomToCall
from athletes.records.models.doors import ApiToken, SentBefore
from athletes.records.models.erasures import Erased, ErasureAsked
from athletes.records.models.events import Air, Entry, Event, EventNote, ForecastAsk, Place, TypicalAir
from athletes.records.models.people import Account, Athlete, Club, Membership, Person, Role, Squad
from athletes.records.models.reads import AccessLog, AccessScope, BrokenGlass
from athletes.records.models.reminders import PushAddress, Reminder, ReminderWay, ReminderWish
from athletes.records.models.rules import OverruledPause, RuleChange
from athletes.records.models.trace import Correction
from athletes.records.models.trials import Trial, TrialDay, TrialEnd, TrialPatch
from athletes.records.models.tries import Photo, Tap

__all__ = [
    "AccessLog", "AccessScope", "Account", "Air", "ApiToken", "Athlete", "Away", "BrokenGlass", "CalendarFeed",
    "CalendarItem", "Care", "PushAddress", "Reminder", "ReminderWay", "ReminderWish",
    "CheckIn", "Club", "Consent", "Correction", "Damage", "Decision", "Entry", "Erased", "ErasureAsked",
    "Event", "EventNote", "ForecastAsk", "Look", "Membership", "OneTimeLink", "OverruledPause", "Person", "Photo",
    "Place", "Role", "RuleChange", "SentBefore", "Session", "Sighting", "SignedIn", "Signoff", "Squad", "Tap", "Tried",
    "TypicalAir", "Delivery", "WhomToCall", "Trial", "TrialDay", "TrialEnd", "TrialPatch",
]  # fmt: skip
