"""Numbers of the models as the rules read them, one athlete at a time. None: not known or not reached."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date


@dataclass(frozen=True)
class Quartet:
    """Days from the origin until something is reached, at 10, 50, 80 and 90 %; None: not reached."""

    q10_d: float | None
    q50_d: float | None
    q80_d: float | None
    q90_d: float | None


@dataclass(frozen=True)
class EpisodeNumbers:
    episode_id: str
    closed: Quartet
    usable: Quartet
    sound: Quartet
    p_usable_by_day: dict[date, float] = field(default_factory=dict)  # origin .. last event day
    p_sound_by_day: dict[date, float] = field(default_factory=dict)


@dataclass(frozen=True)
class EntryNumbers:
    event_id: str
    p: float
    low: float
    high: float
    p_usual: float
    p_rest: float
    p_protected: float
    good_days: tuple[int, float, float, float] | None = None  # of, p50, low, high
    parts: dict[str, float] = field(default_factory=dict)
    episode_parts: dict[str, float] = field(
        default_factory=dict
    )  # episode id -> change of p if it were not there


@dataclass(frozen=True)
class AthleteNumbers:
    """State on the morning of the origin and the load figures of the past."""

    reserve_mean_pt: float
    reserve_sd_pt: float
    usual_reserve_pt: float
    dampness_mean_pt: float
    dampness_sd_pt: float
    hardness_mean_pt: float
    load_7d_slu: float
    load_7d_unknown_days: int
    load_7d_percentile: float | None
    load_ahead_7d_slu: float
    monotony: float | None
    agent_effect_frac: dict[str, float] = field(default_factory=dict)
    episodes: dict[str, EpisodeNumbers] = field(default_factory=dict)
    entries: dict[str, EntryNumbers] = field(default_factory=dict)
