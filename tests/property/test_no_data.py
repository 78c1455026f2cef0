"""Two athletes of whom nothing is known and who have the same plan get the same forecast, to the bit."""

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra import numpy as nps

from coaching.science.inputs import Floats
from coaching.science.versions import CURRENT, get
from tests.courses import DAYS, calm, entered, unhurt

MODEL = get(CURRENT)
plans = nps.arrays(np.float64, (1, DAYS), elements=st.one_of(st.just(np.nan), st.floats(0, 5)))


@given(plans)
@settings(max_examples=10, deadline=None)
def test_no_data_is_the_prior(plan: Floats) -> None:
    course = calm(2, load_plan_slu=np.repeat(plan, 2, axis=0))
    for result in (*MODEL.filter(course)[:1], MODEL.chance(course, unhurt())):
        for name, values in vars(result).items():
            assert np.array_equal(values[0], values[1]), name
    entry = MODEL.entries(course, unhurt(), entered(50, 52, athletes=2))
    assert entry.p[0] == entry.p[1] and entry.p_usual[0] == entry.p_usual[1]
