"""Oil in one ball's cover and the film on it: uptake, removal, weighings, with their doubt."""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import date

from arsenal.kernels import uptake
from arsenal.surface.state import Estimate
from arsenal.trade.ball import Cover
from arsenal.trade.entries import Wiped
from arsenal.trade.priors import Priors

MEMORY = 9


class OilInCover:
    """Oil `kg`, the cover's own thirst (ln of its uptake against the usual) and a copy of the oil at the last weighing
    as a three-number Gaussian: what is unknown at both weighings cancels in what was gained between them.
    """

    __slots__ = (
        "_capacity",
        "_film_most",
        "_found_kg",
        "_priors",
        "_reactive",
        "_takes",
        "_tonight_kg",
        "_tonight_on",
        "_visit_on",
        "film_m",
        "film_sd_m",
        "kg",
        "kg_var",
        "mixed",
        "then_kg",
        "then_kg_cov",
        "then_thirst_cov",
        "then_var",
        "thirst",
        "thirst_var",
    )  # fmt: skip

    def __init__(self, cover: Cover, priors: Priors) -> None:
        o = self._priors = priors.oil
        each, never = o.uptake_wiped_kg[cover], o.uptake_unwiped_kg[cover]
        self._takes = {Wiped.EACH: each, Wiped.SOMETIMES: 0.5 * (each + never), Wiped.NEVER: never}
        self._capacity, self._film_most, self._reactive = o.capacity_kg[cover], o.film_most_m[cover], cover.reactive
        self.kg, self.thirst = 0.0, 0.0
        self.kg_var, self.mixed, self.thirst_var = 0.0, 0.0, o.uptake_ln_sd**2
        self.then_kg = self.then_kg_cov = self.then_thirst_cov = self.then_var = 0.0
        self.film_m = self.film_sd_m = 0.0
        self._tonight_on: date | None = None
        self._tonight_kg = 0.0
        self._visit_on: date | None = None
        self._found_kg = 0.0

    @property
    def estimate(self) -> Estimate:
        """Oil in the cover, kg."""
        return Estimate(self.kg, math.sqrt(max(self.kg_var, 0.0)))

    @property
    def film(self) -> Estimate:
        """Film left on the ball, m."""
        return Estimate(self.film_m, self.film_sd_m)

    @property
    def share(self) -> float:
        """Share of the cover's capacity."""
        return self.kg / self._capacity

    def unknown_use(self) -> None:
        """A used ball nobody knows."""
        share = self._priors.used_share if self._reactive else 0.0
        self.kg = share * self._capacity
        self.kg_var, self.mixed = self.kg * self.kg, 0.0
        self.then_kg = self.then_kg_cov = self.then_thirst_cov = self.then_var = 0.0

    def play(self, on: date | None, games: float, wiped: Wiped | None, volume_m3: float) -> None:
        """Drink during `games` on a lane of that volume."""
        o = self._priors
        usual = self._takes[wiped or Wiped.SOMETIMES] * volume_m3 / o.reference_volume_m3
        a_game = usual * math.exp(self.thirst)
        if on != self._tonight_on:
            self._tonight_on, self._tonight_kg = on, 0.0
        self._visit_on = None
        before, full = self.kg, self._capacity
        self.kg = uptake.taken_up(before, a_game, full, games)
        self._tonight_kg += self.kg - before
        keeps = math.exp(-a_game * games / full)
        by_thirst = (full - self.kg) * a_game * games / full
        self.kg_var = (
            keeps * keeps * self.kg_var + 2.0 * keeps * by_thirst * self.mixed + by_thirst**2 * self.thirst_var
        )
        self.mixed = keeps * self.mixed + by_thirst * self.thirst_var
        self.then_kg_cov = keeps * self.then_kg_cov + by_thirst * self.then_thirst_cov
        if wiped is None:  # nobody said: anything from each shot to never
            between = 0.5 * (self._takes[Wiped.NEVER] - self._takes[Wiped.EACH]) / self._takes[Wiped.SOMETIMES]
            self.kg_var += (between * (self.kg - before)) ** 2

    def blur_games(self, var: float, wiped: Wiped | None, volume_m3: float) -> None:
        """The games just played are known only to a variance of `var`."""
        usual = self._takes[wiped or Wiped.SOMETIMES] * volume_m3 / self._priors.reference_volume_m3
        slope = usual * math.exp(self.thirst) * (1.0 - self.kg / self._capacity)
        self.kg_var += slope * slope * var

    def film_after(self, shots: float, wiped: Wiped | None, volume_m3: float) -> None:
        """The film left on the ball by a session."""
        o = self._priors
        most = self._film_most * volume_m3 / o.reference_volume_m3
        never = uptake.film_unwiped_m(self.film_m, most, shots, o.film_shots)
        each = o.film_wiped_m
        how = wiped or Wiped.SOMETIMES
        self.film_m = each if how is Wiped.EACH else never if how is Wiped.NEVER else 0.5 * (each + never)
        unsaid = 0.5 * abs(never - each) if wiped is None else 0.0
        self.film_sd_m = math.hypot(o.film_ln_sd * self.film_m, unsaid)

    def rest(self, minutes: float) -> None:
        """Reactive covers soak the film up while the ball rests; others keep it."""
        if self._reactive:
            half = self._priors.soak_minutes
            self.film_m = uptake.soaked(self.film_m, minutes, half)
            self.film_sd_m = uptake.soaked(self.film_sd_m, minutes, half)

    def dry(self) -> None:
        """Cleaner or pads have taken the film."""
        self.film_m = self.film_sd_m = 0.0

    def clean(self, on: date, same_night: bool) -> None:
        """Liquid cleaner: the film goes, and a share of what was taken up that night."""
        o = self._priors
        self.dry()
        if self._tonight_on is None or self.kg <= 0.0:
            return
        soon = same_night and (on - self._tonight_on).days <= 1
        taken = (o.clean_same_night if soon else o.clean_later) * self._tonight_kg
        self._tonight_kg = 0.0
        self.draw(on, min(taken / self.kg, 1.0))

    def draw(self, on: date | None, share: float) -> None:
        """Draw `share` of the oil; all that is drawn on one day without play between is one visit."""
        if self._visit_on is None or self._visit_on != on:
            self._visit_on, self._found_kg = on, self.kg
        if self.kg <= 0.0 or share <= 0.0:
            return
        before = self.kg
        self.kg = uptake.left_after(before, share, self._found_kg, self._priors.visit_limit)
        keeps, drawn = self.kg / before, before - self.kg
        self.kg_var = keeps * keeps * self.kg_var + (self._priors.removal_sd * drawn) ** 2
        self.mixed *= keeps
        self.then_kg_cov *= keeps

    def mark(self) -> None:
        """It stands on the scale: later weighings count from here."""
        self.then_kg, self.then_kg_cov, self.then_thirst_cov, self.then_var = (
            self.kg, self.kg_var, self.mixed, self.kg_var,
        )  # fmt: skip

    def gained(self) -> Estimate:
        """Oil gained since the last weighing, kg."""
        var = self.kg_var - 2.0 * self.then_kg_cov + self.then_var
        return Estimate(self.kg - self.then_kg, math.sqrt(max(var, 0.0)))

    def weighed(self, gained_kg: float, var: float, most_spreads: float) -> float:
        """A weighing says that `gained_kg` came in since the last, with variance `var`: Bayes, which also teaches the
        cover's thirst. Returns how many spreads it lay from the log; beyond `most_spreads` both are given doubt enough.
        """
        known = self.gained()
        off, total = gained_kg - known.mean, known.sd**2 + var
        spreads = abs(off) / math.sqrt(total)
        if spreads > most_spreads:
            excess = 0.5 * ((off / most_spreads) ** 2 - total)
            self.kg_var += excess
            total += 2.0 * excess
        tied, tied_thirst = self.kg_var - self.then_kg_cov, self.mixed - self.then_thirst_cov
        gain, gain_thirst = tied / total, tied_thirst / total
        self.kg = min(max(self.kg + gain * off, 0.0), self._capacity)
        self.thirst += gain_thirst * off
        self.thirst_var = max(self.thirst_var - gain_thirst * tied_thirst, 0.0)
        self.mixed -= gain * tied_thirst
        self.kg_var = max(self.kg_var - gain * tied, 0.0)
        return spreads

    def dropped(self, factor: float) -> None:
        """A drop test says this cover drinks `factor` times the usual. Where nothing else has taught its thirst, the
        test decides; else Bayes. What it drank before is corrected along.
        """
        o = self._priors
        says, var = math.log(factor), o.drop_ln_sd**2
        untaught = self.thirst_var >= o.uptake_ln_sd**2 * (1.0 - 1e-9)
        gain = 1.0 if untaught else self.thirst_var / (self.thirst_var + var)
        left = var if untaught else self.thirst_var * (1.0 - gain)
        per = self.mixed / self.thirst_var if self.thirst_var > 0.0 else 0.0
        moved = gain * (says - self.thirst)
        self.kg = min(max(self.kg + per * moved, 0.0), self._capacity)
        self.thirst += moved
        self.kg_var = max(self.kg_var - per * per * (self.thirst_var - left), 0.0)
        self.mixed = per * left
        self.then_kg_cov, self.then_thirst_cov = self._then_after(per, left)
        self.thirst_var = left

    def _then_after(self, per: float, left: float) -> tuple[float, float]:
        """Ties of the last weighing's copy once the thirst's variance is `left`."""
        share = left / self.thirst_var if self.thirst_var > 0.0 else 1.0
        then = self.then_thirst_cov
        return self.then_kg_cov - per * then * (1.0 - share), then * share

    def memory(self) -> tuple[float, ...]:
        """What `recall` needs."""
        return (
            self.kg, self.thirst, self.kg_var, self.mixed, self.thirst_var, self.then_kg, self.then_kg_cov,
            self.then_thirst_cov, self.then_var,
        )  # fmt: skip

    def recall(self, memory: Sequence[float], film: Estimate) -> None:
        """Take up again what `memory` kept."""
        self.kg, self.thirst, self.kg_var, self.mixed, self.thirst_var = memory[:5]
        self.then_kg, self.then_kg_cov, self.then_thirst_cov, self.then_var = memory[5:MEMORY]
        self.film_m, self.film_sd_m = film.mean, film.sd
