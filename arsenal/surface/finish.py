"""The finish of one ball as a small Gaussian: what is known of it, and how sanding, play and readings move it.

An extended Kalman filter in ln grit and ln Ra, where all of them are (nearly) linear; plain floats for speed.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from arsenal.kernels import wear
from arsenal.surface.work import Closure
from arsenal.trade.ball import Cover
from arsenal.trade.priors import Priors

FAST, SLOW, OFFSET, PACE, SETTLED, SET, SETTLED_IN, BEFORE, HOUSE, LAY, PAD, METER, GLOSS = range(13)
"""What the filter holds: the two gaps below settled (ln grit), the ball's own roughness offset (ln Ra), its wear pace
(ln of games against the cover's usual), its settled grit (ln), and copies of ln Ra when the finish was set, when it had
settled in, and before a look ahead, which later readings correct along with the rest. Then what it shares with other
balls and lets go of in turn: the house's wear pace (ln), how far a hand finish lies from a spinner's on this ball (ln
Ra), how the pad last used cuts (ln of its rate), the offset of the meter last used (ln Ra), and ln Ra at the last gloss
reading."""
HOUSES, PADS, METERS = (HOUSE, 13), (PAD, 14), (METER, 15, 16)
"""The last few of each; `house`, `pad` and `meter` say which is in use."""
SIZE = 17
NOT_PLAYED = (1.0, 0.0, 1.0, 0.0)
MOST_SPREADS = 2.5
"""Wear paces are kept within so many spreads, where the filter's straight lines still hold."""
Z10 = 1.2815515655446004  # P: standard normal 90th percentile


class Finish:
    """Mean `x` and covariance `p` (rows of a symmetric matrix) of what is unknown of one ball's finish."""

    __slots__ = (
        "_beyond", "_h0", "_h4", "_level", "_p", "_played", "_priors", "_ra500", "_tau_fast", "_tau_slow", "house",
        "lay", "meter", "pad", "x",
    )  # fmt: skip

    def __init__(self, cover: Cover, priors: Priors) -> None:
        s = self._priors = priors.surface
        self._ra500 = s.ra_at_500_m * s.cover_factor[cover]
        self._level = math.log(self._ra500) - s.ra_exponent * math.log(500.0)
        self._h0, self._h4 = -s.ra_exponent, s.ra_exponent  # d ln Ra / d gap and d settled; 1 for the offset
        self.lay = 0.0
        """Share of the surface that a hand laid, 0 to 1; d ln Ra / d LAY."""
        self._tau_fast, self._tau_slow = s.tau_fast_games, s.tau_slow_games[cover]
        self._beyond = s.finer_beyond_first
        self.x = [0.0] * SIZE
        self._p = [[0.0] * SIZE for _ in range(SIZE)]
        self._played = NOT_PLAYED
        self.house, self.pad, self.meter = HOUSE, PAD, METER
        self.x[SETTLED] = math.log(s.settled_grit[cover])
        for i, sd in (
            (OFFSET, s.ra_ln_sd), (PACE, s.pace_ln_sd), (SETTLED, s.settled_ln_sd), (HOUSE, s.house_pace_ln_sd),
            (LAY, s.hand_ln_sd),
        ):  # fmt: skip
            self._p[i][i] = sd * sd
        self.unknown_use()

    @property
    def p(self) -> list[list[float]]:
        """The covariance, with all play in it."""
        if self._played is not NOT_PLAYED:
            self._catch_up()
        return self._p

    @p.setter
    def p(self, rows: list[list[float]]) -> None:
        self._p, self._played = rows, NOT_PLAYED

    def _catch_up(self) -> None:
        """Put the play since the last time into the covariance: gaps ← kept · gaps + moved · (paces), once for all."""
        a, ja, b, jb = self._played
        self._played = NOT_PLAYED
        paces = ((PACE, ja), (self.house, ja)), ((PACE, jb), (self.house, jb))
        self._linear({FAST: ((FAST, a), *paces[0]), SLOW: ((SLOW, b), *paces[1])})

    def copy(self) -> Finish:
        """Another one that starts from here."""
        other = object.__new__(Finish)
        for name in self.__slots__:
            setattr(other, name, getattr(self, name))
        other.x, other.p = list(self.x), [list(row) for row in self.p]
        return other

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
        self.lay = 0.0

    def fresh(self, ln_pad: float, ln_sd: float) -> None:
        """A surface that is nothing but this grain, whatever lay there before."""
        self._begin(0.0, 0.0, 0.0)
        self._close(Closure(1.0), ln_pad, 0.0, ln_sd, by_hand=False)

    # ---- what is known

    def ln_ra(self) -> tuple[float, float]:
        """Mean and variance of ln Ra (Ra in metres)."""
        column = self._times_h()
        return self.mean_ln_ra(), max(self._dot_h(column), 0.0)

    def mean_ln_ra(self) -> float:
        """Mean of ln Ra alone."""
        x = self.x
        gaps, settled = self._h0 * (x[FAST] + x[SLOW]), self._h4 * x[SETTLED]
        return self._level + gaps + x[OFFSET] + settled + self.lay * x[LAY]

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
        h0, h4, lay = self._h0, self._h4, self.lay
        return [h0 * (r[FAST] + r[SLOW]) + r[OFFSET] + h4 * r[SETTLED] + lay * r[LAY] for r in self.p]

    def _dot_h(self, v: Sequence[float]) -> float:
        return self._h0 * (v[FAST] + v[SLOW]) + v[OFFSET] + self._h4 * v[SETTLED] + self.lay * v[LAY]

    def marginal(self, which: int) -> tuple[float, float]:
        """Mean and variance of one of the things it holds."""
        return self.x[which], max(self.p[which][which], 0.0)

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

    def take_up(self, which: int, mean: float, var: float) -> None:
        """Another house, pad or meter in place of the one before: what tied the old one to the ball is let go."""
        p = self.p
        for j in range(SIZE):
            p[which][j] = p[j][which] = 0.0
        self.x[which], p[which][which] = mean, var

    def play_in(self, house: int) -> None:
        """Games from now on are played in the house that number stands for."""
        if self._played is not NOT_PLAYED:
            self._catch_up()
        self.house = house

    def shine(self, games: float) -> None:
        """Lane shine of `games`, exactly that many."""
        x = self.x
        pace = math.exp(x[PACE] + x[self.house])
        n_fast, n_slow = games / (self._tau_fast * pace), games / (self._tau_slow * pace)
        a, b = math.exp(-n_fast), math.exp(-n_slow)
        fast, slow = x[FAST] * a, x[SLOW] * b
        x[FAST], x[SLOW] = fast, slow
        kept_f, moved_f, kept_s, moved_s = self._played
        self._played = (a * kept_f, a * moved_f + fast * n_fast, b * kept_s, b * moved_s + slow * n_slow)

    def take_pace(self, ln_more: float, ln_sd: float) -> None:
        """The wear pace as something else has taught it: so much more than the log says (logarithm), known to `ln_sd`;
        what hangs together with it is surer alike. What is on the ball now stays: that was taught of itself.
        """
        p = self.p
        had = p[PACE][PACE]
        self.x[PACE] += ln_more
        if had > ln_sd * ln_sd:
            tied = [p[i][PACE] / had for i in range(SIZE)]
            less = had - ln_sd * ln_sd
            for i in range(SIZE):
                p[i] = [u - tied[i] * less * t for u, t in zip(p[i], tied, strict=True)]

    def blur_games(self, var: float) -> None:
        """The games just played are known only to a variance of `var`."""
        pace = math.exp(self.x[PACE] + self.x[self.house])
        self._blur(var, (-self.x[FAST] / (self._tau_fast * pace), -self.x[SLOW] / (self._tau_slow * pace)))

    def sand(self, done: Closure, ln_pad: float, ln_pad_sd: float, *, by_hand: bool) -> None:
        """A pad that closes so much of the way to its own grain, `ln_pad` ± `ln_pad_sd`."""
        reached, depends = wear.reached(self.ln_grit(), ln_pad, self._beyond)
        self._close(done, reached, depends, ln_pad_sd, by_hand=by_hand)

    def polish(self, done: Closure, polish_ra_m: float, ln_sd: float, *, by_hand: bool) -> None:
        """A polish or compound of that roughness (m), which keeps some of what lay there."""
        s = self._priors
        now = wear.ra_m(math.exp(self.ln_grit()), self._ra500, s.ra_exponent)
        full = wear.polished_ra_m(now, polish_ra_m, s.polish_keeps)
        reached = math.log(wear.grit_equivalent(full, self._ra500, s.ra_exponent))
        self._close(done, reached, s.polish_keeps * now / full, ln_sd, by_hand=by_hand)

    def _close(self, done: Closure, reached: float, depends: float, ln_sd: float, *, by_hand: bool) -> None:
        """Close so much of the way to ln grit `reached`, which moves by `depends` with ln grit now."""
        c = done.share
        if c == 0.0 and done.sd == 0.0:
            return
        s, x = self._priors, self.x
        fast = s.fast_share
        whole = x[SETTLED] - reached
        along_f, along_s = whole * fast - x[FAST], whole * (1.0 - fast) - x[SLOW]  # d gaps / d share
        x[FAST], x[SLOW] = wear.sanded((x[FAST], x[SLOW]), c, x[SETTLED], reached, fast)
        keeps, renewed = 1.0 - c * s.offset_renewed, -done.slope * s.offset_renewed * x[OFFSET]
        x[OFFSET] *= keeps
        into_f, into_s = c * fast, c * (1.0 - fast)
        self._linear(
            {
                FAST: (
                    (FAST, 1.0 - c + into_f * depends),
                    (SLOW, into_f * depends),
                    (SETTLED, into_f * (1.0 - depends)),
                    (self.pad, done.slope * along_f),
                ),
                SLOW: (
                    (FAST, into_s * depends),
                    (SLOW, 1.0 - c + into_s * depends),
                    (SETTLED, into_s * (1.0 - depends)),
                    (self.pad, done.slope * along_s),
                ),
                OFFSET: ((OFFSET, keeps), (self.pad, renewed)),
            }
        )
        self._blur(done.sd**2, (along_f, along_s))
        self._blur((ln_sd * (1.0 - depends)) ** 2, (-into_f, -into_s))
        self._blur(s.fast_share_sd**2, (c * whole, -c * whole))
        self.p[OFFSET][OFFSET] += (1.0 - keeps * keeps) * s.ra_ln_sd**2
        self.lay += c * (float(by_hand) - self.lay)

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
        """Covariance p ← A p Aᵀ, where A is the identity but for `rows`: symmetric, so each row is made once."""
        p, new = self.p, {}
        for i, parts in rows.items():
            row = [0.0] * SIZE
            for k, c in parts:
                if c:
                    row = [u + c * v for u, v in zip(row, p[k], strict=True)]
            new[i] = row
        corner = {(i, j): sum(c * row[k] for k, c in rows[j]) for i, row in new.items() for j in rows}
        for i, row in new.items():
            p[i] = row
            for j, value in enumerate(row):
                p[j][i] = value
        for (i, j), value in corner.items():
            p[i][j] = value

    # ---- what is read

    def observe(self, ln_ra: float, var: float, most_spreads: float) -> float:
        """A reading of ln Ra by the meter in hand, its repeat's variance `var`: Bayes. Returns how many spreads it lay
        from the log.

        Beyond `most_spreads` either may be wrong: both the surface and the reading are given doubt enough to bear it.
        """

        def column() -> list[float]:
            return [v + row[self.meter] for v, row in zip(self._times_h(), self.p, strict=True)]

        def across(v: Sequence[float]) -> float:
            return self._dot_h(v) + v[self.meter]

        return self._bayes(ln_ra - self.mean_ln_ra() - self.x[self.meter], var, most_spreads, column, across)

    def observe_since(self, mark: int, changed: float, var: float, most_spreads: float) -> float:
        """A reading of how far ln Ra has moved since `mark`; as `observe`."""

        def column() -> list[float]:
            return [v - row[mark] for v, row in zip(self._times_h(), self.p, strict=True)]

        def across(v: Sequence[float]) -> float:
            return self._dot_h(v) - v[mark]

        return self._bayes(changed - self.since(mark)[0], var, most_spreads, column, across)

    def _bayes(
        self, off: float, var: float, most_spreads: float, column: Callable[[], list[float]],
        across: Callable[[Sequence[float]], float],
    ) -> float:  # fmt: skip
        """A reading that lies `off` from what was expected; `column` is its covariance with everything held."""
        tied = column()
        total = across(tied) + var
        spreads = abs(off) / math.sqrt(total)
        if spreads > most_spreads:
            excess = 0.5 * ((off / most_spreads) ** 2 - total)
            self._blur(excess / self._h0**2, (0.0, 1.0))
            tied = column()
            total = across(tied) + var + excess
        p, x = self.p, self.x
        for i in range(SIZE):
            gain = tied[i] / total
            x[i] += gain * off
            p[i] = [u - gain * t for u, t in zip(p[i], tied, strict=True)]
        s = self._priors
        for i, sd in ((PACE, s.pace_ln_sd), *((house, s.house_pace_ln_sd) for house in HOUSES)):
            x[i] = min(max(x[i], -MOST_SPREADS * sd), MOST_SPREADS * sd)
        return spreads

    # ---- carried in a state

    def memory(self) -> tuple[float, ...]:
        """Mean, upper triangle of the covariance and what a hand laid, as one tuple of floats."""
        p = self.p
        return (*self.x, *(p[i][j] for i in range(SIZE) for j in range(i, SIZE)), self.lay)

    def recall(self, memory: Sequence[float]) -> None:
        """Take up again what `memory` kept."""
        self.x = list(memory[:SIZE])
        rest = iter(memory[SIZE : MEMORY - 1])
        p = self.p
        for i in range(SIZE):
            for j in range(i, SIZE):
                p[i][j] = p[j][i] = next(rest)
        self.lay = memory[MEMORY - 1]


MEMORY = SIZE + SIZE * (SIZE + 1) // 2 + 1
