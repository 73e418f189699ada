"""Score sheets as statsmodels' MixedLM wants them: the outside fit that ours is held against."""

from collections.abc import Sequence
from typing import Any

import numpy as np
import pandas as pd
from statsmodels.regression.mixed_linear_model import MixedLM


def mixed_model(tables: Sequence[np.ndarray], changed: Sequence[bool]) -> MixedLM:
    """Criterion and its change fixed; contest, judge in contest and contest by criterion random."""
    rows: list[dict[str, Any]] = [
        {"mark": mark, "contest": n, "judge": j, "criterion": f"k{c}", "changed": float(on)}
        for n, (table, on) in enumerate(zip(tables, changed, strict=True))
        for j, sheet in enumerate(table)
        for c, mark in enumerate(sheet)
    ]
    return MixedLM.from_formula(
        "mark ~ 0 + C(criterion) + C(criterion):changed",
        groups="contest",
        re_formula="1",
        vc_formula={"judge": "0 + C(judge)", "criterion": "0 + C(criterion)"},
        data=pd.DataFrame(rows),
    )
