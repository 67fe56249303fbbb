"""Pieces of the Lane-side room on records made by hand: brackets, places of names, words, film, flags."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from arsenal.acts.views import Contours
from arsenal.desk.lane_side import curves, entry, film, misses, rows, strip, words
from arsenal.desk.lane_side.asking import line_through
from arsenal.desk.lane_side.gutter import spread
from arsenal.motion import at_arrows
from arsenal.motion.records import BestLine, Miss, Trace
from arsenal.plan.records import Due, Job, Work
from arsenal.trade.ball import Ball, Cover
from arsenal.trade.person import Hand, Person
from arsenal.trade.release import Line
from arsenal.trade.units import BOARD_M, FOOT_M, MPH_MPS, lateral_m_to_board


@dataclass
class Row:
    """As much of an order row as brackets and flags look at."""

    ball: Ball
    tied_with: tuple[int, ...] = ()
    flags: tuple[str, ...] = field(default=())
    benchmark: bool = False


def row(number: int, *tied: int, flags: tuple[str, ...] = ()) -> Row:
    return Row(Ball(number, f"Ball {number}", "", 1, Cover.SOLID), tied, flags)


def trace(lateral_boards: np.ndarray, **marks: float | None) -> Trace:
    feet = np.linspace(0.0, 60.0, lateral_boards.size)
    told = {"first_read_m": 10.0, "breakpoint_m": 12.0, "breakpoint_lateral_m": 0.2, "rolls_m": 15.0, "shape_m": 4.0}
    return Trace(
        feet * FOOT_M, (lateral_boards - 0.5) * BOARD_M, np.full(feet.size, 8.0), np.linspace(1.0, 0.0, feet.size),
        **(told | marks), landing_m=0.4, entry_rad=0.08, hook_m=0.3, skid_left_at_oil_end=0.5, rolls_out=False,
        left_lane_m=None,
    )  # fmt: skip


def best(**told: object) -> BestLine:
    path = trace(np.linspace(22.0, 17.5, 61))
    usual = {"trace": path, "room_in_boards": 1.0, "room_out_boards": 1.0, "misses": (), "speed_misses": ()}
    return BestLine(line=Line(0.5, -0.03), room=0.3, arrow_board=12.0, **(usual | told))


def job(ball: int, work: Work, due: Due) -> Job:
    return Job(ball, work, due, "1000 h", "", "", True, 1.0, 0.5, 1.5, None, None, 3.0)


def test_balls_of_which_every_pair_may_change_places_share_a_bracket() -> None:
    chain = [row(1, 2), row(2, 1, 3), row(3, 2)]  # 1 and 3 are told apart: ties do not pass on
    parts = [[(p.lane, p.part) for p in pieces] for pieces in rows.brackets(chain)]
    assert parts == [[(0, "first")], [(0, "last"), (1, "first")], [(1, "last")]]


def test_a_ball_sure_of_its_place_has_no_bracket() -> None:
    assert rows.brackets([row(1), row(2), row(3, 4), row(4, 3)])[:2] == [(), ()]


@given(st.integers(1, 9), st.sets(st.tuples(st.integers(1, 9), st.integers(1, 9)), max_size=30))
def test_brackets_side_by_side_never_lie_on_each_other(count: int, pairs: set[tuple[int, int]]) -> None:
    tied = {n: {b for a, b in pairs if a == n} | {a for a, b in pairs if b == n} for n in range(1, count + 1)}
    pieces = rows.brackets([row(n, *tied[n]) for n in range(1, count + 1)])
    for found in pieces:
        assert len({piece.lane for piece in found}) == len(found)


@given(st.lists(st.floats(0.0, 300.0), min_size=1, max_size=6).map(sorted))
def test_names_keep_their_distance_and_order_and_stay_in_the_pane(wanted: list[float]) -> None:
    placed = spread(wanted, 20.0, 0.0, 300.0)
    assert all(b - a >= 20.0 - 1e-6 for a, b in pairwise(placed))
    assert placed[0] >= -1e-6
    assert placed[-1] <= 300.0 + 1e-6


def test_names_that_have_room_stay_where_their_path_ends() -> None:
    assert spread([10.0, 100.0, 200.0], 20.0, 0.0, 300.0) == [10.0, 100.0, 200.0]


def test_one_flag_at_most_and_the_most_pressing_first() -> None:
    due = [job(1, Work.REFRESH, Due.DUE), job(1, Work.WIPE, Due.OVER), job(2, Work.REFRESH, Due.SOON)]
    assert words.flag(row(1, flags=("same as above", "rolls out")), due) == "rolls out"
    assert words.flag(row(1, flags=("same as above",)), due) == "wipe"
    assert words.flag(row(1), due[:1]) == "refresh"
    assert words.flag(row(3, flags=("same as above",)), due) == "same as above"
    benchmark = replace(row(3, flags=("same as above",)), benchmark=True)
    assert words.flag(benchmark, due) == "", "the benchmark keeps its own word"
    assert words.flag(row(2), due) == ""


def test_a_back_up_balls_boards_count_from_the_bowlers_own_gutter_too() -> None:
    usual = curves.curve("a", 0, trace(np.linspace(22.0, 17.0, 61)), Person(1, "A"))
    back_up = curves.curve("a", 0, trace(np.linspace(18.0, 23.0, 61)), Person(1, "A", back_up=True))
    assert np.allclose(usual.boards, back_up.boards)


def test_a_thinned_path_keeps_its_ends() -> None:
    long = trace(np.linspace(22.0, 17.0, 1001))
    thin = curves.curve("a", 0, long, Person(1, "A"))
    assert thin.feet.size <= curves.POINTS + 1
    assert thin.feet[0] == 0.0
    assert thin.feet[-1] == pytest.approx(60.0)
    assert thin.ends == pytest.approx(17.0)


def test_a_mark_that_does_not_exist_is_not_drawn() -> None:
    plain = curves.curve("a", 0, trace(np.linspace(22, 17, 61), first_read_m=None, breakpoint_m=None), Person(1, "A"))
    assert [mark.kind for mark in plain.marks] == ["rolls"]
    assert plain.first_read_ft is None
    beyond = curves.curve("a", 0, trace(np.linspace(22, 17, 61), rolls_m=19.5), Person(1, "A"))
    assert "rolls" not in [mark.kind for mark in beyond.marks]


def test_the_doubt_of_a_pad_is_nothing_at_the_hand_and_whole_at_the_pins() -> None:
    feet = np.linspace(0.0, 60.0, 121)
    bent = curves.curve("a", 0, trace(22.0 - 0.3 * feet + 0.004 * np.clip(feet - 20, 0, None) ** 2), Person(1, "A"))
    low, high = curves.corridor(bent, 1.5)
    assert high[0] - low[0] == pytest.approx(0.0, abs=1e-6)
    assert high[-1] - low[-1] == pytest.approx(3.0)
    assert np.all(np.diff(high - low) >= -1e-6)


def test_contours_lie_where_the_film_has_their_height() -> None:
    feet, boards = np.linspace(0, 60, 101), np.linspace(0.5, 39.5, 53)
    height = np.clip(24.0 * (1.0 - feet / 40.0), 0.0, None)[:, None] * np.ones(53)
    lines = film.film_lines(Contours(feet, boards, height, 40.0), Person(1, "A", hand=Hand.LEFT)).lines
    for line in lines:
        assert np.allclose(line.feet[2:-2], 40.0 * (1.0 - line.units / 24.0), atol=0.7)
    assert {line.units for line in lines} == set(film.LEVELS)


def test_a_dry_lane_has_no_contours() -> None:
    feet, boards = np.linspace(0, 60, 101), np.linspace(0.5, 39.5, 53)
    assert film.film_lines(Contours(feet, boards, np.zeros((101, 53)), 0.0), Person(1, "A")).lines == ()


def test_numbers_of_contours_stand_apart() -> None:
    feet, boards = np.linspace(0, 60, 101), np.linspace(0.5, 39.5, 53)
    cross = 24.0 / (1.0 + np.exp(-(boards - 9.0)))
    height = np.clip(1.0 - feet / 45.0, 0.0, None)[:, None] * cross
    found = film.film_lines(Contours(feet, boards, height, 45.0), Person(1, "A"))
    placed = film.number_places(found, 3.0, 25.0)
    assert len(placed) >= 4
    for i, (_, x, y) in enumerate(placed):
        assert all(abs(x - a) >= 6.5 or abs(y - b) >= 1.6 for _, a, b in placed[:i])


@given(st.floats(12.0, 33.0), st.floats(-4.0, 0.5))
def test_a_typed_line_crosses_the_arrows_where_it_was_typed(laydown: float, degrees: float) -> None:
    arrows = laydown + 15.0 * np.tan(np.radians(degrees)) * FOOT_M / BOARD_M
    line = line_through(Person(1, "A"), laydown, float(arrows))
    assert lateral_m_to_board(line.lateral_m) == pytest.approx(laydown)
    assert lateral_m_to_board(at_arrows(line)[1]) == pytest.approx(float(arrows), abs=0.01)


def test_misses_are_said_as_bowlers_say_them() -> None:
    found = best(
        misses=(Miss(-1.0, 0.4, "light"), Miss(0.0, 0.45, "flush"), Miss(2.0, 0.6, "high")),
        speed_misses=(Miss(-0.5, 0.6, "high"), Miss(0.0, 0.45, "flush"), Miss(1.5, -0.1, "washes out", left_lane=True)),
        parallel_misses=(Miss(0.0, 0.45, "flush"), Miss(1.0, 0.6, "high")),
    )
    assert misses.missed_by("arrows", found).text() == "2 in: high; on line: flush; 1 out: light"
    assert misses.missed_by("parallel", found).text() == "1 in: high; on line: flush"
    assert (
        misses.missed_by("speed", found).text() == "½ mph slower: high; as thrown: flush; 1½ mph faster: off the lane"
    )
    assert misses.missed_by("speed", found, "metric").text().startswith("0.8 km/h slower: high; as thrown")


def test_room_is_said_by_angle_by_shift_and_by_speed() -> None:
    found = best(
        room_in_boards=2.0, room_out_boards=1.0, parallel_in_boards=1.5, parallel_out_boards=0.5,
        speed_slower_mps=0.5 * MPH_MPS, speed_faster_mps=1.0 * MPH_MPS,
    )  # fmt: skip
    told = {way: "".join(run.text for run in misses.missed_by(way, found).room) for _, way in strip.WAYS}
    assert told == {
        "arrows": "room  2 in, 1 out", "parallel": "room  1½ in, ½ out", "speed": "0.5 slower, 1.0 faster",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("degrees", "board", "told"),
    [
        (4.7, 17.5, "inside the window"),
        (3.1, 17.5, "on the boards of the published studies, 17 to 18, and under their 4 to 6°"),
        (6.5, 17.5, "and over their 4 to 6°"),
        (5.0, 18.6, "outside the window"),
    ],
)
def test_entry_is_held_against_the_published_window_without_a_percentage(
    degrees: float, board: float, told: str
) -> None:
    # USBC pin-carry study 2009, as restated in the press: boards 17 to 18 at 4 to 6 degrees strike most.
    shot = replace(trace(np.linspace(22.0, 17.5, 61)), entry_rad=np.radians(degrees), landing_m=(board - 0.5) * BOARD_M)
    said = entry.sentence(Person(1, "A"), best(trace=shot, entry_most_rad=np.radians(5.4)))
    assert told in said
    assert "the steepest this release and ball reach here is 5.4°" in said
    assert "strike" not in said


def test_the_pocket_is_6_to_7_centimetres_beside_the_head_pin() -> None:
    # Hooper, Physics Today, October 2025, as reported: 6 to 6.8 cm head-pin offset at the best entry.
    shot = replace(trace(np.linspace(22.0, 17.5, 61)), landing_m=17.0 * BOARD_M)
    said = entry.sentence(Person(1, "A"), best(trace=shot), "metric")
    offset = float(said.split("Its centre is ")[1].split(" cm")[0])
    assert 6.0 <= offset <= 6.8


def test_a_left_hander_is_told_the_same_entry() -> None:
    found = best(trace=replace(trace(np.linspace(22.0, 17.5, 61)), landing_m=17.0 * BOARD_M))
    assert entry.sentence(Person(1, "A"), found) == entry.sentence(Person(2, "B", hand=Hand.LEFT), found)
