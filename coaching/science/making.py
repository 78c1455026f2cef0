"""How a number was made: the quantities that a model version reads, where each comes from, what cannot be known."""

from __future__ import annotations

from dataclasses import dataclass

from coaching.science.quantities import QUANTITIES, Parameters, Status

NOT_KNOWABLE: tuple[str, ...] = (
    "absolute-thickness",
    "between-athletes",
    "personal-onset",
    "renewal-or-stimulation",
    "personal-care-effect",
    "wash-out-end",
)
"""What ratings of 0 to 10 cannot tell, by code: how thick the skin is; who has more of it; on which day an agent sets
in for one athlete (a range only); whether skin renews faster or rests higher; what cream or filing does to one
athlete; how an agent fades against how the athlete ends a course."""


@dataclass(frozen=True)
class Made:
    """One quantity as a version reads it."""

    name: str
    value: float
    unit: str
    low: float
    high: float
    spread: float | None  # prior sd, of the logarithm where `log`
    log: bool
    status: Status
    source: str
    fitted: bool  # the value is the squad's, not the version's


def made(p: Parameters, version: Parameters) -> tuple[Made, ...]:
    """Return every quantity that a version reads, in the order of the register.

    Parameters: p (as they are read); version (the same of the version itself, before any fit to a squad).
    Returns: one row a quantity.
    Raises: nothing.
    Assumes: a value other than the version's was fitted to a squad; its source then names the prior.
    Source: bookkeeping; tests/unit/test_making.py.
    """
    return tuple(
        Made(
            name,
            p[name],
            q.unit,
            q.low,
            q.high,
            p.spreads.get(name),
            q.log,
            q.status,
            q.source,
            fitted=p[name] != version[name],
        )
        for name, q in QUANTITIES.items()
        if name in p.values
    )
