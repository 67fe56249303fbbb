"""Fit sheets and drillings of one person, or of one ball and its owner, as a list by day."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from arsenal.acts import fits
from arsenal.acts.shop import Shop
from arsenal.trade import days
from arsenal.trade.ball import Ball
from arsenal.trade.fit import DrillRecord, FitSheet, Hole
from arsenal.trade.person import Person

IN_TITLE = ("drilled by", "pin to axis point", "palm mark")
"""Words that stand beside the title already."""


@dataclass(frozen=True, slots=True)
class FitRow:
    """One fit sheet or drilling in words."""

    title: str
    """“Fit, 14 Mar 2026”, “Quarry Song drilled, 14 Mar 2026”."""
    beside: str
    """Who measured or drilled it, and what it is in short."""
    lines: tuple[str, ...]
    """The holes, one a line, a note, and of a ball's last drilling what the rule rows say."""
    fit: FitSheet | None = None
    drill: DrillRecord | None = None
    in_force: bool = False


@dataclass(frozen=True, slots=True)
class FitBook:
    """What the list shows; `ball` where one ball is asked about."""

    person: Person
    ball: Ball | None
    rows: tuple[FitRow, ...]
    today: date
    newest_fit: FitSheet | None

    def new_fit(self) -> FitSheet:
        """A measurement of today, begun from the one in force."""
        seed = self.newest_fit
        return FitSheet(
            0, self.person.id, self.today, self._holes(), seed.axis_over_m if seed else None,
            seed.axis_up_m if seed else None, seed.palm_mark if seed else False,
        )  # fmt: skip

    def new_drill(self, ball: Ball) -> DrillRecord:
        """A drilling of today with the holes of the fit in force."""
        seed = self.newest_fit
        return DrillRecord(
            0, ball.id, self.today, self._holes(), palm_mark=bool(seed and seed.palm_mark),
            fit_id=seed.id if seed else None,
        )  # fmt: skip

    def _holes(self) -> tuple[Hole, ...]:
        """Of the fit in force; else the usual ones, without a thumb hole for a two-hander (C)."""
        if self.newest_fit is not None and self.newest_fit.holes:
            return self.newest_fit.holes
        return (Hole("middle"), Hole("ring")) if self.person.two_handed else ()


def of_person(shop: Shop, person_id: int, *, metric: bool = False) -> FitBook:
    """Every fit sheet of a person and every drilling of their balls, newest first. Raises NotFound."""
    person = shop.person(person_id)
    balls = {ball.id: ball for ball in shop.balls(person_id)}
    return _book(shop, person, None, balls, metric=metric)


def of_ball(shop: Shop, ball_id: int, *, metric: bool = False) -> FitBook:
    """The drillings of a ball and the fit sheets of its owner, newest first. Raises NotFound."""
    ball = shop.ball(ball_id)
    return _book(shop, shop.person(ball.owner_id), ball, {ball.id: ball}, metric=metric)


def _book(shop: Shop, person: Person, ball: Ball | None, balls: dict[int, Ball], *, metric: bool) -> FitBook:
    sheets = fits.fits_of(shop, person.id)
    drills = [drill for drill in shop.every(DrillRecord) if drill.ball_id in balls]
    newest = {d.ball_id: d for d in sorted(drills, key=lambda d: (d.drilled_on, d.id))}
    advice = {d.id: [f.sentence for f in fits.advice(shop, d)] for d in newest.values()}
    told = [
        (d.drilled_on, 1, d.id, _drill_row(balls[d.ball_id], d, advice.get(d.id, []), metric=metric)) for d in drills
    ]
    told += [
        (f.measured_on, 0, f.id, _fit_row(f, metric=metric, in_force=f is sheets[0])) for f in sheets
    ]  # fmt: skip
    told.sort(key=lambda row: row[:3], reverse=True)
    return FitBook(person, ball, tuple(row for *_, row in told), shop.today(), sheets[0] if sheets else None)


def _holes(holes: tuple[Hole, ...], *, metric: bool) -> list[str]:
    told = [(hole.finger, fits.hole_words(hole, metric=metric)) for hole in holes]
    return [f"{finger}: {said or 'not measured'}" for finger, said in told]


def _fit_row(fit: FitSheet, *, metric: bool, in_force: bool) -> FitRow:
    parts = (
        "in force" if in_force else "", fits.axis_words(fit, metric=metric), "palm marked" if fit.palm_mark else "",
        f"measured by {fit.measured_by}" if fit.measured_by else "",
    )  # fmt: skip
    lines = [*_holes(fit.holes, metric=metric), *([fit.note] if fit.note else [])]
    beside = ", ".join(part for part in parts if part)
    return FitRow(f"Fit, {days.day_and_year(fit.measured_on)}", beside, tuple(lines), fit=fit, in_force=in_force)


def _drill_row(ball: Ball, drill: DrillRecord, advice: list[str], *, metric: bool) -> FitRow:
    by = f"drilled by {drill.driller}" if drill.driller else ""
    beside = ", ".join(part for part in (fits.in_short(drill, metric=metric), by) if part)
    told = fits.words(drill, metric=metric)
    known = [f"{what} {value}" for what, value in told if not what.endswith(" hole") and what not in IN_TITLE]
    lines = [*([", ".join(known)] if known else []), *_holes(drill.holes, metric=metric)]
    lines += [*([drill.note] if drill.note else []), *advice]
    return FitRow(f"{ball.name} drilled, {days.day_and_year(drill.drilled_on)}", beside, tuple(lines), drill=drill)
