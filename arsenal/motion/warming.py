"""The compiled kernels fetched before anybody waits for them."""

from __future__ import annotations

from arsenal.motion.batches import trace
from arsenal.motion.beds import bed
from arsenal.motion.bodies import body_of, reference
from arsenal.motion.grips import grip
from arsenal.trade.lane import FilmSummary, Lane
from arsenal.trade.priors import Priors
from arsenal.trade.release import Line, Style
from arsenal.trade.units import BOARD_M, FOOT_M, MILLILITRE_M3


def warm(priors: Priors) -> None:
    """One path of the reference ball, thrown away: compiles the kernels on the first start, loads them on others."""
    ball, state = reference(priors)
    style = Style(8.0, 43.0, 0.8, 0.2)
    film = FilmSummary(41.0 * FOOT_M, 25.0 * MILLILITRE_M3, 8.0)
    held = grip(ball, state, priors, style, film.volume_m3)
    release = style.on(Line(20.0 * BOARD_M, -0.04))
    trace(bed(Lane(0, "", film), True, priors), body_of(ball, state), release, held)
