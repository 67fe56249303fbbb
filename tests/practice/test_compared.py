"""What was seen between two balls against what was expected that day."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest

from arsenal.practice import agreement, expected_against_seen
from arsenal.trade import Ball, Cover, FilmSummary, KnownError, Lane, Line, Person, Style
from arsenal.trade.entries import Compared, Entry, Kind, New, Payload, Scale, Step, SurfaceWork, Tool, Undo
from arsenal.trade.priors import default_priors
from arsenal.trade.units import DEGREE_RAD, FOOT_M, MPH_MPS, RPM_RADPS, board_to_lateral_m

PRIORS = default_priors()
HOUSE = Lane(1, "41 ft house, 25 mL", FilmSummary(41.0 * FOOT_M, 25e-6, 8.0))
LONG = Lane(2, "46 ft, 28 mL", FilmSummary(46.0 * FOOT_M, 28e-6, 3.0))
LINE = Line(board_to_lateral_m(19.0), -2.4 * DEGREE_RAD)
STYLE = Style(17.9 * MPH_MPS, 416.0 * RPM_RADPS, 45.0 * DEGREE_RAD, 0.0)
MIREL = Person(1, "Mirel", style=STYLE, usual_lane_id=1, lines=((1, LINE), (2, LINE)))
LANES = {1: HOUSE, 2: LONG}
BALLS = {1: Ball(1, "Rook", "rook", 1, Cover.SOLID), 2: Ball(2, "Jay", "jay", 1, Cover.PEARL)}
START = date(2026, 3, 2)
NOON = datetime(2026, 3, 2, 12, tzinfo=UTC)


def entry(seq: int, ball: int, kind: Kind, payload: Payload, days: int = 0, undoes: int | None = None) -> Entry:
    return Entry(seq, ball, kind, START + timedelta(days=days), payload, NOON, 0, undoes=undoes)


def sanded(seq: int, ball: int, number: float, days: int = 0) -> Entry:
    step = Step(number=number, scale=Scale.P, tool=Tool.MACHINE, wet=True)
    return entry(seq, ball, Kind.SANDED, SurfaceWork((step,)), days)


def logs(*more: Entry) -> dict[int, list[Entry]]:
    made: dict[int, list[Entry]] = {1: [entry(1, 1, Kind.NEW, New())], 2: [entry(2, 2, Kind.NEW, New())]}
    for one in (sanded(3, 1, 1000.0), sanded(4, 2, 3000.0), *more):
        made[one.ball_id].append(one)
    return made


def seen(seq: int, boards: float, *, ball: int = 1, other: int = 2, days: int = 5, lane: int | None = None) -> Entry:
    return entry(seq, ball, Kind.COMPARED, Compared(other, boards, lane_id=lane), days)


def asked(made: dict[int, list[Entry]], who: Person = MIREL) -> list[object]:
    return list(expected_against_seen(who, BALLS, made, LANES, PRIORS, draws=60))


def test_a_rough_solid_is_expected_stronger_than_a_shiny_pearl() -> None:
    (one,) = expected_against_seen(MIREL, BALLS, logs(seen(9, 4.0)), LANES, PRIORS, draws=60)
    assert one.expected.mean > 1.0
    assert one.expected.sd > 0.0
    assert one.agrees
    assert one.sentence.startswith("Rook was seen 4 boards stronger than Jay; expected +")
    assert one.sentence.endswith("They agree.")


def test_seen_the_other_way_round_is_the_same_with_the_sign_turned() -> None:
    (one,) = expected_against_seen(MIREL, BALLS, logs(seen(9, 4.0)), LANES, PRIORS, draws=60)
    (turned,) = expected_against_seen(MIREL, BALLS, logs(seen(9, -4.0, ball=2, other=1)), LANES, PRIORS, draws=60)
    assert turned.expected.mean == pytest.approx(-one.expected.mean)
    assert turned.expected.sd == pytest.approx(one.expected.sd)
    assert "4 boards weaker than Rook" in turned.sentence


def test_what_cannot_be_true_of_both_is_told_as_no_agreement() -> None:
    (one,) = expected_against_seen(MIREL, BALLS, logs(seen(9, -9.0)), LANES, PRIORS, draws=60)
    assert not one.agrees
    assert "They do not agree" in one.sentence


def test_each_comparison_is_judged_by_the_balls_as_they_were_that_day() -> None:
    made = logs(seen(9, 4.0, days=1), sanded(10, 2, 500.0, days=2), seen(11, 0.0, days=3))
    newest, oldest = expected_against_seen(MIREL, BALLS, made, LANES, PRIORS, draws=60)
    assert newest.on > oldest.on
    assert newest.expected.mean < oldest.expected.mean - 1.0
    assert "level with" in newest.sentence


def test_the_lane_it_was_seen_on_counts_and_else_the_usual_one() -> None:
    house, long = (
        expected_against_seen(MIREL, BALLS, logs(seen(9, 4.0, lane=lane)), LANES, PRIORS, draws=60)[0]
        for lane in (1, 2)
    )
    (usual,) = expected_against_seen(MIREL, BALLS, logs(seen(9, 4.0)), LANES, PRIORS, draws=60)
    assert usual.expected == house.expected
    assert long.expected != house.expected
    assert long.lane_id == 2


def test_an_undone_comparison_a_strange_ball_and_an_unknown_lane_are_left_out() -> None:
    undone = logs(seen(9, 4.0), entry(12, 1, Kind.UNDO, Undo(), undoes=9))
    assert asked(undone) == []
    assert asked(logs(seen(9, 4.0, other=77))) == []
    nowhere = replace(MIREL, usual_lane_id=None)
    assert asked(logs(seen(9, 4.0)), nowhere) == []


def test_without_a_release_nothing_is_expected() -> None:
    with pytest.raises(KnownError, match="Nobody has said how"):
        asked(logs(seen(9, 4.0)), replace(MIREL, style=None))


def test_the_tally_says_how_many_agree() -> None:
    made = logs(seen(9, 3.0, days=1), seen(10, -9.0, days=2))
    found = expected_against_seen(MIREL, BALLS, made, LANES, PRIORS, draws=60)
    assert agreement(found) == "1 of 2 comparisons agree with what was expected."
    assert agreement(()).startswith("Nothing has been compared yet")
