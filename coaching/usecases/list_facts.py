"""Facts as other programs read them, a page at a time: the door first, then the pages of the records."""

from __future__ import annotations

from athletes.records import access, queries_damage, queries_days, queries_entered
from athletes.records.access import AthleteRef
from athletes.records.errors import NotFound
from athletes.records.paging import Page, Wanted, in_order
from athletes.records.queries_damage import DamageOnFile, LookOnFile
from athletes.records.queries_days import CareOnFile, CheckInOnFile, SessionOnFile, SightingOnFile, SignoffOnFile
from athletes.records.queries_entered import DecisionOnFile, EntryOnFile, EventOnFile
from athletes.records.viewer import Viewer
from coaching.usecases.cutting import DAMAGE_DEADLINES, LEVEL_DEADLINES


def athletes(viewer: Viewer, wanted: Wanted) -> Page[AthleteRef]:
    """Those whose level the viewer may see, by name and code."""
    return in_order(access.refs_visible(viewer), lambda ref: (ref.name, ref.code), wanted)


def athlete(viewer: Viewer, code: str) -> AthleteRef:
    """One of them. Raises NotFound."""
    return access.athlete_by_code(viewer, code)


def checkins(viewer: Viewer, code: str, wanted: Wanted) -> Page[CheckInOnFile]:
    """Raises NotFound where check-ins are not shared."""
    return queries_days.checkins(access.athlete_by_code(viewer, code, "checkins"), wanted)


def sessions(viewer: Viewer, code: str, wanted: Wanted) -> Page[SessionOnFile]:
    """Raises NotFound where check-ins are not shared."""
    return queries_days.sessions(access.athlete_by_code(viewer, code, "checkins"), wanted)


def care(viewer: Viewer, code: str, wanted: Wanted) -> Page[CareOnFile]:
    """Raises NotFound where check-ins are not shared."""
    return queries_days.care(access.athlete_by_code(viewer, code, "checkins"), wanted)


def signoffs(viewer: Viewer, code: str, wanted: Wanted) -> Page[SignoffOnFile]:
    """Raises NotFound where check-ins are not shared."""
    return queries_days.signoffs(access.athlete_by_code(viewer, code, "checkins"), wanted)


def sightings(viewer: Viewer, code: str, wanted: Wanted) -> Page[SightingOnFile]:
    """Raises NotFound where damage is not shared."""
    return queries_days.sightings(access.athlete_by_code(viewer, code, "damage"), wanted)


def damage(viewer: Viewer, code: str, wanted: Wanted) -> Page[DamageOnFile]:
    """Raises NotFound where damage is not shared."""
    return queries_damage.damage(access.athlete_by_code(viewer, code, "damage"), wanted)


def looks(viewer: Viewer, code: str, episode_id: str, wanted: Wanted) -> Page[LookOnFile]:
    """Raises NotFound where damage is not shared, and for an episode that is not the athlete's."""
    return queries_damage.looks(access.athlete_by_code(viewer, code, "damage"), episode_id, wanted)


def look(viewer: Viewer, code: str, look_id: int) -> LookOnFile:
    """Raises NotFound where damage is not shared, and for a look that is not at damage of the athlete."""
    return queries_damage.look(access.athlete_by_code(viewer, code, "damage"), look_id)


def decisions(viewer: Viewer, code: str, wanted: Wanted) -> Page[DecisionOnFile]:
    """Answers to decisions of the kinds whose class is shared. Raises NotFound where the level is not."""
    ref = access.athlete_by_code(viewer, code)
    without = frozenset() if "damage" in ref.shared else DAMAGE_DEADLINES
    told = LEVEL_DEADLINES | (DAMAGE_DEADLINES - {"look"} if "damage" in ref.shared else frozenset())
    return queries_entered.decisions(ref, None if "checkins" in ref.shared else told, without, wanted)


def events(viewer: Viewer, wanted: Wanted) -> Page[EventOnFile]:
    """Events in which somebody is entered whose level the viewer may see, by first day."""
    return queries_entered.events(access.refs_visible(viewer), wanted)


def event(viewer: Viewer, event_id: str) -> EventOnFile:
    """One of them. Raises NotFound."""
    return queries_entered.event(access.refs_visible(viewer), event_id)


def event_entries(viewer: Viewer, event_id: str, wanted: Wanted) -> Page[EntryOnFile]:
    """Entries of those whose level the viewer may see, by athlete. Raises NotFound where there is none."""
    refs = access.refs_visible(viewer)
    page = queries_entered.entries(refs, event_id, wanted)
    if not page.rows and wanted.after is None:
        raise NotFound
    return page


def entry(viewer: Viewer, event_id: str, athlete_code: str) -> EntryOnFile:
    """One athlete's entry. Raises NotFound."""
    return queries_entered.entry(access.athlete_by_code(viewer, athlete_code), event_id)
