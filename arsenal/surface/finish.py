"""The finish of one ball as a small Gaussian: what is known of it, and how sanding, play and readings move it.

An extended Kalman filter in ln grit and ln Ra, where all of them are (nearly) linear; plain floats for speed.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from arsenal.kernels import wear
from arsenal.trade.ball import Cover
from arsenal.trade.priors import Priors

FAST, SLOW, OFFSET, PACE, SETTLED, SET, SETTLED_IN, BEFORE = range(8)
"""What the filter holds: the two gaps below settled (ln grit), the ball's own roughness offset (ln Ra), its wear pace
(ln of games against the cover's usual), its settled grit (ln), and copies of ln Ra when the finish was set, when it had
settled in, and before a look ahead, which later readings correct along with the rest."""
SIZE = 8
PACE_MOST = 1.2
"""Wear pace is kept within ×/÷ e^1.2, two and a half spreads, where the filter's straight lines still hold."""
Z10 = 1.2815515655446004  # P: standard normal 90th percentile


class Finish:
    """Mean `x` and covariance `p` (rows of a symmetric matrix) of what is unknown of one ball's finish."""

    __slots__ = ("_beyond", "_cover", "_h", "_level", "_priors", "_ra500", "_tau_fast", "_tau_slow", "p", "x")

    def __init__(self, cover: Cover, priors: Priors) -> None:
        s = self._priors = priors.surface
        self._cover = cover
        self._ra500 = s.ra_at_500_m * s.cover_factor[cover]
        self._level = math.log(self._ra500) - s.ra_exponent * math.log(500.0)
        e = s.ra_exponent
        self._h = (-e, -e, 1.0, 0.0, e, 0.0, 0.0, 0.0)  # d ln Ra / d x
        self._tau_fast, self._tau_slow = s.tau_fast_games, s.tau_slow_games[cover]
        self._beyond = s.finer_beyond_first
        self.x = [0.0] * SIZE
        self.p = [[0.0] * SIZE for _ in range(SIZE)]
        self.x[SETTLED] = math.log(s.settled_grit[cover])
        for i, sd in ((OFFSET, s.ra_ln_sd), (PACE, s.tau_slow_ln_sd), (SETTLED, s.settled_ln_sd)):
            self.p[i][i] = sd * sd
        self.unknown_use()

    # ---- how it starts

    def unknown_use(self) -> None:
        """A used ball nobody knows: a little below settled, and wide."""
        s = self._priors
        self._begin(0.0, s.used_gap, s.used_gap_sd)
        self.mark_set()

    def unknown_box(self) -> None:
        """A new ball nobody described."""
        self.fresh(math.log(self._priors.unknown_box_grit), self._priors.unknown_box_ln_sd)
        self.mark_set()

    def _begin(self, fast: float, slow: float, slow_sd: float) -> None:
        x, p = self.x, self.p
        for i in (FAST, SLOW):
            for j in range(SIZE):
                p[i][j] = p[j][i] = 0.0
        x[FAST], x[SLOW], p[SLOW][SLOW] = fast, slow, slow_sd * slow_sd

    def fresh(self, ln_pad: float, ln_sd: float) -> None:
        """A surface that is nothing but this grain, whatever lay there before."""
        self._begin(0.0, 0.0, 0.0)
        self._close(1.0, 0.0, ln_pad, 0.0, ln_sd)

    # ---- what is known

    def ln_ra(self) -> tuple[float, float]:
        """Mean and variance of ln Ra (Ra in metres)."""
        column = self._times_h()
        return self.mean_ln_ra(), max(self._dot_h(column), 0.0)

    def mean_ln_ra(self) -> float:
        """Mean of ln Ra alone."""
        x, h = self.x, self._h
        return self._level + h[FAST] * (x[FAST] + x[SLOW]) + x[OFFSET] + h[SETTLED] * x[SETTLED]

    def ln_grit(self) -> float:
        """Mean of ln grit in terms of pads, without the ball's own offset."""
        x = self.x
        return x[SETTLED] - x[FAST] - x[SLOW]

    def grit_of(self, ln_ra: float) -> float:
        """Grit equivalent of a roughness on this cover."""
        return wear.grit_equivalent(math.exp(ln_ra), self._ra500, self._priors.ra_exponent)

    def ln_ra_of(self, grit: float) -> float:
        """Roughness, as ln Ra (m), that a grit equivalent stands for on this cover."""
        return math.log(wear.ra_m(grit, self._ra500, self._priors.ra_exponent))

    def grits(self) -> tuple[float, float, float]:
        """Grit equivalent of the mean roughness, and its 10th and 90th percentile."""
        mean, var = self.ln_ra()
        reach = Z10 * math.sqrt(var)
        return self.grit_of(mean), self.grit_of(mean + reach), self.grit_of(mean - reach)

    def since(self, mark: int) -> tuple[float, float]:
        """Mean and variance of ln Ra now less that at `mark` (SET, SETTLED_IN, BEFORE); the ball's offset cancels."""
        column = self._times_h()
        var = self._dot_h(column) - 2.0 * column[mark] + self.p[mark][mark]
        return self.mean_ln_ra() - self.x[mark], max(var, 0.0)

    def _times_h(self) -> list[float]:
        h0, h4 = self._h[FAST], self._h[SETTLED]
        return [h0 * (row[FAST] + row[SLOW]) + row[OFFSET] + h4 * row[SETTLED] for row in self.p]

    def _dot_h(self, v: Sequence[float]) -> float:
        return self._h[FAST] * (v[FAST] + v[SLOW]) + v[OFFSET] + self._h[SETTLED] * v[SETTLED]

    # ---- what moves it

    def mark(self, which: int) -> None:
        """Keep a copy of ln Ra as it is now, tied to everything it depends on."""
        column, p = self._times_h(), self.p
        self.x[which] = self.mean_ln_ra()
        own = self._dot_h(column)
        for j in range(SIZE):
            p[which][j] = p[j][which] = column[j]
        p[which][which] = own

    def mark_set(self) -> None:
        """The finish has just been set; until it settles in, settled in is the same."""
        self.mark(SET)
        self.mark(SETTLED_IN)

    def shine(self, games: float) -> None:
        """Lane shine of `games`, exactly that many."""
        x, p = self.x, self.p
        pace = math.exp(x[PACE])
        n_fast, n_slow = games / (self._tau_fast * pace), games / (self._tau_slow * pace)
        a, b = math.exp(-n_fast), math.exp(-n_slow)
        fast, slow = x[FAST] * a, x[SLOW] * b
        x[FAST], x[SLOW] = fast, slow
        ja, jb = fast * n_fast, slow * n_slow
        f, s, t = p[FAST], p[SLOW], p[PACE]
        ff, fs, ss, ft, st, tt = f[FAST], f[SLOW], s[SLOW], f[PACE], s[PACE], t[PACE]
        for j in (OFFSET, PACE, SETTLED, SET, SETTLED_IN, BEFORE):
            tj, row = t[j], p[j]
            f[j] = row[FAST] = a * f[j] + ja * tj
            s[j] = row[SLOW] = b * s[j] + jb * tj
        f[FAST] = a * a * ff + 2.0 * a * ja * ft + ja * ja * tt
        s[SLOW] = b * b * ss + 2.0 * b * jb * st + jb * jb * tt
        f[SLOW] = s[FAST] = a * b * fs + a * jb * ft + b * ja * st + ja * jb * tt

    def blur_games(self, var: float) -> None:
        """The games just played are known only to a variance of `var`."""
        pace = math.exp(self.x[PACE])
        self._blur(var, (-self.x[FAST] / (self._tau_fast * pace), -self.x[SLOW] / (self._tau_slow * pace)))

    def sand(self, share: float, share_sd: float, ln_pad: float, ln_pad_sd: float) -> None:
        """A pad that closes `share` ± `share_sd` of the way to its own grain, `ln_pad` ± `ln_pad_sd`."""
        reached, depends = wear.reached(self.ln_grit(), ln_pad, self._beyond)
        self._close(share, share_sd, reached, depends, ln_pad_sd)

    def polish(self, share: float, share_sd: float, polish_ra_m: float, ln_sd: float) -> None:
        """A polish or compound of that roughness (m), which keeps some of what lay there."""
        s = self._priors
        now = wear.ra_m(math.exp(self.ln_grit()), self._ra500, s.ra_exponent)
        full = wear.polished_ra_m(now, polish_ra_m, s.polish_keeps)
        reached = math.log(wear.grit_equivalent(full, self._ra500, s.ra_exponent))
        self._close(share, share_sd, reached, s.polish_keeps * now / full, ln_sd)

    def _close(self, c: float, c_sd: float, reached: float, depends: float, ln_sd: float) -> None:
        """Close `c` of the way to ln grit `reached`, which moves by `depends` with ln grit now."""
        if c == 0.0 and c_sd == 0.0:
            return
        s, x = self._priors, self.x
        fast = s.fast_share
        fast0, slow0, whole = x[FAST], x[SLOW], x[SETTLED] - reached
        x[FAST], x[SLOW] = wear.sanded((fast0, slow0), c, x[SETTLED], reached, fast)
        keeps = 1.0 - c * s.offset_renewed
        x[OFFSET] *= keeps
        into_f, into_s = c * fast, c * (1.0 - fast)
        self._linear(
            {
                FAST: (
                    (FAST, 1.0 - c + into_f * depends),
                    (SLOW, into_f * depends),
                    (SETTLED, into_f * (1.0 - depends)),
                ),
                SLOW: (
                    (FAST, into_s * depends),
                    (SLOW, 1.0 - c + into_s * depends),
                    (SETTLED, into_s * (1.0 - depends)),
                ),
                OFFSET: ((OFFSET, keeps),),
            }
        )
        self._blur(c_sd * c_sd, (whole * fast - fast0, whole * (1.0 - fast) - slow0))
        self._blur((ln_sd * (1.0 - depends)) ** 2, (-into_f, -into_s))
        self._blur(s.fast_share_sd**2, (c * whole, -c * whole))
        self.p[OFFSET][OFFSET] += (1.0 - keeps * keeps) * s.ra_ln_sd**2

    def blur_grit(self, ln_sd: float) -> None:
        """More doubt of ln grit, along the way a sanding moves it."""
        self._blur(ln_sd * ln_sd, (self._priors.fast_share, 1.0 - self._priors.fast_share))

    def _blur(self, var: float, along: tuple[float, float]) -> None:
        p, (a, b) = self.p, along
        p[FAST][FAST] += var * a * a
        p[SLOW][SLOW] += var * b * b
        both = p[FAST][SLOW] + var * a * b
        p[FAST][SLOW] = p[SLOW][FAST] = both

    def _linear(self, rows: dict[int, tuple[tuple[int, float], ...]]) -> None:
        """Covariance p ← A p Aᵀ, where A is the identity but for `rows`."""
        p = self.p
        new = {i: [sum(c * p[k][j] for k, c in parts) for j in range(SIZE)] for i, parts in rows.items()}
        for i, row in new.items():
            p[i] = row
        for row in p:
            columns = {i: sum(c * row[k] for k, c in parts) for i, parts in rows.items()}
            for i, value in columns.items():
                row[i] = value

    # ---- what is read

    def observe(self, ln_ra: float, var: float, most_spreads: float) -> float:
        """A reading of ln Ra with variance `var`: Bayes. Returns how many spreads it lay from the log.

        Beyond `most_spreads` either may be wrong: both the surface and the reading are given doubt enough to bear it.
        """
        column = self._times_h()
        off, total = ln_ra - self.mean_ln_ra(), self._dot_h(column) + var
        spreads = abs(off) / math.sqrt(total)
        if spreads > most_spreads:
            excess = 0.5 * ((off / most_spreads) ** 2 - total)
            self._blur(excess / self._h[SLOW] ** 2, (0.0, 1.0))
            column = self._times_h()
            total = self._dot_h(column) + var + excess
        p, x = self.p, self.x
        for i in range(SIZE):
            gain, row = column[i] / total, p[i]
            x[i] += gain * off
            for j in range(SIZE):
                row[j] -= gain * column[j]
        x[PACE] = min(max(x[PACE], -PACE_MOST), PACE_MOST)
        return spreads

    # ---- carried in a state

    def memory(self) -> tuple[float, ...]:
        """Mean and upper triangle of the covariance as one tuple of floats."""
        return (*self.x, *(self.p[i][j] for i in range(SIZE) for j in range(i, SIZE)))

    def recall(self, memory: Sequence[float]) -> None:
        """Take up again what `memory` kept."""
        self.x = list(memory[:SIZE])
        rest = iter(memory[SIZE : SIZE + SIZE * (SIZE + 1) // 2])
        for i in range(SIZE):
            for j in range(i, SIZE):
                self.p[i][j] = self.p[j][i] = next(rest)


MEMORY = SIZE + SIZE * (SIZE + 1) // 2
