"""The fold: one ball's log, entry by entry, into the state of its surface. Nothing raises; what is odd is a finding."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any, TypeVar

from arsenal.kernels import uptake
from arsenal.surface import plausible, watch, work
from arsenal.surface.instruments import Instruments
from arsenal.surface.life import ALL, DAY_MIN, HAND_OR_SPINNER, Life
from arsenal.surface.slots import Moments
from arsenal.surface.state import Estimate, Holder, SurfaceState
from arsenal.trade.ball import Ball
from arsenal.trade.entries import (
    Cleaned,
    Compared,
    Crack,
    Drilled,
    DropTest,
    Entry,
    Handed,
    Inspected,
    Kind,
    New,
    Note,
    OilDrawn,
    OilMethod,
    Played,
    Quantity,
    Reading,
    Repair,
    Saw,
    Shot,
    Step,
    SurfaceWork,
    Undo,
    Wiped,
    effective,
)  # fmt: skip
from arsenal.trade.findings import Finding, Weight
from arsenal.trade.lane import FilmGrid, FilmSummary, Lane, UnknownHouse
from arsenal.trade.priors import Priors
from arsenal.trade.units import BOARD_M, GRAM_KG, INCH_M

FOLD_VERSION = "4"
"""Changes whenever the same log would fold to other numbers; part of the key of every cached state."""

HOLDER: dict[str, Holder] = {
    Kind.LENT: Holder.LENT, Kind.RETURNED: Holder.OWNED, Kind.SOLD: Holder.SOLD, Kind.RETIRED: Holder.RETIRED,
}  # fmt: skip
K = TypeVar("K")
BATH_MIN = 60.0
HEAT_MIN = 20.0


@dataclass(frozen=True, slots=True)
class Learned:
    """What other balls' readings have taught: ln of a house's wear pace, ln of a pad's rate of cutting."""

    houses: Mapping[str, Estimate] = field(default_factory=dict)
    pads: Mapping[int, Estimate] = field(default_factory=dict)


NOTHING = Learned()


def fold(
    ball: Ball, entries: Sequence[Entry], priors: Priors, *, until: date | None = None,
    lanes: Mapping[int, Lane] = {}, learned: Learned = NOTHING,
) -> SurfaceState:  # fmt: skip
    """The state of `ball`'s surface from its log. `until` a day, the log up to and with that day is folded and the
    state is that day's; without it the state is that of the last entry. `learned` is what other balls' readings say of
    the houses it was played in and the pads it met. Never raises on what the entries say.
    """
    folder = Folder(ball, priors, lanes, learned)
    standing = standing_entries(ball, entries, until)
    for entry in standing:
        folder.take(entry)
    return folder.state(until or (standing[-1].on if standing else None))


def standing_entries(ball: Ball, entries: Sequence[Entry], until: date | None = None) -> list[Entry]:
    """This ball's entries that still stand, in folding order, up to and with `until`."""
    return [e for e in effective(list(entries)) if e.ball_id == ball.id and (until is None or e.on <= until)]


class Folder:
    """Takes entries one by one in folding order; knows what is odd about them."""

    def __init__(self, ball: Ball, priors: Priors, lanes: Mapping[int, Lane], learned: Learned = NOTHING) -> None:
        self.ball, self.priors = ball, priors
        self.life = Life(ball, priors, houses=_moments(learned.houses), pads=_moments(learned.pads))
        self.instruments = Instruments(self.priors.surface.instrument_ln_sd)
        self._lanes = lanes
        self._volume: dict[int | None, float] = {None: priors.oil.reference_volume_m3}
        self._pad_uses: dict[int, list[float]] = {}
        self._findings: list[Finding] = []
        self._open: dict[str, list[int]] = {}
        self._once: set[str] = set()
        self._taken = 0
        self._came = False
        self._cleaned = False
        self._crack: Finding | None = None
        self._inspection: Finding | None = None
        self._diameter_seq: int | None = None

    def take(self, entry: Entry) -> None:
        """Fold one entry."""
        payload = entry.payload
        if self.ball.bought_on is not None and entry.on < self.ball.bought_on:
            self._first("before-bought", watch.before_bought(entry.seq, entry.on, self.ball.bought_on))
        act = _ACTS.get(type(payload))
        if act is None:
            self._add(watch.unknown_kind(entry.seq, entry.on, str(entry.kind)))
        elif (wrong := plausible.problem(payload)) is not None:
            self._add(watch.impossible(entry.seq, entry.on, f"“{entry.kind}”", wrong))
        else:
            act(self, entry, payload)
        self._taken += 1

    def state(self, on: date | None) -> SurfaceState:
        """The state now, or as it will be on the day `on` if nothing else happens until then."""
        life = self.life
        film = life.oil.film_m, life.oil.film_sd_m
        if on is not None and life.played_on is not None and on > life.played_on:
            life.oil.rest(DAY_MIN * (on - life.played_on).days)
        taken = life.state(on, tuple(self._findings) + tuple(self._standing_findings()))
        life.oil.film_m, life.oil.film_sd_m = film
        return taken

    # ---- findings

    def _add(self, finding: Finding) -> None:
        self._open.setdefault(finding.code, []).append(len(self._findings))
        self._findings.append(finding)

    def _first(self, code: str, finding: Finding) -> None:
        if code not in self._once:
            self._once.add(code)
            self._add(finding)

    def _lapse(self, code: str) -> None:
        """What was odd then has been overtaken: it stays told, as something to know."""
        for i in self._open.pop(code, ()):
            self._findings[i] = replace(self._findings[i], weight=Weight.NOTE)

    def _standing_findings(self) -> list[Finding]:
        """What is odd about the ball as it stands, rather than about one entry."""
        life, found = self.life, []
        if not self._came:
            found.append(watch.nobody_said())
        if self._crack is not None:
            found.append(self._crack)
        if self._inspection is not None:
            found.append(self._inspection)
        across = watch.diameter(self.ball, life.size.radius, life.size.off, self._diameter_seq)
        if across is not None:
            found.append(across)
        if not self._cleaned and life.games[ALL] > watch.NEVER_CLEANED_GAMES:
            found.append(watch.never_cleaned(life.games[ALL]))
        return found

    def _gone(self, entry: Entry, what: str) -> None:
        if self.life.holder in (Holder.SOLD, Holder.RETIRED):
            self._add(watch.after_gone(entry.seq, entry.on, what, self.life.holder.value))

    # ---- the ball's beginnings

    def new(self, entry: Entry, new: New) -> None:
        """It came."""
        if self._taken:
            self._add(watch.came_later(entry.seq, entry.on, self._taken))
        steps = [s for s in new.finish if work.problem(s) is None]
        if len(steps) < len(new.finish):
            wrong = next(w for w in map(work.problem, new.finish) if w is not None)
            self._add(watch.impossible(entry.seq, entry.on, "A step of the box finish", wrong))
        too_many = plausible.games_before(new.games_before)
        if too_many is not None:
            self._add(watch.impossible(entry.seq, entry.on, "“new”", too_many))
            new = replace(new, games_before=None)
        self.life.arrive(new, entry.on, steps)
        self._came = True
        self.instruments = Instruments(self.priors.surface.instrument_ln_sd)
        self.life.meter, self.life.weighed = "", False

    def drilled(self, _entry: Entry, drilled: Drilled) -> None:
        """Drilled: only pin-to-axis matters here."""
        if drilled.pin_to_axis_m is not None:
            self.life.pin_to_axis_m = drilled.pin_to_axis_m
        self.instruments.reshaped(self.life)

    # ---- surface work

    def worked(self, entry: Entry, done: SurfaceWork) -> None:
        """Sanded, polished or compounded."""
        seq, on = entry.seq, entry.on
        self._gone(entry, "Surface work")
        if self.life.cracked:
            self._add(watch.worked_cracked(seq, on, "Surface work"))
        if not done.whole:
            self._add(watch.part_surface(seq, on))
        if done.in_competition:
            self._add(watch.in_competition(seq, on))
        steps = []
        for step in done.steps:
            wrong = work.problem(step)
            if wrong is not None:
                self._add(watch.impossible(seq, on, "A step of surface work", wrong))
            elif not work.nothing_done(step, self.priors.surface):
                steps.append(step)
        if not steps:
            self._add(watch.nothing_done(seq, on))
            return
        if done.whole:
            self._lapse("part-surface")
        self.life.work(done, steps, on, self._pad_before, late=entry.late, seq=seq)

    def _pad_before(self, step: Step) -> tuple[float, float]:
        """Uses the step's pad has behind it, as logged with it or else counted here; counts this one."""
        uses = [0.0, 0.0] if step.pad_id is None else self._pad_uses.setdefault(step.pad_id, [0.0, 0.0])
        which = HAND_OR_SPINNER[step.tool]
        if step.uses_before is not None and math.isfinite(step.uses_before):
            uses[which], uses[1 - which] = max(step.uses_before, 0.0), 0.0
        before = (uses[0], uses[1])
        uses[which] += 1.0
        return before

    # ---- play and care

    def played(self, entry: Entry, played: Played) -> None:
        """Shots with the strike ball."""
        self._gone(entry, "Games")
        late = self.priors.surface.late_games_sd if entry.late else 0.0
        self._play(entry, played, math.hypot(played.sd, late))

    def shot(self, entry: Entry, shot: Shot) -> None:
        """A practice shot: one shot of play, whatever was seen of it. Nobody miscounts one."""
        self._gone(entry, "A practice shot")
        wiped = None if shot.wiped is None else Wiped.EACH if shot.wiped else Wiped.NEVER
        self._play(entry, Played(1.0, lane_id=shot.lane_id, wiped=wiped), 0.0)

    def _play(self, entry: Entry, played: Played, sd: float) -> None:
        lane = self._lanes.get(played.lane_id) if played.lane_id is not None else None
        if lane is not None:
            self.life.at(house_key(lane))
        self.life.play(entry.on, played.shots, sd, played.wiped, self._volume_m3(played.lane_id))

    def _volume_m3(self, lane_id: int | None) -> float:
        if lane_id not in self._volume:
            lane = self._lanes.get(lane_id) if lane_id is not None else None
            self._volume[lane_id] = volume_m3(lane, self.priors.oil.reference_volume_m3)
        return self._volume[lane_id]

    def cleaned(self, entry: Entry, cleaned: Cleaned) -> None:
        """Liquid cleaner."""
        self._cleaned = True
        self.life.clean(entry.on, cleaned.same_night)

    def oil_drawn(self, entry: Entry, drawn: OilDrawn) -> None:
        """Bath, heat cabinet or something else."""
        seq, on, o = entry.seq, entry.on, self.priors.oil
        if self.life.cracked:
            self._add(watch.worked_cracked(seq, on, "Heat"))
        elif self.life.plugged:
            self._add(watch.heat_plugged(seq, on))
        if drawn.temperature_c is not None and drawn.temperature_c > watch.HEAT_LIMIT_C:
            self._add(watch.too_hot(seq, on, drawn.temperature_c))
        if drawn.method is OilMethod.OTHER:
            self._add(watch.other_method(seq, on))
        if drawn.method is OilMethod.BATH:
            rounds = max(drawn.passes / 2.0, 1.0) if drawn.minutes is None else drawn.passes * drawn.minutes / BATH_MIN
            share = uptake.passes_share(o.bath_share, rounds)
        else:
            rounds = drawn.passes * (1.0 if drawn.minutes is None else drawn.minutes / HEAT_MIN)
            share = uptake.passes_share(o.heat_share, rounds)
        self.life.draw_oil(on, share)

    # ---- looking at it

    def read(self, entry: Entry, reading: Reading) -> None:
        """An instrument's number."""
        life, by = self.life, self.instruments
        if reading.quantity in (Quantity.RA, Quantity.SCANNER_GRIT):
            self._read_roughness(entry, reading)
        elif reading.quantity is Quantity.GLOSS:
            spreads = by.gloss(life, reading)
            if spreads is None:
                self._add(watch.gloss_no_use(entry.seq, entry.on))
            else:
                self._against_log(entry, "gloss", f"gloss of {reading.value:.0f}", spreads)
        elif reading.quantity is Quantity.MASS:
            self._against_log(
                entry, "weight", f"weight of {reading.value / GRAM_KG:.0f} g", by.weight(life, reading.value)
            )
        elif reading.quantity is Quantity.HARDNESS:
            life.hardness_d = reading.value
        else:
            spreads = life.size.measured(0.5 * reading.value, self.priors.surface.reading_spreads)
            self._against_log(entry, "diameter", f"diameter of {reading.value / INCH_M:.3f} in", spreads)
            self._diameter_seq = entry.seq

    def _read_roughness(self, entry: Entry, reading: Reading) -> None:
        finish = self.life.finish
        log = finish.grits()[0]
        spreads = self.instruments.roughness(self.life, entry.on, reading)
        if spreads > self.priors.surface.reading_spreads:
            rough = reading.quantity is Quantity.RA
            grit = finish.grit_of(math.log(reading.value)) if rough else reading.value
            self._add(watch.reading_against_log(entry.seq, entry.on, grit, log, spreads))
        else:
            self._lapse("reading-against-log")

    def _against_log(self, entry: Entry, what: str, said: str, spreads: float) -> None:
        if spreads > self.priors.surface.reading_spreads:
            self._add(watch.other_against_log(entry.seq, entry.on, what, said, spreads))
        else:
            self._lapse(f"{what}-against-log")

    def dropped(self, _entry: Entry, test: DropTest) -> None:
        """A drop test: how fast this cover drinks."""
        o = self.priors.oil
        self.life.oil.dropped(uptake.drop_factor(test.minutes, o.drop_reference_min, o.drop_limit))

    def inspected(self, entry: Entry, inspected: Inspected) -> None:
        """Looked over."""
        self.life.inspect(entry.on)
        said = inspected.found.strip()
        self._inspection = watch.inspection_found(entry.seq, entry.on, said) if said else None

    def cracked(self, entry: Entry, crack: Crack) -> None:
        """A crack was found."""
        self.life.cracked = True
        self._crack = watch.crack_open(entry.seq, entry.on, crack.where)

    def repaired(self, _entry: Entry, repair: Repair) -> None:
        """Repaired, plugged or redrilled."""
        self.life.plugged = self.life.plugged or repair.plugged
        if repair.mends_crack:
            self.life.cracked, self._crack = False, None
            self._lapse("crack-worked")
        self.instruments.reshaped(self.life)

    def handed(self, entry: Entry, handed: Handed) -> None:
        """Lent, returned, sold, retired; sold to who owns it now, it is in that bag."""
        holder = HOLDER.get(entry.kind)
        if holder is Holder.SOLD and handed.person_id == self.ball.owner_id:
            holder = Holder.OWNED
        if holder is not None:
            self.life.holder = holder
            self.life.holder_name = "" if holder is Holder.OWNED else handed.to

    def loose_undo(self, entry: Entry, _undo: Undo) -> None:
        """An undo that names nothing to undo."""
        self._add(watch.loose_undo(entry.seq, entry.on))

    def shown(self, _entry: Entry, _payload: object) -> None:
        """Kept for people; says nothing of the surface."""


_ACTS: dict[type, Callable[[Folder, Entry, Any], None]] = {
    New: Folder.new, Drilled: Folder.drilled, SurfaceWork: Folder.worked, Played: Folder.played,
    Cleaned: Folder.cleaned, OilDrawn: Folder.oil_drawn, Reading: Folder.read, DropTest: Folder.dropped,
    Inspected: Folder.inspected, Crack: Folder.cracked, Repair: Folder.repaired, Handed: Folder.handed,
    Undo: Folder.loose_undo, Compared: Folder.shown, Saw: Folder.shown, Shot: Folder.shot, Note: Folder.shown,
}  # fmt: skip


def house_key(lane: Lane) -> str:
    """The house of a condition, whatever way its name was typed; empty where nobody said."""
    return " ".join(lane.house.casefold().split())


def volume_m3(lane: Lane | None, usual: float) -> float:
    """Oil on a whole lane: as stated, in the middle of an unknown house, or added up from a grid."""
    if lane is None:
        return usual
    film = lane.film
    if isinstance(film, FilmSummary):
        return film.volume_m3
    if isinstance(film, UnknownHouse):
        return 0.5 * (film.volume_low_m3 + film.volume_high_m3)
    return _grid_volume_m3(film)


def _grid_volume_m3(film: FilmGrid) -> float:
    """Trapezoids along the lane and across the boards."""
    across = [
        sum(0.5 * (a + b) * (y1 - y0) for a, b, y0, y1 in zip(row, row[1:], film.boards, film.boards[1:], strict=False))
        for row in film.height_m
    ]
    along = zip(across, across[1:], film.distance_m, film.distance_m[1:], strict=False)
    return sum(0.5 * (a + b) * (x1 - x0) for a, b, x0, x1 in along) * BOARD_M


def _moments(known: Mapping[K, Estimate]) -> dict[K, Moments]:
    return {key: (of.mean, of.sd**2) for key, of in known.items()}
