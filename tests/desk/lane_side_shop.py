"""A small invented shop for the Lane-side tests: a right- and a left-hander with the same balls, two conditions."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

from arsenal.acts import balls, lanes, logging, pads, people
from arsenal.acts.settings import Settings
from arsenal.acts.shop import Shop
from arsenal.trade.ball import Ball, Cover
from arsenal.trade.entries import Abrasive, Draft, Kind, New, Step, Tool
from arsenal.trade.lane import FilmSummary, Lane
from arsenal.trade.pads import Pad
from arsenal.trade.person import Hand, Person
from arsenal.trade.release import Style
from arsenal.trade.units import DEGREE_RAD, FOOT_M, INCH_M, MILLILITRE_M3, MPH_MPS, RPM_RADPS

HOSTILE = '<b>Rook</b> & <img src="file:///etc/hostname">'
STYLE = Style(16.4 * MPH_MPS, 325 * RPM_RADPS, 45 * DEGREE_RAD, 15 * DEGREE_RAD)
BALLS = (
    ("Quarry Song", Cover.SOLID, 2.50, Step(number=1000.0), False),
    ("Slow Lantern", Cover.HYBRID, 2.50, Step(number=3000.0), False),
    ("Paper Moth", Cover.PEARL, 2.52, Step(Abrasive.POLISH, tool=Tool.SPINNER), False),
    (HOSTILE, Cover.URETHANE, 2.58, Step(number=2000.0), False),
    ("Plain Gate", Cover.POLYESTER, 2.70, Step(Abrasive.POLISH, tool=Tool.SPINNER), True),
)


def build(path: Path) -> None:
    """Ids: bowlers 1 Mirel (right), 2 Anneke (left), 3 Bo without a throw; lanes 1 house, 2 long; balls 1–5, 6–10."""
    with Shop.open(path, settings=Settings(path=path.with_suffix(".json"))) as shop:
        house = FilmSummary(41 * FOOT_M, 25 * MILLILITRE_M3, 8.0)
        lanes.add_lane(shop, Lane(0, "41 ft house, 25 mL, fresh", house))
        lanes.add_lane(shop, Lane(0, "46 ft long, 28 mL", FilmSummary(46 * FOOT_M, 28 * MILLILITRE_M3, 3.0)))
        for name, hand in (("Mirel Oster", Hand.RIGHT), ("Anneke Roos", Hand.LEFT)):
            person = Person(0, name, hand=hand, style=STYLE, usual_lane_id=1)
            owner = people.add_bowler(shop, person).changed[0].id
            for ball, cover, rg_in, finish, spare in BALLS:
                came = Draft(0, Kind.NEW, shop.today() - timedelta(days=30), New((finish,)))
                made = Ball(0, ball, "", owner, cover, rg_m=rg_in * INCH_M, spare=spare)
                balls.add_ball(shop, made, [came])
        people.add_bowler(shop, Person(0, "Bo Tillander"))
        people.set_benchmark(shop, 1, 2)
        people.set_benchmark(shop, 2, 7)
        for number in (500, 1000, 2000, 3000):
            pads.add_pad(shop, Pad(0, number))
        logging.thrown(shop, 1, 33, 1)
