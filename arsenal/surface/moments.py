"""A ball's timeline: one moment an entry, and one more just before each surface work."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from datetime import date

from arsenal.surface import plausible
from arsenal.surface.finish import Z10, Finish
from arsenal.surface.folding import NOTHING, Folder, Learned, standing_entries
from arsenal.surface.state import CoverTaken, Moment
from arsenal.trade.ball import Ball
from arsenal.trade.entries import Entry, New, Played, Quantity, Reading, SurfaceWork, shots_in
from arsenal.trade.lane import Lane
from arsenal.trade.pads import label
from arsenal.trade.priors import Priors
from arsenal.trade.units import GRAM_KG, INCH_M, MICROINCH_M, SHOTS_A_GAME

UNIT_OF = {
    Quantity.RA: (MICROINCH_M, "{:.0f} μin"), Quantity.SCANNER_GRIT: (1.0, "{:.0f}"),
    Quantity.GLOSS: (1.0, "{:.0f} GU"), Quantity.MASS: (GRAM_KG, "{:.0f} g"),
    Quantity.HARDNESS: (1.0, "{:.0f} D"), Quantity.DIAMETER: (INCH_M, "{:.3f} in"),
}  # fmt: skip


def timeline(
    ball: Ball, entries: Sequence[Entry], priors: Priors, *, lanes: Mapping[int, Lane] = {}, learned: Learned = NOTHING
) -> tuple[Moment, ...]:
    """The state's roughness just after each entry that stands; surface work has a moment just before it as well."""
    folder = Folder(ball, priors, lanes, learned)
    moments: list[Moment] = []
    for entry in standing_entries(ball, entries):
        if isinstance(entry.payload, SurfaceWork) and moments:
            moments.append(_moment(folder, entry, ""))
        folder.take(entry)
        moments.append(_moment(folder, entry, _label(entry)))
    return tuple(moments)


def cover_jobs(
    ball: Ball, entries: Sequence[Entry], priors: Priors, *, until: date | None = None, learned: Learned = NOTHING
) -> tuple[CoverTaken, ...]:
    """What each surface work in the log took off the radius, first to last, as it is believed at the end of it."""
    folder = Folder(ball, priors, {}, learned)
    for entry in standing_entries(ball, entries, until):
        folder.take(entry)
    return folder.life.size.each()


def _label(entry: Entry) -> str:
    payload = entry.payload
    if plausible.problem(payload) is not None:
        return str(entry.kind)
    if isinstance(payload, SurfaceWork):
        return label(payload.steps)
    if isinstance(payload, New):
        return label(payload.finish) if payload.history_known else "used"
    if isinstance(payload, Played):
        return f"{payload.shots / SHOTS_A_GAME:.3g}"
    if isinstance(payload, Reading):
        unit, form = UNIT_OF[payload.quantity]
        return form.format(payload.value / unit)
    return str(entry.kind)


def _read_ln_ra(finish: Finish, payload: object) -> float | None:
    """Roughness that a reading stands for, as ln Ra; None for readings of something else."""
    if isinstance(payload, Reading) and payload.quantity is Quantity.RA:
        return math.log(payload.value)
    if isinstance(payload, Reading) and payload.quantity is Quantity.SCANNER_GRIT:
        return finish.ln_ra_of(payload.value)
    return None


def _moment(folder: Folder, entry: Entry, words: str) -> Moment:
    finish = folder.life.finish
    grit, low, high = finish.grits()
    possible = plausible.problem(entry.payload) is None
    games = shots_in(entry.payload) / SHOTS_A_GAME if possible else 0.0
    read = read_low = read_high = None
    rough = _read_ln_ra(finish, entry.payload) if possible else None
    if rough is not None:
        s = folder.priors.surface
        reach = Z10 * math.hypot(s.instrument_ln_sd, s.ra_reading_ln_sd)
        read, read_low, read_high = (finish.grit_of(rough + d) for d in (0.0, reach, -reach))
    return Moment(
        on=entry.on, seq=entry.seq, kind=str(entry.kind), label=words, grit=grit, grit_low=low, grit_high=high,
        games=games, reading_grit=read, reading_low=read_low, reading_high=read_high,
    )  # fmt: skip
