"""Weights that a log leaves: never all on the one member that happens to lie nearest."""

from __future__ import annotations

import numpy as np
import pytest

from service.heat.tempering import tempered


def counted(weights: np.ndarray) -> float:
    return float(1.0 / np.square(weights).sum())


def test_a_log_that_many_fit_is_taken_as_it_is():
    likelihood = np.log(np.array([0.4, 0.3, 0.2, 0.1]))
    assert tempered(likelihood, 2.0) == pytest.approx([0.4, 0.3, 0.2, 0.1])


def test_one_member_alone_never_counts_for_all():
    likelihood = np.concatenate([[0.0], np.full(511, -30.0)])
    weights = tempered(likelihood, 4.0)
    assert weights.sum() == pytest.approx(1.0)
    assert counted(weights) >= 4.0
    assert weights[0] == weights.max()
