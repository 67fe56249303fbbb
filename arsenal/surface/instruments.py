"""Readings: what each instrument's number says about the surface, several at one sitting counted as one instrument."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date

from arsenal.surface.life import THOU_M, Life
from arsenal.trade.entries import Quantity, Reading

GLOSS_60 = 60.0


@dataclass(slots=True)
class Sitting:
    """Readings of one quantity by one instrument with nothing between them."""

    key: tuple[date, str, Quantity]
    count: int = 0
    total: float = 0.0


@dataclass(frozen=True, slots=True)
class Weighed:
    """A weighing to compare later ones with."""

    kg: float
    oil_kg: float
    oil_var: float
    off_m: float


class Instruments:
    """What has been read of one ball so far, so that an instrument is compared with itself."""

    def __init__(self) -> None:
        self.sitting: Sitting | None = None
        self._gloss: dict[tuple[str, float], tuple[float, float, float]] = {}
        self._weighed: Weighed | None = None

    def moved(self) -> None:
        """Something happened to the surface: the sitting is over."""
        self.sitting = None

    def reshaped(self) -> None:
        """Drilled, plugged or repaired: earlier weighings say nothing any more."""
        self._weighed = None

    def roughness(self, life: Life, on: date, reading: Reading) -> float:
        """Ra or a scanner's grit: Bayes in ln Ra. Returns how many spreads it lay from the log.

        At one sitting the instrument's own offset is common, so the n-th reading only adds what the mean of n knows
        more than the mean of n − 1.
        """
        s = life.priors.surface
        per_grit = -s.ra_exponent
        if reading.quantity is Quantity.RA:
            value, repeat = math.log(reading.value), s.ra_reading_ln_sd
            stated = reading.sd / reading.value if reading.sd else None
        else:
            value, repeat = life.finish.ln_ra_of(reading.value), s.scanner_ln_sd * per_grit
            stated = reading.sd / reading.value * per_grit if reading.sd else None
        repeat_var, own_var = (stated or repeat) ** 2, s.instrument_ln_sd**2
        key = (on, reading.instrument, reading.quantity)
        if self.sitting is None or self.sitting.key != key:
            self.sitting = Sitting(key)
        at = self.sitting
        known = 1.0 / (own_var + repeat_var / at.count) if at.count else 0.0
        mean = at.total / at.count if at.count else 0.0
        at.count, at.total = at.count + 1, at.total + value
        knows = 1.0 / (own_var + repeat_var / at.count)
        if knows <= known:
            return 0.0
        says = (knows * at.total / at.count - known * mean) / (knows - known)
        return life.finish.observe(says, 1.0 / (knows - known), s.reading_spreads)

    def gloss(self, life: Life, reading: Reading) -> bool:
        """Gloss against the same meter's last at the same angle. Returns False where the angle tells nothing.

        Curved covers read low by an unknown amount, so the first reading of a meter only sets the mark.
        """
        s = life.priors.surface
        angle = reading.gloss_angle_deg or GLOSS_60
        mean, var = life.finish.ln_ra()
        if angle <= GLOSS_60 and life.finish.grit_of(mean) < s.gloss_least_grit:
            return False
        key, now = (reading.instrument, angle), math.log(max(reading.value, 0.1))
        last = self._gloss.get(key)
        if last is not None:
            before, ln_ra, ln_ra_var = last
            change = -(now - before) / s.gloss_exponent
            doubt = 2.0 * s.gloss_ln_sd**2 + (s.gloss_exponent_sd * change) ** 2
            life.finish.observe(ln_ra + change, ln_ra_var + doubt, s.reading_spreads)
            mean, var = life.finish.ln_ra()
        self._gloss[key] = (now, mean, var)
        return True

    def weight(self, life: Life, kg: float) -> None:
        """A weighing: what it gained since the last one is oil, less the cover sanded off between."""
        o, oil, last = life.priors.oil, life.oil, self._weighed
        life.mass_kg = kg
        if last is not None:
            sanded = (life.off_m - last.off_m) / THOU_M * o.cover_mass_per_thou_kg
            sanded_sd = sanded * life.priors.surface.grain_taken_ln_sd
            var = 2.0 * o.scale_sd_kg**2 + last.oil_var + sanded_sd**2
            oil.weighed(last.oil_kg + kg - last.kg + sanded, var)
        self._weighed = Weighed(kg, oil.kg, oil.kg_var, life.off_m)
