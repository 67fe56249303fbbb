"""Readings: what each instrument's number says about the surface.

An instrument keeps its own offset from one sitting to the next, so that its repeats say little more of how rough a ball
is, and much of how it has changed.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date

from arsenal.surface.finish import GLOSS, METERS
from arsenal.surface.life import THOU_M, Life
from arsenal.surface.slots import Slots
from arsenal.trade.entries import Quantity, Reading

GLOSS_60 = 60.0
Key = tuple[str, str]
"""An instrument's name (with the day where it has none) and what it reads."""


@dataclass(frozen=True, slots=True)
class Weighed:
    """A weighing to compare later ones with."""

    kg: float
    off_m: float
    off_var: float


class Instruments:
    """What has been read of one ball so far, so that an instrument is compared with itself."""

    def __init__(self, own_sd: float) -> None:
        self._meters: Slots[Key] = Slots(METERS, (0.0, own_sd * own_sd))
        self._gloss: tuple[str, float, float] | None = None
        """Meter, angle and ln of the last gloss reading."""
        self.weighing: Weighed | None = None

    def reshaped(self, life: Life) -> None:
        """Drilled, plugged or repaired: earlier weighings say nothing any more."""
        self.weighing, life.weighed = None, False

    def roughness(self, life: Life, on: date, reading: Reading) -> float:
        """Ra or a scanner's grit: Bayes in ln Ra. Returns how many spreads it lay from the log."""
        s = life.priors.surface
        per_grit = -s.ra_exponent
        if reading.quantity is Quantity.RA:
            value, repeat = math.log(reading.value), s.ra_reading_ln_sd
            stated = reading.sd / reading.value if reading.sd else None
        else:
            value, repeat = life.finish.ln_ra_of(reading.value), s.scanner_ln_sd * per_grit
            stated = reading.sd / reading.value * per_grit if reading.sd else None
        life.meter = reading.instrument
        key = (reading.instrument or on.isoformat(), reading.quantity.value)
        life.finish.meter = self._meters.take(life.finish, key)
        return life.finish.observe(value, (stated or repeat) ** 2, s.reading_spreads)

    def gloss(self, life: Life, reading: Reading) -> float | None:
        """Gloss against the same meter's last at the same angle. Returns how many spreads it lay from the log, None
        where the angle tells nothing.

        Curved covers read low by an unknown amount, so the first reading of a meter only sets the mark, and so does one
        after another meter was used.
        """
        s = life.priors.surface
        angle = reading.gloss_angle_deg or GLOSS_60
        if angle <= GLOSS_60 and life.finish.grit_of(life.finish.mean_ln_ra()) < s.gloss_least_grit:
            return None
        now, spreads = math.log(max(reading.value, 0.1)), 0.0
        if self._gloss is not None and self._gloss[:2] == (reading.instrument, angle):
            changed = -(now - self._gloss[2]) / s.gloss_exponent
            expected = life.finish.since(GLOSS)[0]
            doubt = 2.0 * s.gloss_ln_sd**2 + (s.gloss_exponent_sd * expected) ** 2
            spreads = life.finish.observe_since(GLOSS, changed, doubt, s.reading_spreads)
        life.finish.mark(GLOSS)
        self._gloss = (reading.instrument, angle, now)
        return spreads

    def weight(self, life: Life, kg: float) -> float:
        """A weighing: what it gained since the last one is oil, less the cover sanded off between. Returns how many
        spreads it lay from the log.
        """
        life.mass_kg, last, spreads = kg, self.weighing, 0.0
        off = life.size.off
        if last is not None:
            per_m = life.priors.oil.cover_mass_per_thou_kg / THOU_M
            sanded = (off.mean - last.off_m) * per_m
            sanded_var = max(off.sd**2 - last.off_var, 0.0) * per_m**2
            var = 2.0 * life.priors.oil.scale_sd_kg**2 + sanded_var
            spreads = life.oil.weighed(kg - last.kg + sanded, var, life.priors.surface.reading_spreads)
        life.oil.mark()
        self.weighing, life.weighed = Weighed(kg, off.mean, off.sd**2), True
        return spreads
