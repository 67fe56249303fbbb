"""Practice shots as they are typed on a phone. Pocket 17½ and flush 17 to 18: pin-carry study, USBC 2009."""

from __future__ import annotations

from dataclasses import replace

import pytest
from typed_shop import BALLS, LANES, PEOPLE, ROOK, TODAY, only, payload, read, said

from arsenal.exchange import history, one_line
from arsenal.trade import Ball, Cover
from arsenal.trade.entries import Kind, SurfaceWork
from arsenal.trade.entries import Shot as Kept
from arsenal.trade.errors import KnownError, NotFound, NotUnderstood, OutOfRange
from arsenal.trade.release import Line, Measured
from arsenal.trade.trial import Sighting, Word
from arsenal.trade.units import BOARD_M, DEGREE_RAD, FOOT_M, KMH_MPS, MPH_MPS, RPM_RADPS, board_to_lateral_m


def on(board: float) -> float:
    return board_to_lateral_m(board)


def shot(seen: Sighting, **more: object) -> Kept:
    return Kept(seen, **more)  # type: ignore[arg-type]


SEEN = [
    ("flush", Sighting(words=(Word.FLUSH,))),
    ("long", Sighting(words=(Word.LONG,))),
    ("crossed over", Sighting(words=(Word.OVER,))),
    ("over", Sighting(words=(Word.OVER,))),
    ("rolled out", Sighting(words=(Word.ROLLED_OUT,))),
    ("quit", Sighting(words=(Word.ROLLED_OUT,))),
    ("stood up", Sighting(words=(Word.HUNG,))),
    ("flush and hung", Sighting(words=(Word.FLUSH, Word.HUNG))),
    ("shot", Sighting()),
    ("shot 19", Sighting(on(19.0))),
    ("shot 17½", Sighting(on(17.5))),
    ("shot 17,5", Sighting(on(17.5))),
    ("light 15.5", Sighting(on(15.5), words=(Word.LIGHT,))),
    ("14 light", Sighting(on(14.0), words=(Word.LIGHT,))),
    ("arrows 14", Sighting(arrows_m=on(14.0))),
    ("shot read at 41 ft", Sighting(first_read_m=41.0 * FOOT_M)),
    ("bp 43", Sighting(breakpoint_m=43.0 * FOOT_M)),
    ("bp 43@9", Sighting(breakpoint_m=43.0 * FOOT_M, breakpoint_lateral_m=on(9.0))),
    ("bp 43 @ 9", Sighting(breakpoint_m=43.0 * FOOT_M, breakpoint_lateral_m=on(9.0))),
    ("bp @9", Sighting(breakpoint_lateral_m=on(9.0))),
    ("left 10", Sighting(pins_left=(10,))),
    ("left 3-6-10 pins", Sighting(pins_left=(3, 6, 10))),
    ("left 3 6 10", Sighting(pins_left=(3, 6, 10))),
    ("on target", Sighting(off_target_m=0.0)),
    (
        "shot high 19 arrows 14 read 41 bp 43@9 left 10",
        Sighting(
            on(19.0), 41.0 * FOOT_M, 43.0 * FOOT_M, on(9.0), on(14.0), words=(Word.HIGH,), pins_left=(10,)
        ),
    ),
]  # fmt: skip


@pytest.mark.parametrize(("text", "seen"), SEEN)
def test_a_shot_is_as_much_or_as_little_as_was_seen(text: str, seen: Sighting) -> None:
    draft = only(f"rook {text}")
    assert (draft.kind, draft.payload) == (Kind.SHOT, shot(seen))


@pytest.mark.parametrize(
    ("text", "board"), [("2 high", 19.5), ("2½ light", 15.0), ("½ high", 18.0), ("1.5 light", 16.0)]
)
def test_boards_high_and_light_count_from_the_pocket(text: str, board: float) -> None:
    assert payload(f"rook {text}").seen.landing_m == pytest.approx(on(board))  # type: ignore[union-attr]


def test_what_belongs_to_one_shot_stands_with_it() -> None:
    assert payload("rook flush wiped") == shot(Sighting(words=(Word.FLUSH,)), wiped=True)
    assert payload("rook hung unwiped at 18:42") == shot(Sighting(words=(Word.HUNG,)), wiped=False, minute=1122)
    assert payload("rook flush by Sunna on flat") == shot(Sighting(words=(Word.FLUSH,)), bowler_id=2, lane_id=2)
    assert payload('rook flush outing "pair 7"') == shot(Sighting(words=(Word.FLUSH,)), outing="pair 7")
    assert payload("rook shot line 22 launch -1.5") == shot(Sighting(), line=Line(on(22.0), -1.5 * DEGREE_RAD))


def test_an_instruments_numbers_are_kept_in_the_unit_they_came_in() -> None:
    read_ = payload("rook shot 18 sensor 16.5 mph 310 rpm rotation 45 tilt 12 launch -1.8 entry 5.2")
    angles = (45.0 * DEGREE_RAD, 12.0 * DEGREE_RAD, -1.8 * DEGREE_RAD, 5.2 * DEGREE_RAD)
    measured = Measured(16.5 * MPH_MPS, 310.0 * RPM_RADPS, *angles)
    assert read_ == shot(Sighting(on(18.0), by_sensor=True), measured=measured)
    assert payload("rook shot 27 kmh").measured == Measured(27.0 * KMH_MPS)  # type: ignore[union-attr]


def test_left_and_right_of_the_target_go_by_the_hook_and_boards_by_the_own_gutter() -> None:
    """A right-hander hooks left, a left-hander right; a back-up ball's boards are printed 40 − b (39 boards)."""
    right, left = payload("rook missed right 2"), payload("granary missed right 2")
    assert right.seen.off_target_m == -2.0 * BOARD_M  # type: ignore[union-attr]
    assert left.seen.off_target_m == 2.0 * BOARD_M  # type: ignore[union-attr]
    people = (replace(PEOPLE[0], back_up=True), *PEOPLE[1:])
    text = "rook shot 22.5 arrows 26 missed right 2"
    (draft,) = one_line.read(text, balls=BALLS, today=TODAY, people=people).drafts
    assert isinstance(draft.payload, Kept)
    seen = draft.payload.seen
    assert seen.landing_m == pytest.approx(on(17.5))
    assert seen.arrows_m == pytest.approx(on(14.0))
    assert seen.off_target_m == 2.0 * BOARD_M
    line = one_line.typed_line(draft, BALLS, (), LANES, people, today=TODAY)
    assert line == "rook shot board 22.5 missed right 2 arrows 26"
    told = history.sentence(draft, BALLS, LANES, people)
    assert told == "Practice shot ended on 22.5, missed the target by 2 right, over 26 at the arrows"
    (again,) = one_line.read("rook 2 high", balls=BALLS, today=TODAY, people=people).drafts
    assert again.payload.seen.landing_m == pytest.approx(on(19.5))  # type: ignore[union-attr]


def test_a_shot_of_another_bowler_counts_by_that_bowlers_side() -> None:
    found = payload("rook missed right 2 by Sunna")
    assert found.seen.off_target_m == 2.0 * BOARD_M  # type: ignore[union-attr]


def test_missing_the_target_takes_the_number_that_follows_it() -> None:
    for text in ("missed right 2 light", "missed 2 right, light", "missed the target by 2 boards to right light"):
        found = payload(f"rook {text}")
        assert found == shot(Sighting(off_target_m=-2.0 * BOARD_M, words=(Word.LIGHT,)))


def test_several_shots_on_a_line_are_parted_and_pads_stand_between() -> None:
    drafts = read("rook flush; 2 high unwiped; light").drafts
    assert [d.payload.wiped for d in drafts] == [None, False, None]  # type: ignore[union-attr]
    drafts = read("rook high 1000 h light").drafts
    assert [d.kind for d in drafts] == [Kind.SHOT, Kind.SANDED, Kind.SHOT]
    assert isinstance(drafts[1].payload, SurfaceWork)


@pytest.mark.parametrize(
    "text", ["shot 45", "bp 65@9", "flush light", "light 30", "shot -3", "shot read 63"]
)  # fmt: skip
def test_what_can_hardly_be_is_kept_as_entered_and_said_to_teach_nothing(text: str) -> None:
    found = read(f"rook {text}")
    assert [d.kind for d in found.drafts] == [Kind.SHOT]
    assert found.cautions[0].startswith("Kept as it is, but nothing is learned from it")


def test_an_ordinary_shot_carries_no_caution() -> None:
    assert read("rook shot high 19 arrows 14 read 41 bp 43@9 left 10").cautions == ()


@pytest.mark.parametrize(
    ("text", "error", "word"),
    [
        ("shot 450", OutOfRange, "board seen"),
        ("left 11", OutOfRange, "pin left"),
        ("bp 43 9", NotUnderstood, "bp 43@9 for where it turned"),
        ("bp 430", OutOfRange, "seen at"),
        ("missed right 80", OutOfRange, "boards"),
        ("missed right", NotUnderstood, "by how many boards"),
        ("missed 2", NotUnderstood, "the side"),
        ("left", NotUnderstood, ""),
        ("strike", NotUnderstood, "flush, light or high"),
        ("over 14", NotUnderstood, "arrows 14"),
        ("light 2", NotUnderstood, "2 light"),
        ("flush flush", NotUnderstood, "Part two shots"),
        ("2 high 1 light", NotUnderstood, "“1 light”"),
        ("arrows", NotUnderstood, "arrows 14"),
        ("flush wiped sometimes", NotUnderstood, "wiped, unwiped"),
        ("wiped sometimes flush", NotUnderstood, "wiped, unwiped"),
        ("flush by Nobody", NotFound, "no bowler"),
        ("flush on nowhere", NotFound, "no condition"),
        ("1 shot high", KnownError, "counts as play already"),
        ("3g flush", KnownError, "counts as play already"),
    ],
)
def test_what_could_mean_two_things_or_nothing_is_refused_with_what_would_do(
    text: str, error: type[KnownError], word: str
) -> None:
    with pytest.raises(error) as raised:
        read(f"rook {text}")
    assert word in str(raised.value)


def test_the_meaning_is_said_before_it_is_kept() -> None:
    found = read("rook shot high 19 arrows 14 read 41 bp 43@9 left 10 at 18:42 wiped")
    assert said(found) == (
        "*Rook Hollow* practice shot *high, ended on 19, over 14 at the arrows, read at 41 ft, turned at 43 ft on 9, "
        "left 10* today at 18:42, wiped before it"
    )


def test_shots_and_scores_of_other_words_mean_what_they_did() -> None:
    assert only("rook 14s").kind is Kind.PLAYED
    assert only("rook 14 shots").kind is Kind.PLAYED
    assert only("rook saw high").kind is Kind.SAW
    assert only("rook > jay 3").kind is Kind.COMPARED
    assert only("rook 1000 h").kind is Kind.SANDED
    assert ROOK.id == only("rook r 2400").ball_id


def test_a_ball_named_like_what_a_shot_does_is_still_found_by_its_name() -> None:
    balls = (
        *BALLS,
        Ball(20, "Long Causeway", "causeway", 1, Cover.SOLID),
        Ball(21, "High Meadow", "high", 1, Cover.SOLID),
    )

    def heard(text: str, ball_id: int | None = None) -> list[tuple[int, Kind | str]]:
        found = one_line.read(text, balls=balls, today=TODAY, people=PEOPLE, lanes=LANES, ball_id=ball_id)
        return [(d.ball_id, d.kind) for d in found.drafts]

    assert heard("long causeway 3g", ball_id=1) == [(20, Kind.PLAYED)]
    assert heard("Long Causeway long", ball_id=1) == [(20, Kind.SHOT)]
    assert heard("rook and long causeway 3g") == [(1, Kind.PLAYED), (20, Kind.PLAYED)]
    assert heard("high 3g", ball_id=1) == [(21, Kind.PLAYED)]
    assert heard("high 1000 h", ball_id=1) == [(21, Kind.SANDED)]
    assert heard("high wiped", ball_id=1) == [(1, Kind.SHOT)]
    assert heard("high", ball_id=1) == [(1, Kind.SHOT)]
    assert heard("rook high") == [(1, Kind.SHOT)]
    assert heard("long", ball_id=1) == [(1, Kind.SHOT)]


@pytest.mark.parametrize("text", ["18:42 rook high", "rook 18:42 high", "rook at 18:42 high", "rook high at 18:42"])
def test_the_time_may_stand_before_or_after_what_was_seen(text: str) -> None:
    assert only(text).payload == shot(Sighting(words=(Word.HIGH,)), minute=1122)


@pytest.mark.parametrize("text", ["18:42", "18:42 rook 3g", "rook at 18:42", "rook 25:00 high", "18:42 1000 h"])
def test_a_time_without_a_shot_is_refused(text: str) -> None:
    with pytest.raises(KnownError):
        read(text)
