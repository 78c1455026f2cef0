"""Rows of the register: name, unit, lowest, highest, default, status, source, then prior spread and log where
known.
"""

from __future__ import annotations

from typing import Any

P, C, J, A = "published", "common practice", "judgement", "assumption"

_TRADE = "common practice, no source"
_SIM = "our assumption; not contradicted in a simulated squad"

_LOAD: tuple[tuple[Any, ...], ...] = (
    (
        "hard_tries_per_slu",
        "tries",
        4,
        30,
        12.0,
        J,
        "a hard try about every five minutes, so twelve in the hour at effort 5 that defines one unit",
    ),
    ("surface_wood", "1", 0.3, 1.0, 0.6, A, "wood is kind to skin (common practice); size assumed"),
    ("surface_plastic", "1", 1.0, 1.0, 1.0, J, "the reference surface by definition"),
    (
        "surface_fresh_plastic",
        "1",
        1.0,
        2.0,
        1.4,
        A,
        "new or freshly washed holds wear more (common practice); size assumed",
    ),
    ("surface_fine_rock", "1", 0.8, 2.0, 1.2, A, "abrasion ratios of rock are unpublished"),
    (
        "surface_ordinary_rock",
        "1",
        0.8,
        2.5,
        1.5,
        A,
        "abrasion ratios of rock are unpublished; sandstone grips more "
        "than limestone (Amca et al. 2012), which fixes only the order",
    ),
    ("surface_sharp_rock", "1", 1.0, 3.0, 1.9, A, "abrasion ratios of rock are unpublished"),
    ("load_executed_share", "1", 0.5, 1.2, 0.88, A, _SIM + ": share of a planned load that is climbed"),
    ("load_executed_extra_slu", "SLU", 0, 0.3, 0.05, A, _SIM + ": unplanned extra of a planned day"),
    ("load_executed_sd_share", "1", 0.1, 1.0, 0.42, A, _SIM + ": sd of the executed load over the plan"),
    ("load_usual_slu", "SLU", 0.1, 3, 0.7, A, "usual day of a squad athlete, rest days counted"),
    (
        "load_usual_known_d",
        "d",
        1,
        14,
        4.0,
        J,
        "weight of the squad's usual day, in days of the athlete's own",
    ),
    (
        "load_usual_half_life_d",
        "d",
        5,
        60,
        21.0,
        J,
        "three weeks make a usual week without following one hard week",
    ),
    (
        "load_unknown_sd_share",
        "1",
        0.5,
        2.0,
        1.0,
        J,
        "days of load alternate with rest days, so the sd is near the mean",
    ),
    ("dose_executed_share", "1", 0.5, 1.0, 0.85, A, _SIM + ": no care log at all"),
    ("dose_silent_share", "1", 0.0, 1.0, 0.5, A, _SIM + ": checked in, but no care logged"),
    ("dose_half_life_d", "d", 2, 14, 5.0, J, "how fast the habit of an agent is forgotten without a log"),
)

_RESERVE: tuple[tuple[Any, ...], ...] = (
    (
        "reserve_renewal_d",
        "d",
        5,
        35,
        10.0,
        J,
        "between the renewal of the horny layer, 2-3 weeks on back and back of "
        "hand (Baker & Kligman 1967), and the 2-5 days of a pink tip ("
        + _TRADE
        + "); no fingertip value exists",
        0.35,
        True,
    ),
    ("reserve_rested_pt", "pt", 4, 10, 8.0, A, "own scale: where the reserve settles without load", 1.3),
    (
        "reserve_wear_pt_per_slu",
        "pt/SLU",
        0.02,
        0.84,
        0.21,
        A,
        "unpublished; learned from the athlete",
        0.085,
    ),
    ("reserve_start_pt", "pt", 0, 10, 6.2, A, "rested level less the wear of a usual week", 1.0),
    ("reserve_sanding_pt", "pt", 0.05, 0.6, 0.2, A, "one filing"),
    ("reserve_noise_pt", "pt", 0.05, 0.8, 0.25, A, _SIM),
    ("reserve_wear_noise_share", "1", 0.0, 0.8, 0.35, A, _SIM),
    ("reserve_report_sd_pt", "pt", 0.4, 2.5, 0.95, A, "five to seven usable steps on such scales"),
    ("report_tail_df", "1", 3, 30, 6.0, A, "heavy tails, so that one wild rating moves little"),
)

_DAMPNESS: tuple[tuple[Any, ...], ...] = (
    ("dampness_usual_pt", "pt", 0, 10, 5.6, A, "own scale, no agent", 1.7),
    ("dampness_memory_frac", "1", 0.0, 0.95, 0.6, A, _SIM + ": share of a day's deviation left next day"),
    ("dampness_noise_pt", "pt", 0.1, 1.5, 0.65, A, _SIM),
    ("dampness_drift_pt", "pt", 0.0, 0.2, 0.06, A, _SIM + ": daily drift of the usual level"),
    (
        "dampness_air_pt_per_c",
        "pt/C",
        0,
        0.4,
        0.12,
        A,
        "sign plausible; one field study found no link of climate to friction (Amca et al. 2012)",
    ),
    ("dampness_air_pt_per_pct", "pt/%", 0, 0.1, 0.03, A, "as for temperature"),
    ("air_mild_c", "C", 15, 25, 20.0, J, "mild indoor air, the reference of the rating"),
    ("air_mild_pct", "%", 40, 60, 50.0, J, "mild indoor air, the reference of the rating"),
    ("dampness_moist_pt", "pt", 0, 1.0, 0.3, A, "morning after a cream"),
    ("dampness_report_sd_pt", "pt", 0.4, 2.5, 0.9, A, "five to seven usable steps on such scales"),
    (
        "agent_effect_pt",
        "pt",
        0,
        8,
        3.0,
        A,
        "palms improve (Cullen 1975; Bergstresser & Quero 1976); size on 0-10 assumed",
        1.1,
    ),
    ("agent_saturation", "1", 0.1, 2.0, 0.4, A, _SIM),
    (
        "agent_no_response_frac",
        "1",
        0.02,
        0.5,
        0.12,
        P,
        "good or excellent in 65 % (Bergstresser & Quero 1976), 24 of 26 improved (Cullen 1975): 5-35 %",
    ),
    ("onset_methenamine_d", "d", 2, 12, 5.3, C, "4-7 days; " + _TRADE, 0.30, True),
    ("onset_aluminium_d", "d", 1, 5, 2.0, P, "felt by all within 48 h (Goh 1990)", 0.30, True),
    ("onset_iontophoresis_d", "d", 10, 35, 21.0, A, "10-12 treatments, three a week", 0.30, True),
    ("washout_methenamine_d", "d", 3, 30, 9.0, P, "a third kept relief 1-3 weeks (Cullen 1975)", 0.45, True),
    ("washout_aluminium_d", "d", 1, 7, 3.0, P, "gone 2-7 days after stopping (Goh 1990)", 0.45, True),
    (
        "washout_iontophoresis_d",
        "d",
        5,
        35,
        14.0,
        A,
        "kept by one treatment in one to four weeks",
        0.45,
        True,
    ),
)

_HARDNESS: tuple[tuple[Any, ...], ...] = (
    ("hardness_usual_pt", "pt", 0, 10, 4.5, A, "own scale", 1.5),
    ("hardness_return_d", "d", 3, 30, 10.0, A, _SIM),
    ("hardness_agent_pt", "pt/d", 0, 1, 0.25, C, "agents harden skin; " + _TRADE),
    ("hardness_moist_pt", "pt", 0, 1, 0.2, A, _SIM),
    ("hardness_filed_pt", "pt", 0, 1, 0.4, A, _SIM),
    ("hardness_dry_air_pt_per_pct", "pt/%", 0, 0.05, 0.012, A, _SIM),
    ("hardness_dry_air_pct", "%", 30, 60, 45.0, A, "below this the horny layer stiffens"),
    ("hardness_noise_pt", "pt", 0.1, 1, 0.3, A, _SIM),
    ("hardness_report_sd_pt", "pt", 0.4, 2.5, 1.1, A, "five to seven usable steps on such scales"),
)

_READINESS: tuple[tuple[Any, ...], ...] = (
    (
        "enough_reserve_pt",
        "pt",
        0,
        10,
        3.6,
        A,
        "half of the sessions at this reserve are limited by skin",
        1.0,
    ),
    (
        "too_dry_pt",
        "pt",
        0,
        10,
        1.2,
        A,
        "friction falls on very dry pads (Pasumarty et al. 2011); place assumed",
    ),
    (
        "too_damp_pt",
        "pt",
        0,
        10,
        6.6,
        A,
        "friction falls on wet pads (Pasumarty et al. 2011); place assumed",
        0.7,
    ),
    ("too_hard_pt", "pt", 0, 10, 7.8, A, "glassy skin slips; " + _TRADE),
    ("session_reserve_sd_pt", "pt", 0.2, 2, 0.8, A, "how far a session's demand varies"),
    ("session_dampness_sd_pt", "pt", 0.2, 2, 0.8, A, "how far a session's demand varies"),
    ("session_hardness_sd_pt", "pt", 0.2, 2, 1.0, A, "how far a session's demand varies"),
    ("answer_slip_frac", "1", 0.01, 0.2, 0.05, A, "share of answers given by mistake or habit"),
    ("mild_margin_pt", "pt", 0.5, 2.5, 1.5, J, "usual dampness is brought this far inside the suitable band"),
    ("soft_enough_pt", "pt", 3, 7, 6.0, J, "a usual hardness above this counts as glassy itself"),
    (
        "taped_share",
        "1",
        0.2,
        0.9,
        0.55,
        J,
        "tape keeps the hold but costs feel; a little over half of the unhurt chance",
    ),
    ("inflation_7d", "1", 1, 3, 1.25, A, _SIM + ": variance of forecasts at 7 days"),
    ("inflation_14d", "1", 1, 3, 1.5, A, _SIM + ": variance of forecasts at 14 days and on"),
)

_HEALING: tuple[tuple[Any, ...], ...] = (
    (
        "healing_pace_log_sd",
        "1",
        0.05,
        0.5,
        0.2,
        A,
        "athletes differ; smaller than the spread of the trade's ranges",
    ),
    (
        "healing_uncovered_factor",
        "1",
        1,
        1.8,
        1.2,
        P,
        "closed wet, moist, dry on day 6, 7, 8 (Vogt et al. 1995, porcine): "
        "1.15-1.3; time without balm and cover at night over time with",
    ),
    (
        "healing_cover_usual_share",
        "1",
        0,
        1,
        0.5,
        J,
        "share of covered nights that the trade's ranges stand for",
    ),
    ("healing_closing_left_share", "1", 0.2, 1, 0.5, J, "share of the first stage left when found closing"),
    ("healing_thinned_left_share", "1", 0.2, 1, 0.6, J, "share of the second stage left when found thinned"),
    (
        "healing_outlasted_factor",
        "1",
        1.2,
        3,
        1.6,
        J,
        "a stage this far past its median is no longer told by its table",
    ),
    (
        "healing_outlasted_log_sd",
        "1",
        0.3,
        1.5,
        0.7,
        J,
        "what is left of a stage that outlasted its table is hardly known",
    ),
    ("healing_deep_share_pad", "1", 0.1, 0.9, 0.35, J, "depth not recorded, pad or elsewhere"),
    (
        "healing_deep_share_crease",
        "1",
        0.1,
        0.9,
        0.6,
        J,
        "depth not recorded, crease: most there are fissures",
    ),
    ("healing_deep_misread_share", "1", 0.0, 0.2, 0.05, J, "recorded shallow, but deep after all"),
)

ROWS: tuple[tuple[Any, ...], ...] = _LOAD + _RESERVE + _DAMPNESS + _HARDNESS + _READINESS + _HEALING
