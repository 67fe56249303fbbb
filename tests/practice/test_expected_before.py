"""What was expected of a shot is what was believed before it."""

from __future__ import annotations

import numpy as np
import pytest
from a_season import PRIORS, lived, season

from arsenal.practice import forecast, posterior
from arsenal.practice.next_shot import Lines


def test_a_forecast_is_what_was_believed_before_the_shot() -> None:
    # beside it: everything learned anew from the earlier shots alone
    cases, _, _ = lived(season(3, 24, 3), np.random.default_rng(8))
    found = posterior.learn(cases, PRIORS)
    told = forecast.forecasts(found, range(16, 24))
    off, ratio = [], []
    for i in range(16, 24):
        before = posterior.learn(cases[:i], PRIORS)
        lines = Lines.of(before, cases[i].thrown, PRIORS)
        at = lines.at(cases[i].thrown[0], 0)
        row = lines.slope(cases[i].thrown[0], 0)
        sd = float(np.sqrt(row @ lines.cov @ row + lines.lines.noise[0, 0, 0]))
        off.append((told[i].mean[0] - at) / sd)
        ratio.append(told[i].sd[0] / sd)
    assert np.abs(off).max() < 0.35
    assert np.array(ratio) == pytest.approx(np.ones(8), rel=0.12)


def test_whiskers_hold_about_four_shots_in_five() -> None:
    # 80 % by construction; odd shots (one in twenty) and words' seasons included
    held, of = 0, 0
    for seed in range(6):
        cases, _, _ = lived(season(4, 40, 4), np.random.default_rng(seed), words=0.0)
        found = posterior.learn(cases, PRIORS)
        told = forecast.forecasts(found, range(len(cases)))
        for i, case in enumerate(cases):
            seen = case.trial.seen.landing_m  # type: ignore[union-attr]
            held += abs(seen - told[i].mean[0]) <= 1.2816 * told[i].sd[0]
            of += 1
    assert 0.72 < held / of < 0.88


def test_nothing_asked_is_nothing_told() -> None:
    cases, _, _ = lived(season(2, 4, 1), np.random.default_rng(1))
    assert forecast.forecasts(posterior.learn(cases, PRIORS), ()) == {}
