"""Everything that is kept of one ball while its log is folded, and what each kind of work does to it."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from datetime import date

from arsenal.kernels import uptake, wear
from arsenal.surface import work
from arsenal.surface.cover import MEMORY as OIL_MEMORY
from arsenal.surface.cover import OilInCover
from arsenal.surface.finish import BEFORE, HOUSES, LAY, OFFSET, PACE, PADS, SET, SETTLED, SETTLED_IN, Finish
from arsenal.surface.finish import MEMORY as FINISH_MEMORY
from arsenal.surface.size import MEMORY as SIZE_MEMORY
from arsenal.surface.size import Job, Size
from arsenal.surface.slots import Moments, Slots
from arsenal.surface.state import Estimate, Holder, PadCut, SettledIn, SurfaceState
from arsenal.surface.work import Closure
from arsenal.trade.ball import Ball
from arsenal.trade.entries import Abrasive, New, Step, SurfaceWork, Tool, Wiped
from arsenal.trade.findings import Finding
from arsenal.trade.pads import label
from arsenal.trade.priors import Priors
from arsenal.trade.units import INCH_M, SHOTS_A_GAME

ON_FINISH, RESURFACE, DEEP_OIL, CLEAN, ALL = range(5)
DAY_MIN = 24.0 * 60.0
THOU_M = 0.001 * INCH_M
NO_PAD, EMPTY = -1, -2
EXTRAS = 4 + len(PADS)

Uses = Callable[[Step], tuple[float, float]]
"""How often a step's pad was used before it, by hand and on a spinner."""


class Life:
    """One ball's surface while time runs: finish, oil, counters, dates. Mutable; `state()` takes the picture."""

    def __init__(
        self, ball: Ball, priors: Priors, *, houses: Mapping[str, Moments] = {}, pads: Mapping[int, Moments] = {}
    ) -> None:
        self.ball, self.priors = ball, priors
        self.finish, self.oil = Finish(ball.cover, priors), OilInCover(ball.cover, priors)
        self.games, self.games_var = [0.0] * 5, [0.0] * 5
        self.steps: tuple[Step, ...] = ()
        self.finish_on: date | None = None
        self.settled = False
        self.settled_oil_kg = self.settled_games = 0.0
        self.sessions = 0
        self.resurfaced_on: date | None = None
        self.deep_oil_on: date | None = None
        self.cleaned_on: date | None = None
        self.inspected_on: date | None = None
        self.played_on: date | None = None
        self.size = Size(ball, priors.surface)
        s = priors.surface
        self.houses, self.house = Slots(HOUSES, (0.0, s.house_pace_ln_sd**2), houses), ""
        self.finish.play_in(self.houses.take(self.finish, ""))
        self.pads = Slots(PADS, (0.0, s.pad_cut_ln_sd**2), pads)
        self.meter, self.weighed = "", False
        self.mass_kg: float | None = None
        self.hardness_d: float | None = None
        self.holder, self.holder_name = Holder.OWNED, ""
        self.cracked = self.plugged = False
        self.pin_to_axis_m: float | None = None

    # ---- what happens to it

    def arrive(self, new: New, on: date | None, steps: Sequence[Step]) -> None:
        """It came, new or used; `steps` are those of its stated finish that can be true."""
        s, finish = self.priors.surface, self.finish
        self.oil = OilInCover(self.ball.cover, self.priors)
        self.games, self.games_var = [0.0] * 5, [0.0] * 5
        self.size.arrive()
        if steps:
            self._factory(steps)
        elif new.history_known:
            finish.unknown_box()
        else:
            finish.unknown_use()
        if new.history_known:
            self.resurfaced_on = on
        else:
            self._used(new.games_before)
            if steps:
                finish.blur_grit(s.used_gap_sd)
        self._set(tuple(steps), on)

    def _used(self, games_before: float | None) -> None:
        """Counters of a used ball: its games if told, and each thing done at some unknown time among them."""
        usual = self.priors.surface.used_games
        known = games_before is not None
        total = 2.0 * usual if games_before is None else games_before
        sd = total / math.sqrt(12.0) if known else usual
        self.games, self.games_var = [0.5 * total] * 5, [sd * sd] * 5
        self.games[ALL] = total
        self.games_var[ALL] = (0.1 * total if known else 2.0 * usual) ** 2
        self.oil.unknown_use()

    def _factory(self, steps: Sequence[Step]) -> None:
        """A box finish: the first grain all over, every later step given its usual full time on a machine."""
        s = self.priors.surface
        full = wear.closure(s.machine_pass_sides * s.machine_pass_seconds, s.tau_spinner_s)
        first = steps[0]
        if first.abrasive in (Abrasive.GRIT, Abrasive.NONWOVEN):
            self.finish.fresh(*work.ln_grit(first, s))
            steps = steps[1:]
        else:
            self.finish.unknown_box()
        for step in steps:
            self._apply(step, Closure(full))
        self.finish.blur_grit(s.box_ln_sd)

    def at(self, house: str) -> None:
        """It is played in another house, whose own wear pace is taken up."""
        if house != self.house:
            self.house = house
            self.finish.play_in(self.houses.take(self.finish, house))

    def _with_pad(self, pad_id: int | None) -> None:
        """Another pad in hand; one nobody named is another one each time."""
        self.finish.pad = self.pads.take(self.finish, NO_PAD if pad_id is None else pad_id, anew=pad_id is None)

    def play(self, on: date | None, shots: float, sd: float, wiped: Wiped | None, volume_m3: float) -> None:
        """Shots with the strike ball, known to a fraction `sd`."""
        if on is not None and self.played_on is not None and on > self.played_on:
            self.oil.rest(DAY_MIN * (on - self.played_on).days)
        games = shots / SHOTS_A_GAME
        var = (games * sd) ** 2
        left = self.priors.surface.settle_games - self.games[ON_FINISH]
        first = games
        if not self.settled and games >= left:
            first = max(left, 0.0)
            self._shine(on, first, wiped, volume_m3)
            self._settle_in()
            self._shine(on, games - first, wiped, volume_m3)
        else:
            self._shine(on, games, wiped, volume_m3)
        if var > 0.0:
            self.finish.blur_games(var)
            self.oil.blur_games(var, wiped, volume_m3)
            self.games_var = [v + var for v in self.games_var]
        self.oil.film_after(shots, wiped, volume_m3)
        if on is None or on != self.played_on:
            self.sessions += 1
        self.played_on = on or self.played_on

    def _shine(self, on: date | None, games: float, wiped: Wiped | None, volume_m3: float) -> None:
        self.finish.shine(games)
        self.oil.play(on, games, wiped, volume_m3)
        self.games = [g + games for g in self.games]

    def _settle_in(self) -> None:
        self.settled = True
        self.finish.mark(SETTLED_IN)
        self.settled_oil_kg, self.settled_games = self.oil.kg, self.games[RESURFACE]

    def work(
        self, done: SurfaceWork, steps: Sequence[Step], on: date | None, uses: Uses, *, late: bool = False, seq: int = 0
    ) -> None:
        """Surface work with those of its steps that can be true and took any time; the finish is what they were."""
        done = replace(done, steps=tuple(steps))
        s = self.priors.surface
        taken_m = 0.0
        for step in steps:
            self._with_pad(step.pad_id)
            closed = work.closure(step, uses(step), s, self.finish.x[self.finish.pad])
            doubts = (closed.sd, 0.0 if done.whole else s.part_closure_sd, s.late_closure_sd if late else 0.0)
            self._apply(step, replace(closed, sd=math.hypot(*doubts)))
            taken_m += wear.cover_taken_m(work.grain_m(step), closed.share, s.grain_taken)
        before = self.size.off.mean
        own_var = (taken_m * s.grain_taken_job_sd) ** 2
        self.size.take(taken_m, own_var)
        if taken_m > 0.0 and on is not None:
            self.size.jobs.append(Job(seq, on, label(done.steps), taken_m, own_var))
        self.oil.draw(on, uptake.layer_share(self.size.off.mean - before, self.priors.oil.oil_depth_m))
        self.oil.dry()
        if work.is_resurface(done):
            self.games[RESURFACE] = self.games_var[RESURFACE] = 0.0
            self.resurfaced_on = on
        self._set(done.steps, on)

    def _apply(self, step: Step, closed: Closure) -> None:
        s, by_hand = self.priors.surface, step.tool is Tool.HAND
        if step.abrasive is Abrasive.POLISH:
            self.finish.polish(closed, s.polish_ra_m, s.polish_ln_sd, by_hand=by_hand)
        elif step.abrasive is Abrasive.COMPOUND:
            self.finish.polish(closed, s.compound_ra_m, s.polish_ln_sd, by_hand=by_hand)
        else:
            self.finish.sand(closed, *work.ln_grit(step, s), by_hand=by_hand)

    def _set(self, steps: tuple[Step, ...], on: date | None) -> None:
        self.steps, self.finish_on, self.settled = steps, on, False
        self.games[ON_FINISH] = self.games_var[ON_FINISH] = 0.0
        self.finish.mark_set()

    def clean(self, on: date, same_night: bool) -> None:
        """Liquid cleaner."""
        self.oil.clean(on, same_night)
        self.games[CLEAN] = self.games_var[CLEAN] = 0.0
        self.cleaned_on = on

    def draw_oil(self, on: date, share: float) -> None:
        """Oil drawn by bath or heat."""
        self.oil.draw(on, share)
        self.games[DEEP_OIL] = self.games_var[DEEP_OIL] = 0.0
        self.deep_oil_on = on

    def inspect(self, on: date) -> None:
        """Looked over."""
        self.sessions, self.inspected_on = 0, on

    # ---- the picture

    def ahead(self, on: date | None, findings: tuple[Finding, ...]) -> SurfaceState:
        """The state as it is now, with what has changed since the mark BEFORE."""
        changed, var = self.finish.since(BEFORE)
        return replace(self.state(on, findings), changed_ln=Estimate(changed, math.sqrt(var)))

    def state(self, on: date | None, findings: tuple[Finding, ...] = ()) -> SurfaceState:
        """The state as it is now."""
        f, oil = self.finish, self.oil
        mean, var = f.ln_ra()
        grit, low, high = f.grits()
        games = [Estimate(m, math.sqrt(v)) for m, v in zip(self.games, self.games_var, strict=True)]
        return SurfaceState(
            ball_id=self.ball.id, cover=self.ball.cover, on=on, ln_ra_m=Estimate(mean, math.sqrt(var)),
            grit=grit, grit_low=low, grit_high=high, settled_grit=math.exp(f.x[SETTLED]), finish=self.steps,
            finish_on=self.finish_on, finish_set_grit=f.grit_of(f.x[SET]), games_on_finish=games[ON_FINISH],
            games_since_resurface=games[RESURFACE], games_since_deep_oil=games[DEEP_OIL],
            games_since_clean=games[CLEAN], games_in_all=games[ALL], sessions_since_inspection=self.sessions,
            resurfaced_on=self.resurfaced_on, deep_oil_on=self.deep_oil_on, cleaned_on=self.cleaned_on,
            inspected_on=self.inspected_on, played_on=self.played_on, oil_kg=oil.estimate, oil_share=oil.share,
            film_m=oil.film, settled_in=self._settled_in(mean), cover_off_m=self.size.off,
            radius_m=self.size.radius, mass_kg=self.mass_kg,
            hardness_d=self.hardness_d, meter=self.meter, weighed=self.weighed,
            holder=self.holder, holder_name=self.holder_name, cracked=self.cracked,
            plugged=self.plugged, pin_to_axis_m=self.pin_to_axis_m, gap_fast=f.x[0], gap_slow=f.x[1],
            wear_pace=_factor(f.marginal(PACE)), house_pace=_factor(f.marginal(f.house)), house=self.house,
            hand_offset_ln=_estimate(f.marginal(LAY)), pad_cuts=self._pad_cuts(),
            since_set_ln=_estimate(f.since(SET)), set_ln_ra_sd=math.sqrt(f.marginal(SET)[1]),
            memory=(*f.memory(), *oil.memory(), *self.size.memory(), *self._extras()),
            findings=findings,
        )  # fmt: skip

    def _pad_cuts(self) -> tuple[PadCut, ...]:
        known = sorted(self.pads.moments(self.finish).items())
        return tuple(PadCut(pad_id, _estimate(cut)) for pad_id, cut in known if pad_id != NO_PAD)

    def _extras(self) -> tuple[float, ...]:
        """Settled in or not, what is in use, and which pads are held."""
        f = self.finish
        pads = (float(EMPTY if pad_id is None else pad_id) for pad_id in self.pads.keys)
        return (float(self.settled), float(f.house), float(f.pad), float(f.meter), *pads)

    def _settled_in(self, ln_ra: float) -> SettledIn:
        """Nothing is lost before the finish has settled in."""
        if not self.settled:
            return SettledIn(ln_ra, self.oil.kg, self.games[RESURFACE], ln_ra_sd=math.sqrt(self.finish.ln_ra()[1]))
        then, lost = _estimate(self.finish.marginal(SETTLED_IN)), _estimate(self.finish.since(SETTLED_IN))
        return SettledIn(then.mean, self.settled_oil_kg, self.settled_games, lost, then.sd)

    @classmethod
    def of(cls, ball: Ball, state: SurfaceState, priors: Priors) -> Life:
        """Take up a state again, to look ahead from it."""
        known = {cut.pad_id: (cut.ln_cut.mean, cut.ln_cut.sd**2) for cut in state.pad_cuts}
        life = cls(ball, priors, pads=known)
        counts = (
            state.games_on_finish, state.games_since_resurface, state.games_since_deep_oil, state.games_since_clean,
            state.games_in_all,
        )  # fmt: skip
        life.games, life.games_var = [c.mean for c in counts], [c.sd * c.sd for c in counts]
        life.steps, life.finish_on, life.sessions = state.finish, state.finish_on, state.sessions_since_inspection
        life.resurfaced_on, life.deep_oil_on, life.cleaned_on = state.resurfaced_on, state.deep_oil_on, state.cleaned_on
        life.inspected_on, life.played_on = state.inspected_on, state.played_on
        life.meter, life.weighed = state.meter, state.weighed
        life.mass_kg, life.hardness_d = state.mass_kg, state.hardness_d
        life.holder, life.holder_name = state.holder, state.holder_name
        life.cracked, life.plugged, life.pin_to_axis_m = state.cracked, state.plugged, state.pin_to_axis_m
        if state.settled_in is not None:
            life.settled_oil_kg = state.settled_in.oil_kg
            life.settled_games = state.settled_in.games_since_resurface
        life.house = state.house
        life._recall(state)
        life.finish.mark(BEFORE)
        return life

    def _recall(self, state: SurfaceState) -> None:
        """The filter's own numbers, from the state's memory or, without one, from what it shows."""
        if len(state.memory) == FINISH_MEMORY + OIL_MEMORY + SIZE_MEMORY + EXTRAS:
            oil_at, size_at = FINISH_MEMORY, FINISH_MEMORY + OIL_MEMORY
            self.finish.recall(state.memory)
            self.oil.recall(state.memory[oil_at:size_at], state.film_m)
            self.size.recall(state.memory[size_at:-EXTRAS])
            settled, *in_use = state.memory[-EXTRAS:]
            self.settled = settled > 0.0
            self.finish.house, self.finish.pad, self.finish.meter, *held = map(round, in_use)
            self.pads.keys = [None if pad_id == EMPTY else pad_id for pad_id in held]
            return
        self._recall_shown(state)

    def _recall_shown(self, state: SurfaceState) -> None:
        """Without a memory: from what the state shows."""
        f, size = self.finish, self.size
        if state.radius_m.mean > 0.0:
            size.x[0], size.p[0][0] = state.radius_m.mean, state.radius_m.sd**2
        size.x[1], size.p[1][1] = state.cover_off_m.mean, state.cover_off_m.sd**2
        f.x[0], f.x[1], f.x[SETTLED], f.x[PACE] = state.gap_fast, state.gap_slow, math.log(state.settled_grit), 0.0
        f.p[1][1] = 0.0
        f.x[OFFSET] = 0.0
        f.x[OFFSET] = state.ln_ra_m.mean - f.mean_ln_ra()
        f.p[SETTLED][SETTLED] = 0.0
        f.p[OFFSET][OFFSET] = state.ln_ra_m.sd**2
        f.mark_set()
        self.oil.kg, self.oil.kg_var = state.oil_kg.mean, state.oil_kg.sd**2
        self.oil.film_m, self.oil.film_sd_m = state.film_m.mean, state.film_m.sd
        self.settled = state.games_on_finish.mean >= self.priors.surface.settle_games


HAND_OR_SPINNER = {Tool.HAND: 0, Tool.SPINNER: 1, Tool.MACHINE: 1}


def _estimate(moments: Moments) -> Estimate:
    return Estimate(moments[0], math.sqrt(moments[1]))


def _factor(moments: Moments) -> Estimate:
    """A factor from its logarithm."""
    mean = math.exp(moments[0])
    return Estimate(mean, mean * math.sqrt(moments[1]))
