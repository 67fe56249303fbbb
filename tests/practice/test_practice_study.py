"""Seasons by the hundred: bands hold what they say, ranks are uniform."""

from __future__ import annotations

import importlib.util
from pathlib import Path
from types import ModuleType

import numpy as np
import pytest
from scipy.stats import kstest

SCRIPT = Path(__file__).resolve().parents[2] / "scripts" / "practice_study.py"
pytestmark = pytest.mark.slow


def study() -> ModuleType:
    spec = importlib.util.spec_from_file_location("practice_study", SCRIPT)
    assert spec is not None
    assert spec.loader is not None
    made = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(made)
    return made


@pytest.fixture(scope="module")
def ranked() -> np.ndarray:
    return np.asarray(study().ranks(200))


def test_eighty_percent_bands_hold_the_truth_for_75_to_85_of_100(ranked: np.ndarray) -> None:
    assert ranked.shape == (200, 4)
    assert 0.75 <= float(study().held(ranked).mean()) <= 0.85


def test_ranks_of_the_truth_are_uniform(ranked: np.ndarray) -> None:
    # simulation-based calibration (Talts and others 2018); outside: Kolmogorov–Smirnov test of scipy.stats
    assert min(kstest(column, "uniform").pvalue for column in ranked.T) > 0.01


def test_the_scatter_of_a_bowler_lies_in_its_band_and_its_ranks_are_uniform() -> None:
    found = np.asarray(study().scatter_ranks(200))
    assert 0.75 <= float(study().held(found)) <= 0.85
    assert kstest(found, "uniform").pvalue > 0.01
