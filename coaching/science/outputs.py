"""What the models return: arrays with the axes of the inputs. Every number carries its unit in its name."""

from __future__ import annotations

from dataclasses import dataclass

from coaching.science.inputs import Floats


@dataclass(frozen=True)
class Estimate:
    """Skin of each athlete on the morning of every day: filtered up to the origin, predicted after it."""

    reserve_mean_pt: Floats  # (N, T)
    reserve_sd_pt: Floats  # (N, T) spread of the state itself, day-to-day noise ahead included
    reserve_known_sd_pt: Floats  # (N, T) spread of what is not known today (state, personal parameters)
    dampness_mean_pt: Floats  # (N, T)
    dampness_sd_pt: Floats  # (N, T)
    dampness_known_sd_pt: Floats  # (N, T)
    hardness_mean_pt: Floats  # (N, T)
    hardness_sd_pt: Floats  # (N, T)
    usual_reserve_pt: Floats  # (N,) level the athlete's reserve returns to without load
    agent_effect_frac: Floats  # (N, T, I) 0-1 share of the agent's full effect in force
    worked_reserve_pt: Floats  # (N,) level at which the reserve settles under the athlete's usual load
    usual_dampness_pt: Floats  # (N,) level without agent in mild air
    usual_load_slu: Floats  # (N,) usual day of load as known on the origin, rest days counted
    no_response_frac: Floats  # (N,) 0-1 chance that the athlete does not respond to drying agents


@dataclass(frozen=True)
class Healing:
    """Course of each episode from the origin. A time that the table does not reach is inf ("not reached")."""

    p_closed: Floats  # (E, H) deep layer closed on the morning h days after the origin, h = 0..H-1
    p_usable: Floats  # (E, H) usable taped, or better
    p_sound: Floats  # (E, H)
    closed_days: Floats  # (E, 4) 10, 50, 80 and 90 % points of the days from the origin until closed
    usable_days: Floats  # (E, 4)
    sound_days: Floats  # (E, 4)


@dataclass(frozen=True)
class Chance:
    """Chance that skin would not limit a planned session of that day, damage included unless named `skin`."""

    p: Floats  # (N, T)
    low: Floats  # (N, T) 10 % of that chance over today's state and the personal parameters
    high: Floats  # (N, T) 90 %
    q25: Floats  # (N, T)
    q75: Floats  # (N, T)
    p_skin: Floats  # (N, T) damage left out


@dataclass(frozen=True)
class EntryChance:
    """Readiness of each entry as the glossary defines it, and what it is made of."""

    p: Floats  # (M,)
    low: Floats  # (M,)
    high: Floats  # (M,)
    good_of: Floats  # (M,) days of the trip, NaN for a competition
    good_p50: Floats  # (M,) good days, middle
    good_low: Floats  # (M,)
    good_high: Floats  # (M,)
    p_usual: Floats  # (M,) with usual reserve, mild dampness, nothing open, the usual load
    p_rest: Floats  # (M,) with no load from tomorrow until the first day
    p_protected: Floats  # (M,) chance that all damage that matters is usable taped on the first day
    parts: dict[str, Floats]  # code -> (M,) change of p when that one thing alone is set to the usual
    episode_parts: Floats  # (M, E) change of p when that one episode alone is taken away (0: no matter)
