"""Entries of balls' logs turned into trials."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime

from arsenal.practice.from_log import FromLog, outing, trials
from arsenal.trade.entries import Compared, Entry, Kind, Note, Payload, Played, Saw, Seen, Shot, Undo
from arsenal.trade.release import Line, Measured, Style
from arsenal.trade.trial import PairedTrial, Sighting, Trial, Word, checked
from arsenal.trade.units import BOARD_M, FOOT_M, MPH_MPS

DAY, NOON = date(2026, 3, 2), datetime(2026, 3, 2, 12, tzinfo=UTC)
OWNERS = {1: 7, 2: 7, 3: 8}
USUAL = {7: 40}
FLUSH = Sighting(words=(Word.FLUSH,))
OWN = Style(7.5, 30.0, 0.8, 0.2)


def entry(seq: int, kind: Kind, payload: Payload, *, ball: int = 1, **more: object) -> Entry:
    return Entry(seq, ball, kind, DAY, payload, NOON, 0, **more)  # type: ignore[arg-type]


def of(*entries: Entry, usual: dict[int, int] = USUAL) -> FromLog:
    by_ball: dict[int, list[Entry]] = {}
    for one in entries:
        by_ball.setdefault(one.ball_id, []).append(one)
    return trials(by_ball, OWNERS, usual, {7: OWN})


def test_a_shot_says_what_was_seen_of_it_and_how_it_was_thrown() -> None:
    line, seen = Line(0.4, -0.03), Sighting(landing_m=0.45, first_read_m=40.0 * FOOT_M)
    shot = Shot(seen, lane_id=41, line=line, measured=Measured(speed_mps=8.0), wiped=True, minute=1122)
    found = of(entry(5, Kind.SHOT, shot, typed="rook 18"))
    key = outing(DAY, 41, 7)
    style = replace(OWN, speed_mps=8.0)
    assert found == FromLog((Trial(5, 1, 7, 41, DAY, key, seen, line, style, True, 1122, "rook 18"),))


def test_a_shot_without_condition_or_bowler_is_on_the_owners_usual_one() -> None:
    (trial,) = of(entry(1, Kind.SHOT, Shot(FLUSH))).trials
    assert (trial.bowler_id, trial.lane_id) == (7, 40)
    (other,) = of(entry(1, Kind.SHOT, Shot(FLUSH, bowler_id=9, lane_id=40))).trials
    assert (other.bowler_id, other.outing) == (9, outing(DAY, 40, 9))


def test_words_seen_by_a_coach_are_trials_and_giving_up_is_rolling_out() -> None:
    found = of(*(entry(i, Kind.SAW, Saw(seen, 40)) for i, seen in enumerate(Seen, 1)))
    words = [t.seen.words for t in found.trials if isinstance(t, Trial)]
    assert words == [
        (w,) for w in (Word.LONG, Word.LIGHT, Word.FLUSH, Word.HIGH, Word.OVER, Word.ROLLED_OUT, Word.HUNG)
    ]


def test_a_comparison_is_two_balls_back_to_back() -> None:
    (pair,) = of(entry(3, Kind.COMPARED, Compared(2, 3.0, 1.0, 40))).trials
    assert pair == PairedTrial(3, 1, 2, 7, 40, DAY, outing(DAY, 40, 7), 3.0 * BOARD_M, 1.0 * BOARD_M)


def test_shots_of_one_day_lane_and_bowler_are_one_outing_unless_an_entry_names_another() -> None:
    shots = [Shot(FLUSH), Shot(FLUSH), Shot(FLUSH, lane_id=41), Shot(FLUSH, outing="after the oil")]
    found = of(*(entry(i, Kind.SHOT, shot) for i, shot in enumerate(shots, 1)), entry(9, Kind.SAW, Saw(Seen.HIGH)))
    keys = [t.outing for t in found.trials]
    assert keys[0] == keys[1] == keys[4]
    assert len(set(keys)) == 3


def test_two_bowlers_who_name_one_outing_share_it() -> None:
    shot = Shot(FLUSH, lane_id=40, outing="pair 7")
    found = of(entry(1, Kind.SHOT, shot), entry(2, Kind.SHOT, shot, ball=3))
    assert len({t.outing for t in found.trials}) == 1
    assert len({t.bowler_id for t in found.trials}) == 2


def test_what_was_taken_back_is_no_trial_and_what_was_put_back_is() -> None:
    shot, back = entry(1, Kind.SHOT, Shot(FLUSH)), entry(2, Kind.UNDO, Undo(), undoes=1)
    assert of(shot, back).trials == ()
    assert len(of(shot, back, entry(3, Kind.UNDO, Undo(), undoes=2)).trials) == 1


def test_play_and_notes_are_no_trials() -> None:
    assert of(entry(1, Kind.PLAYED, Played(33.0)), entry(2, Kind.NOTE, Note("flush"))) == FromLog(())


def test_a_shot_nobody_can_place_waits_with_a_finding_that_quotes_it() -> None:
    found = of(entry(1, Kind.SAW, Saw(Seen.HIGH), typed="rook saw high"), usual={})
    assert found.trials == ()
    (finding,) = found.findings
    assert (finding.code, finding.seq) == ("trial.no-lane", 1)
    assert "“rook saw high”" in finding.sentence
    (finding,) = of(entry(2, Kind.SHOT, Shot(FLUSH, lane_id=40), ball=9)).findings
    assert finding.code == "trial.no-bowler"


def test_what_no_lane_could_show_comes_through_to_be_kept_out_by_name() -> None:
    seen = (
        Sighting(landing_m=44.5 * BOARD_M), Sighting(breakpoint_m=65.0 * FOOT_M),
        Sighting(words=(Word.FLUSH,), landing_m=10.0 * BOARD_M), Sighting(words=(Word.FLUSH, Word.LONG)),
    )  # fmt: skip
    found = of(*(entry(i, Kind.SHOT, Shot(s)) for i, s in enumerate(seen, 1)))
    said = checked(found.trials, frozenset({1}))
    assert said.good == ()
    assert [f.code for f in said.findings] == ["trial.impossible"] * 2 + ["trial.contradictory"] * 2


def test_a_measured_release_without_a_usual_one_leaves_the_trial_without() -> None:
    shot = Shot(FLUSH, lane_id=40, measured=Measured(speed_mps=17.0 * MPH_MPS))
    (trial,) = of(entry(1, Kind.SHOT, shot, ball=3)).trials
    assert isinstance(trial, Trial)
    assert trial.style is None
