"""Codes that the columns of the records may hold, one spelling each; the words for people are made in delivery."""

from __future__ import annotations

SKIN_KINDS = ("damp", "mixed", "dry")
HANDS = ("left", "right")
SENSITIVITIES = ("formaldehyde", "methenamine", "aluminium", "rosin", "adhesive", "latex", "acrylate")
CONTRAINDICATIONS = (
    "pregnancy", "breast-feeding", "implant", "metal", "heart", "epilepsy", "numb-skin", "other",
)  # fmt: skip
MARKS = ("pink", "glassy", "ridge", "shedding", "soft")
RED_FLAGS = (
    "swelling", "spreading-redness", "redness-past-joint", "warmth", "throbbing", "rising-pain", "pus", "streak",
    "fever", "swollen-glands", "cannot-bend", "pain-on-straightening", "clear-blisters", "numb",
)  # fmt: skip
SURFACES = ("wood", "plastic", "fresh plastic", "fine rock", "ordinary rock", "sharp rock")
TAPS = ("try", "end", "skin")
"""A hard try; the session is over; it is over because skin is about to open."""
CARE_STATUSES = ("planned", "done", "skipped")
VERBS = ("dry", "soften", "even", "toughen", "cover", "mend", "rest", "cool", "try")
FORMS: dict[str, tuple[str, ...]] = {
    "dry": (
        "methenamine spray", "methenamine liquid", "methenamine cream", "aluminium salt", "iontophoresis",
        "alcohol base", "fine chalk", "coarse chalk",
    ),
    "soften": (
        "water-based cream", "humectant cream", "oil-based cream", "occlusive ointment", "wax balm", "damp cloth",
        "moisture spray",
    ),
    "even": ("sand", "level callus"),
    "toughen": ("scrape finger sides",),
    "cover": ("session tape", "pre-tape", "night tape", "moist cover", "closed cover", "dish gloves"),
    "mend": ("clip edges", "thin rim", "balm in split", "glue"),
    "rest": ("rest site", "rest hand", "rest day"),
    "cool": ("fan", "longer rests", "cold rock", "cool body", "shade"),
    "try": ("taped try", "rehearsal"),
}  # fmt: skip
STRENGTHS = ("weak", "medium", "strong")
PARTS = ("morning", "day", "evening", "night")
REACTIONS = ("none", "mild", "stopped")
DAMAGE_KINDS = ("split", "flapper", "tear", "blister", "cut", "graze", "holed")
DEPTHS = ("shallow", "deep")
WORRIES = ("dirty", "gaping", "object-inside", "bite", "tetanus-unknown")
STAGES = ("open", "closing", "rimmed", "thinned", "sound")
TEMPERATURE_UNITS = ("C", "F")
WIND_UNITS = ("m/s", "km/h", "mph", "kn")
LANGUAGES = ("en", "de", "fr")
FIRST_WEEKDAYS = ("monday", "saturday", "sunday")
PLACE_KINDS = ("hall", "crag")
EXPOSURES = ("sheltered", "open")
EVENT_KINDS = ("competition", "trip")
ENTRY_STATUSES = ("entered", "stand-in", "withdrawn")
EVENT_NOTES = ("access", "help", "review")
AWAY_KINDS = ("travel", "illness", "water", "other")
SIGHTING_BY = ("coach", "medical")
SIGNOFF_BY = ("guardian", "medical")
ROLES = ("head-coach", "assistant", "medical", "manager", "athlete", "guardian", "support")
DATA_CLASSES = ("level", "checkins", "notes", "photos", "damage")
PURPOSES = ("coaching", "medical", "travel", "reporting")
GRANTORS = ("self", "guardian", "both")
CONSENT_METHODS = ("page", "paper", "bundle", "before", "of-age", "left")
HOLDS = ("crimp", "pocket", "sloper", "jug", "pinch", "swing", "crack")

DIGITS = ("thumb", "index", "middle", "ring", "little")
DIGIT_ZONES = (
    "tip", "middle", "base", "tip-crease", "middle-crease", "base-crease", "thumb-side", "little-side", "back",
    "nail-rim",
)  # fmt: skip
THUMB_ZONES = ("tip", "base", "tip-crease", "base-crease", "thumb-side", "little-side", "back", "nail-rim")
HAND_ZONES = ("palm-callus", "palm-heel", "web")


def sites() -> frozenset[str]:
    """Every site code: hand, digit and zone, or hand and zone of the palm."""
    found = {f"{hand}-{zone}" for hand in "LR" for zone in HAND_ZONES}
    for hand in "LR":
        for digit in DIGITS:
            zones = THUMB_ZONES if digit == "thumb" else DIGIT_ZONES
            found.update(f"{hand}-{digit}-{zone}" for zone in zones)
    return frozenset(found)


SITES = sites()

SCOPES = ("read", "checkins", "write", "decide")
DEVICE_SCOPE = "own-checkins"
"""What the phone of an athlete may do: store what they told of themselves, check-ins and the rest, and read nothing."""
LINK_KINDS = ("join", "reset", "code")
SECOND_FACTOR_ROLES = ("head-coach", "assistant", "medical", "support")
"""Whoever has one of these roles signs in with a second factor."""
ANSWERS = ("accept", "change", "decline")
FEED_KINDS = ("own", "season")
"""The athlete's own days, or the events of those who let the viewer see them."""
FEED_ITEM_KINDS = ("event", "session", "closes")
REMINDER_KINDS = ("morning", "session", "step", "look", "moved")
REMINDER_STATES = ("waiting", "sending", "sent", "gone", "lapsed")
