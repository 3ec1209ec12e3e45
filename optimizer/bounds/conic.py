"""The only door to the conic solver: least cost where plane vectors stay shorter than limits that vary too."""

# pyright: reportUnknownMemberType=false, reportUnknownVariableType=false, reportUnknownArgumentType=false
# scipy.sparse and clarabel have no types

from __future__ import annotations

from typing import Any

import clarabel as untyped
import numpy as np
from scipy import sparse

from geometry.curves.curve import Real

TOLERANCE = 1e-6

clarabel: Any = untyped  # a compiled library without stubs


def solve_cones(cost: Real, upper: tuple[Any, Real], norms: tuple[Any, Any, Any], start: Real) -> Real | None:
    """The x (n,) of least cost·x for which A x ≤ b and |(start_u + U x, start_v + V x)| ≤ R x, row by row.

    cost: (n,). upper: A, sparse (m, n), and b (m,). norms: R, U and V, sparse (J, n) each. start: (2, J).
    None should the solver fail.
    """
    limit, *turned = norms
    rows = start.shape[1]
    together = np.arange(3 * rows).reshape(3, rows).T.ravel()  # the three rows of each cone follow each other
    matrix = sparse.vstack([upper[0], -sparse.vstack([limit, *turned]).tocsr()[together]]).tocsc()
    right = np.concatenate([upper[1], np.stack([np.zeros(rows), *start]).T.ravel()])
    settings = clarabel.DefaultSettings()
    settings.verbose = False
    settings.max_threads = 1
    settings.tol_gap_abs = settings.tol_gap_rel = settings.tol_feas = TOLERANCE
    cones = [clarabel.NonnegativeConeT(upper[1].size), *[clarabel.SecondOrderConeT(3)] * rows]
    nothing = sparse.csc_matrix((cost.size, cost.size))
    answer = clarabel.DefaultSolver(nothing, cost, matrix, right, cones, settings).solve()
    x = np.array(answer.x)
    return x if np.isfinite(x).all() else None
