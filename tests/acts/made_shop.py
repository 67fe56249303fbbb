"""A small invented shop: two bowlers, five balls, two conditions, four pads; made once and copied for each test."""

from __future__ import annotations

from datetime import date, datetime, timedelta, timezone
from pathlib import Path

from arsenal.acts import balls, lanes, logging, pads, people
from arsenal.acts.settings import Settings
from arsenal.acts.shop import Shop
from arsenal.ledger import NO_BACKUPS
from arsenal.trade import Ball, Cover, FilmSummary, Hand, Lane, Person, Style
from arsenal.trade.entries import Draft, Kind, New, Step
from arsenal.trade.pads import Pad
from arsenal.trade.units import DEGREE_RAD, FOOT_M, INCH_M, MILLILITRE_M3, MPH_MPS, POUND_KG, RPM_RADPS

TODAY = date(2026, 11, 24)  # a Tuesday
NOW = datetime(2026, 11, 24, 18, 42, tzinfo=timezone(timedelta(hours=1)))
STYLE = Style(16.5 * MPH_MPS, 275 * RPM_RADPS, 45 * DEGREE_RAD, 15 * DEGREE_RAD)


class Clock:
    """A clock that stands until it is set."""

    def __init__(self) -> None:
        self.at = NOW

    def __call__(self) -> datetime:
        return self.at


def opened(path: Path, clock: Clock) -> Shop:
    return Shop.open(path, clock=clock, settings=Settings(path=path.with_name("settings.json")), backups=NO_BACKUPS)


def ball(name: str, nickname: str, owner_id: int, cover: Cover, rg_in: float = 2.5, *, spare: bool = False) -> Ball:
    return Ball(
        0, name, nickname, owner_id, cover, 15 * POUND_KG, rg_m=rg_in * INCH_M,
        differential_m=(0.01 if spare else 0.048) * INCH_M, spare=spare, bought_on=date(2026, 3, 2),
    )  # fmt: skip


def came(number: float, *, used: bool = False) -> tuple[Draft, ...]:
    finish = () if used else (Step(number=number),)
    return (Draft(0, Kind.NEW, date(2026, 3, 2), New(finish, history_known=not used)),)


def fill(shop: Shop) -> None:
    """Ids: bowlers 1 Mirel Oster, 2 Tave Lund (left-handed); lanes 1 house, 2 long; balls 1–4 Mirel’s, 5 Tave’s."""
    lanes.add_lane(shop, Lane(0, "41 ft house, 25 mL", FilmSummary(41 * FOOT_M, 25 * MILLILITRE_M3, 8.0), house="Elm"))
    lanes.add_lane(shop, Lane(0, "45 ft long, 28 mL", FilmSummary(45 * FOOT_M, 28 * MILLILITRE_M3, 3.0)))
    people.add_bowler(shop, Person(0, "Mirel Oster", "mirel", style=STYLE, usual_lane_id=1))
    people.add_bowler(shop, Person(0, "Tave Lund", "tave", Hand.LEFT, style=STYLE, usual_lane_id=1))
    balls.add_ball(shop, ball("Rook Hollow", "rook", 1, Cover.URETHANE), came(1000))
    balls.add_ball(shop, ball("Jay Quarry", "jay", 1, Cover.SOLID), came(2000))
    balls.add_ball(shop, ball("Paper Moth", "moth", 1, Cover.PEARL, 2.54), came(4000))
    balls.add_ball(shop, ball("Plain Gate", "gate", 1, Cover.POLYESTER, 2.7, spare=True), came(4000))
    balls.add_ball(shop, ball("Slow Lantern", "lantern", 2, Cover.HYBRID), came(2000, used=True))
    people.set_benchmark(shop, 1, 2)
    for number in (500, 1000, 2000):
        pads.add_pad(shop, Pad(0, number))
    pads.add_pad(shop, Pad(0, 1000, owner_id=1))
    for on, line in ((date(2026, 11, 12), "3g wiped clean"), (date(2026, 11, 19), "4g wiped clean")):
        for ball_id in (1, 2):
            drafts = logging.for_balls(shop, f"{line} {on.isoformat()}", (ball_id,)).drafts
            logging.keep(shop, drafts)
