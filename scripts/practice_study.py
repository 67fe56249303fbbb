"""Whether what practice teaches can be trusted: bands over simulated seasons, ranks, and how long a season takes.

python3 scripts/practice_study.py [balls]    # 200 balls by default; also the tests marked slow
"""

from __future__ import annotations

import sys
import time
from importlib import import_module
from pathlib import Path

import numpy as np

ROOT = Path(__file__).resolve().parents[1]
sys.path[:0] = [str(ROOT), str(ROOT / "tests" / "practice")]
Z10 = 1.2815515655446004
A_SEASON = 5
FACTORS = ("friction", "response to roughness", "response to oil", "wear pace")


def ranks(balls: int) -> np.ndarray:
    """Where the truth lies in the posterior of each factor, (balls, 4), as a share from 0 to 1 (Talts and others 2018:
    uniform where the posterior is right; exact ranks in place of draws, the posterior being normal).
    """
    from scipy.stats import norm  # noqa: PLC0415

    from arsenal.practice import posterior  # noqa: PLC0415

    made, found = import_module("a_season"), []
    for seed in range(-(-balls // A_SEASON)):
        rng = np.random.default_rng(1000 + seed)
        wide = _ln_scatter(rng)
        shots, where, truth = made.lived(made.season(A_SEASON, 60, 6), rng, ln_scatter=wide)
        known = posterior.learn(shots, made.PRIORS)
        share = norm.cdf((truth - known.mean) / known.sd())
        found += [share[where.ball(ball)] for ball in where.balls]
    return np.array(found[:balls])


def scatter_ranks(bowlers: int) -> np.ndarray:
    """The same of ln of the factor on a bowler's scatter, (bowlers,): 30 shots of two balls in three outings each, half
    of them seen at the arrows too.
    """
    from scipy.stats import norm  # noqa: PLC0415

    from arsenal.practice import posterior  # noqa: PLC0415

    made, found = import_module("a_season"), []
    for seed in range(bowlers):
        rng = np.random.default_rng(9000 + seed)
        truth = _ln_scatter(rng)
        shots, _, _ = made.lived(made.season(2, 30, 3), rng, ln_scatter=truth, arrows=0.5)
        (believed,) = posterior.learn(shots, made.PRIORS).scatter.values()
        found.append(norm.cdf((truth - believed.mean) / believed.sd))
    return np.array(found)


def _ln_scatter(rng: np.random.Generator) -> float:
    from arsenal.practice.model import SCATTER_LN_SD  # noqa: PLC0415

    return float(SCATTER_LN_SD * rng.standard_normal())


def held(share: np.ndarray) -> np.ndarray:
    """Share of truths inside the 80 % band, a factor."""
    return np.asarray(((share > 0.1) & (share < 0.9)).mean(axis=0))


def season_seconds() -> float:
    """Seconds to learn a season of 500 shots of 20 balls in 40 outings, everything compiled before."""
    from arsenal.practice import posterior  # noqa: PLC0415

    made = import_module("a_season")
    posterior.learn(made.lived(made.season(2, 6, 2), np.random.default_rng(1))[0], made.PRIORS)
    shots, _, _ = made.lived(made.season(20, 500, 40), np.random.default_rng(2))
    begun = time.perf_counter()
    posterior.learn(shots, made.PRIORS)
    return time.perf_counter() - begun


def main() -> None:
    """Print it all."""
    from scipy.stats import kstest  # noqa: PLC0415

    balls = int(sys.argv[1]) if len(sys.argv) > 1 else 200
    share = ranks(balls)
    print(f"{balls} balls, 12 shots each; 80 % bands hold the truth (75 to 85 % wanted), and p of uniform ranks:")
    for name, inside, column in zip(FACTORS, held(share), share.T, strict=True):
        print(f"  {name:22} {100 * inside:5.1f} %   p {kstest(column, 'uniform').pvalue:.3f}")
    print(f"  all together           {100 * held(share).mean():5.1f} %")
    wide = scatter_ranks(balls)
    print(f"  scatter of {balls} bowlers {100 * float(held(wide)):5.1f} %   p {kstest(wide, 'uniform').pvalue:.3f}")
    print(f"500 shots of 20 balls in 40 outings: {season_seconds():.2f} s")


if __name__ == "__main__":
    main()
