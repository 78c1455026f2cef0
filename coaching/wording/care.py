"""Names of care: the nine verbs, their forms, and the state of skin they act on."""

from __future__ import annotations

from collections.abc import Iterable

from django.utils.translation import gettext, pgettext_lazy
from django.utils.translation import gettext_lazy as _

VERBS = {
    "dry": pgettext_lazy("care", "dry"),
    "soften": pgettext_lazy("care", "soften"),
    "even": pgettext_lazy("care", "even"),
    "toughen": pgettext_lazy("care", "toughen"),
    "cover": pgettext_lazy("care", "cover"),
    "mend": pgettext_lazy("care", "mend"),
    "rest": pgettext_lazy("care", "rest"),
    "cool": pgettext_lazy("care", "cool"),
    "try": pgettext_lazy("care", "try"),
}
VERB_MARKS = {
    "dry": pgettext_lazy("one letter for dry", "d"),
    "soften": pgettext_lazy("one letter for soften", "s"),
    "even": pgettext_lazy("one letter for even", "e"),
    "toughen": pgettext_lazy("one letter for toughen", "t"),
    "cover": pgettext_lazy("one letter for cover", "c"),
    "mend": pgettext_lazy("one letter for mend", "m"),
    "rest": pgettext_lazy("one letter for rest", "r"),
    "cool": pgettext_lazy("two letters for cool", "co"),
    "try": pgettext_lazy("two letters for try", "tr"),
}
FORMS = {
    "methenamine spray": _("methenamine spray"),
    "methenamine liquid": _("methenamine liquid"),
    "methenamine cream": _("methenamine cream"),
    "aluminium salt": _("aluminium salt"),
    "iontophoresis": _("iontophoresis"),
    "alcohol base": _("alcohol base under chalk"),
    "fine chalk": _("fine chalk"),
    "coarse chalk": _("coarse chalk"),
    "water-based cream": _("water-based cream"),
    "humectant cream": _("humectant cream"),
    "oil-based cream": _("oil-based cream"),
    "occlusive ointment": _("occlusive ointment"),
    "wax balm": _("wax balm"),
    "damp cloth": _("damp cloth"),
    "moisture spray": _("moisture spray"),
    "sand": _("sand"),
    "level callus": _("level a callus"),
    "scrape finger sides": _("scrape finger sides"),
    "session tape": _("session tape"),
    "pre-tape": _("pre-tape"),
    "night tape": _("night tape"),
    "moist cover": _("moist cover"),
    "closed cover": _("closed cover under the tape"),
    "dish gloves": _("dish gloves"),
    "clip edges": _("clip edges"),
    "thin rim": _("thin the rim"),
    "balm in split": _("balm in the split"),
    "glue": _("glue"),
    "rest site": _("rest the site"),
    "rest hand": _("rest the hand"),
    "rest day": _("rest day, no load on the hands"),
    "fan": _("fan"),
    "longer rests": _("longer rests"),
    "cold rock": _("cold rock"),
    "cool body": _("cool the body"),
    "shade": _("shade"),
    "taped try": _("taped try"),
    "rehearsal": _("rehearsal"),
}
STRENGTHS = {
    "weak": pgettext_lazy("agent", "weak"),
    "medium": pgettext_lazy("agent", "medium"),
    "strong": pgettext_lazy("agent", "strong"),
}
PARTS_OF_DAY = {
    "morning": _("this morning"), "day": _("by day"), "evening": _("this evening"), "night": _("tonight"),
}  # fmt: skip
MARKS = {
    "pink": _("pink"), "glassy": _("glassy"), "ridge": _("ridge"), "shedding": _("shedding"),
    "soft": _("soft"),
}  # fmt: skip
MARKS_ASKED = {
    "pink": _("pink and stings"),
    "glassy": _("glassy, slips"),
    "ridge": _("a ridge that catches"),
    "shedding": _("shedding"),
    "soft": _("soft, white"),
}
KINDS = {
    "split": _("split"), "flapper": _("flapper"), "tear": _("tear"), "blister": _("blister"), "cut": _("cut"),
    "graze": _("graze"), "holed": _("holed"),
}  # fmt: skip
DEPTHS = {"shallow": _("shallow"), "deep": _("deep")}
STAGES = {
    "open": pgettext_lazy("stage", "open"),
    "closing": pgettext_lazy("stage", "closing"),
    "rimmed": pgettext_lazy("stage", "rimmed"),
    "thinned": pgettext_lazy("stage", "thinned"),
    "sound": pgettext_lazy("stage", "sound"),
}
STAGES_EXPLAINED = {
    "open": _("bleeds or deep"),
    "closing": _("deep layer knits"),
    "rimmed": _("closed, dead edges"),
    "thinned": _("filed thin, growing"),
    "sound": _("good again"),
}
SURFACES = {
    "wood": _("wood"), "plastic": _("plastic"), "fresh plastic": _("fresh plastic"),
    "fine rock": _("fine rock"),
    "ordinary rock": _("ordinary rock"), "sharp rock": _("sharp rock"),
}  # fmt: skip
SOURCES = {"study": _("study"), "practice": _("practice"), "label": _("label"), "ours": _("ours")}
SEEN_BY = {"athlete": _("own answer"), "coach": _("seen by a coach"), "medical": _("seen by medical")}


def verb(code: str) -> str:
    """The verb."""
    return str(VERBS[code])


def form(code: str) -> str:
    """The form; its own code where a rulebook brings one that has no words yet."""
    return str(FORMS.get(code, code))


def care(verb_code: str, form_code: str) -> str:
    """ "cover: moist cover"."""
    return gettext("%(verb)s: %(form)s") % {"verb": verb(verb_code), "form": form(form_code)}


def forms(codes: Iterable[str]) -> str:
    """Several forms, comma by comma."""
    return ", ".join(form(code) for code in codes)


def source(text: str) -> str:
    """Who says so, in one word, read off the head of the rulebook's source."""
    head = text.casefold()
    if head.startswith("common practice"):
        return str(SOURCES["practice"])
    if head.startswith("judgement"):
        return str(SOURCES["ours"])
    return str(SOURCES["label"] if "label" in head.split(":")[0] else SOURCES["study"])


def rulebook_text(text: str) -> str:
    """A sentence of the rulebook in the reader's language where a translation exists, else as it stands."""
    return gettext(text) if text else ""


def stage(code: str | None) -> str:
    """The stage of damage; "not looked at" where nobody has."""
    return str(STAGES[code]) if code else gettext("not looked at")


def state_phrase(kind: str, stage_code: str | None) -> str:
    """ "split, open"."""
    return gettext("%(kind)s, %(stage)s") % {"kind": KINDS.get(kind, kind), "stage": stage(stage_code)}
