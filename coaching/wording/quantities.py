"""Names of the quantities that the model reads, their units, where they come from, and what cannot be known."""

from __future__ import annotations

import math

from django.utils.formats import number_format
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from coaching.science.making import Made

NAMES = {
    "hard_tries_per_slu": _("hard tries that make one unit of load"),
    "surface_wood": _("wear of wood, against plastic"),
    "surface_plastic": _("wear of plastic, the measure"),
    "surface_fresh_plastic": _("wear of fresh plastic, against plastic"),
    "surface_fine_rock": _("wear of fine rock, against plastic"),
    "surface_ordinary_rock": _("wear of ordinary rock, against plastic"),
    "surface_sharp_rock": _("wear of sharp rock, against plastic"),
    "load_executed_share": _("share of a planned load that is climbed"),
    "load_executed_extra_slu": _("load climbed beyond the plan"),
    "load_executed_sd_share": _("how far a session strays from its plan"),
    "load_usual_slu": _("usual day of load"),
    "load_trip_day_slu": _("a day of a trip without a plan"),
    "load_usual_known_d": _("days of one's own that weigh as much as the squad's usual day"),
    "load_usual_half_life_d": _("half-life of one's usual load"),
    "load_unknown_sd_share": _("how far an unknown day strays from the usual"),
    "dose_executed_share": _("share of a planned agent that is used"),
    "dose_silent_share": _("share used on days with an answer but no word of it"),
    "dose_half_life_d": _("half-life of the habit of an agent"),
    "reserve_renewal_d": _("time in which reserve comes back"),
    "reserve_rested_pt": _("reserve at rest"),
    "reserve_wear_pt_per_slu": _("reserve that one unit of load takes"),
    "reserve_start_pt": _("reserve before anything is known, sd"),
    "reserve_sanding_pt": _("reserve that filing takes"),
    "reserve_noise_pt": _("reserve from day to day, sd"),
    "reserve_wear_noise_share": _("how far wear strays from its usual"),
    "reserve_report_sd_pt": _("how far an answer on reserve strays, sd"),
    "report_tail_df": _("how often an answer is far off (degrees of freedom)"),
    "dampness_usual_pt": _("usual dampness"),
    "dampness_memory_frac": _("share of a passing dampness left the next day"),
    "dampness_noise_pt": _("dampness from day to day, sd"),
    "dampness_drift_pt": _("slow drift of the usual dampness, sd"),
    "dampness_air_pt_per_c": _("dampness by temperature"),
    "dampness_air_pt_per_pct": _("dampness by humidity"),
    "air_mild_c": _("mild air, temperature"),
    "air_mild_pct": _("mild air, humidity"),
    "dampness_moist_pt": _("dampness that a cream adds"),
    "dampness_report_sd_pt": _("how far an answer on dampness strays, sd"),
    "agent_effect_pt": _("full effect of an agent"),
    "agent_saturation": _("how soon more of an agent adds little"),
    "agent_no_response_frac": _("chance that an agent does nothing"),
    "onset_methenamine_d": _("days until methenamine works"),
    "onset_aluminium_d": _("days until an aluminium salt works"),
    "onset_iontophoresis_d": _("days until iontophoresis works"),
    "washout_methenamine_d": _("days until methenamine has faded"),
    "washout_aluminium_d": _("days until an aluminium salt has faded"),
    "washout_iontophoresis_d": _("days until iontophoresis has faded"),
    "hardness_usual_pt": _("usual hardness"),
    "hardness_return_d": _("time in which hardness returns to the usual"),
    "hardness_agent_pt": _("hardness that an agent adds a day"),
    "hardness_moist_pt": _("hardness that a cream takes"),
    "hardness_filed_pt": _("hardness that filing takes"),
    "hardness_dry_air_pt_per_pct": _("hardness that dry air adds"),
    "hardness_dry_air_pct": _("humidity below which air counts as dry"),
    "hardness_noise_pt": _("hardness from day to day, sd"),
    "hardness_report_sd_pt": _("how far an answer on hardness strays, sd"),
    "enough_reserve_pt": _("reserve below which skin begins to limit"),
    "too_dry_pt": _("dampness below which skin is too dry"),
    "too_damp_pt": _("dampness above which skin is too damp"),
    "too_hard_pt": _("hardness above which skin is glassy"),
    "session_reserve_sd_pt": _("what a session asks of reserve, sd"),
    "session_dampness_sd_pt": _("what a session asks of dampness, sd"),
    "session_hardness_sd_pt": _("what a session asks of hardness, sd"),
    "answer_slip_frac": _("share of answers that are slips"),
    "personal_shift_logit": _("how far athletes differ in all else, sd"),
    "personal_reserve_limit_pt": _("how far athletes differ in the reserve they need, sd"),
    "personal_damp_limit_pt": _("how far athletes differ in the dampness they bear, sd"),
    "mild_margin_pt": _("distance from a limit at which dampness is mild"),
    "soft_enough_pt": _("hardness taken as usual for the parts"),
    "taped_share": _("share of the chance that tape leaves"),
    "taped_tried_share": _("the same once a taped try went well"),
    "inflation_7d": _("widening of the range one week ahead"),
    "inflation_14d": _("widening of the range two weeks ahead"),
    "rating_own_known_n": _("answers that the squad's scatter is worth beside an athlete's own"),
    "reserve_scatter_usual": _("usual scatter of ratings of reserve"),
    "dampness_scatter_usual": _("usual scatter of ratings of dampness"),
    "reserve_range_7d": _("width of ratings of reserve one week ahead"),
    "reserve_range_14d": _("width of ratings of reserve two weeks ahead"),
    "dampness_range_7d": _("width of ratings of dampness one week ahead"),
    "dampness_range_14d": _("width of ratings of dampness two weeks ahead"),
    "healing_pace_log_sd": _("how far athletes differ in healing"),
    "healing_uncovered_factor": _("healing without cover at night"),
    "healing_cover_usual_share": _("usual share of nights with cover"),
    "healing_closing_left_share": _("share of the way left when closing"),
    "healing_thinned_left_share": _("share of the way left when thinned"),
    "healing_outlasted_left_share": _("share of the way left when the usual time is over"),
    "healing_outlasted_factor": _("the same as a factor on the time so far"),
    "healing_outlasted_log_sd": _("how far that strays"),
    "healing_deep_share_pad": _("share of deep damage on pads"),
    "healing_deep_share_crease": _("share of deep damage in creases"),
    "healing_deep_misread_share": _("share of depths misread"),
    "healing_misread_share": _("share of stages misread"),
    "healing_misread_factor": _("how much a stage misread is believed"),
    "healing_own_history": _("how much damage that is over tells of an athlete's pace"),
    "healing_time_factor": _("how much longer the squad's damage takes than the trade says"),
    "healing_factor_split_shallow_pad": _("the same of shallow splits of a pad, apart from the rest"),
    "healing_factor_split_deep_pad": _("the same of deep splits of a pad"),
    "healing_factor_split_shallow_crease": _("the same of shallow splits of a crease"),
    "healing_factor_split_deep_crease": _("the same of deep splits of a crease"),
    "healing_factor_flapper": _("the same of flappers"),
    "healing_factor_tear": _("the same of tears"),
    "healing_factor_blister": _("the same of blisters"),
    "healing_factor_cut_shallow": _("the same of shallow cuts"),
    "healing_factor_cut_deep": _("the same of deep cuts"),
    "healing_factor_graze": _("the same of grazes"),
    "healing_factor_holed": _("the same of holed tips"),
    "healing_closes_factor_shallow": _("how much longer shallow damage stays open than the trade says"),
    "healing_closes_factor_deep": _("how much longer deep damage stays open than the trade says"),
    "healing_spread_factor": _("how much more equal damage of one athlete differs than the trade says"),
    "healing_spread_deep_crease_factor": _("the same of deep splits of a crease, on top"),
    "healing_reopens_per_slu": _("how readily closed damage opens again under load"),
    "healing_taped_load_share": _("share of that load which tape lets through"),
    "pink_matters_share": _("how much pink tips matter"),
}
UNITS = {
    "1": "", "pt": _("points"), "SLU": _("units of load"), "d": _("days"), "pt/SLU": _("points a unit of load"),
    "pt/C": _("points a °C"), "pt/%": _("points a %"), "C": _("°C"), "%": _("%"), "pt/d": _("points a day"),
    "log odds": _("log odds"), "tries": _("tries"), "1/SLU": _("a unit of load"),
}  # fmt: skip
STATUSES = {
    "published": _("published"),
    "common practice": _("common practice"),
    "judgement": _("judgement"),
    "assumption": _("assumption"),
}
GROUPS = (
    (_("load"), ("hard_tries", "surface_", "load_")),
    (_("care and agents"), ("dose_", "agent_", "onset_", "washout_")),
    (_("reserve"), ("reserve_",)),
    (_("dampness and air"), ("dampness_", "air_")),
    (_("hardness"), ("hardness_",)),
    (_("damage"), ("healing_", "taped_", "pink_")),
    (_("when skin limits, answers and ranges"), ("",)),
)
NOT_KNOWABLE = {
    "absolute-thickness": _("How thick the skin is. Ratings tell more or less, never how much."),
    "between-athletes": _("Who of two athletes has more skin: each answers on a scale of their own."),
    "personal-onset": _(
        "On which day an agent sets in for this athlete. Even many courses leave a range of days, no date."
    ),
    "renewal-or-stimulation": _("Whether skin renews faster or rests at a higher level: both look alike from outside."),
    "personal-care-effect": _("What a cream or a filing does to this athlete: only its usual effect on many is used."),
    "wash-out-end": _("How an agent fades, apart from how this athlete ends a course."),
}


def name(code: str) -> str:
    """What the quantity is; its code where it has no words yet."""
    return str(NAMES[code]) if code in NAMES else code.replace("_", " ")


def group(code: str) -> int:
    """Place of the group that the quantity is listed in."""
    return next(place for place, (_words, starts) in enumerate(GROUPS) if code.startswith(starts))


def value(made: Made) -> str:
    """The value with its unit, and how far it differs from athlete to athlete where that is known."""
    unit = UNITS.get(made.unit, made.unit)
    said = f"{figure(made.value)} {unit}".strip()
    if made.spread is None:
        return said
    spread = figure(made.spread)
    if made.log:
        spread = gettext("times or over %(n)s") % {"n": figure(math.exp(made.spread))}
    return gettext("%(value)s, differs by %(spread)s") % {"value": said, "spread": spread}


def borders(made: Made) -> str:
    """ "0.1 to 3": what it may be at all."""
    return gettext("%(low)s to %(high)s") % {"low": figure(made.low), "high": figure(made.high)}


def source(made: Made) -> str:
    """Where it comes from: published, common practice, judgement or assumption, and which."""
    said = f"{STATUSES[made.status]}: {made.source}"
    return gettext("learned from the squad; before that %(source)s") % {"source": said} if made.fitted else said


def figure(number: float) -> str:
    """Three figures at most."""
    text = f"{number:.3g}"
    places = len(text.split(".")[1]) if "." in text and "e" not in text else 0
    return number_format(number, places)
