from __future__ import annotations

import pytest
from typed_shop import BALLS, PEOPLE, TODAY, payload, read, said

from arsenal.exchange import one_line
from arsenal.trade import Ball, Cover
from arsenal.trade.entries import OilDrawn, SurfaceWork
from arsenal.trade.errors import NotFound, NotUnderstood, OutOfRange


@pytest.mark.parametrize(
    ("line", "word", "helps"),
    [
        ("rook 1000", "1000", "1000 h"),
        ("rook xyzzy", "xyzzy", "clean"),
        ("rook claen", "claen", "clean"),
        ("rook 3g xyzzy", "xyzzy", ""),
        ("rook", "rook", "Rook Hollow"),
        ("rook wiped", "wiped", ""),
        ("rook clean wiped", "wiped", "3g wiped"),
        ("rook clean on 41", "41", "3g on house"),
        ("rook 500s", "500s", "500 shots"),
        ("rook > jay", ">", "boards"),
        ("rook > 3", "3", "other ball"),
        ("rook > rook 3", "Rook Hollow", "another"),
        ("rook ra x", "x", "ra 21"),
        ("rook drop", "drop", "minutes"),
        ("rook lent", "lent", "to whom"),
        ("rook note", "note", "sentence"),
        ("rook 31 feb 3g", "31 feb", "no such day"),
        ('rook note "open', '"open', "Close"),
        ("rook 500/x h", "x", "slash"),
        ("rook 3g except", "except", ""),
        ("rook 3g thu fri", "fri", "one day"),
        ("rook 120° heat", "120°", ""),
        ("rook s 3g", "s", ""),
        ("clean", "clean", "Begin with the ball"),
        ("", "", "ball"),
    ],
)
def test_what_is_not_understood_names_the_word_and_what_would_do(line: str, word: str, helps: str) -> None:
    with pytest.raises(NotUnderstood) as told:
        read(line)
    assert told.value.word == word
    assert helps in told.value.would_do
    assert "Nothing was changed." in str(told.value)


@pytest.mark.parametrize(
    ("line", "value", "allowed"),
    [
        ("rook -3g", "", ""),
        ("rook 0g", "0", "0.1 to 400"),
        ("rook 500g", "500", "0.1 to 400"),
        ("rook 5000s ±1%", "", ""),
        ("rook 14 s", "14", "30 to 12000"),
        ("rook > jay 45", "45", "-40 to 40"),
        ("rook 200 mph", "", ""),
        ("rook ra 900", "900", "0.5 to 200"),
        ("rook g60 900", "900", "0 to 200"),
        ("rook d 20", "20", "40 to 100"),
        ("rook 20 lb", "20 lb", "6 to 16.01"),
        ("rook d 9.9 in", "9.9", "8.3 to 8.6"),
        ("rook r 20", "20", "50 to 12000"),
        ("rook drop 9999", "9999", "0.2 to 600"),
        ("rook heat 3 400 F", "400 °F", "50 to 250"),
        ("rook heat 2.5", "2.5", "whole number"),
        ("rook drilled 4.5 9 holes", "9", "0 to 8"),
        ("rook drilled 4.5 2 holes 3 used", "3", "0 to 2"),
        ("rook drilled 45", "45", "0 to 6.75"),
        ("rook 1000 h 99x30", "99", "1 to 12"),
        ("rook 2027-01-01 3g", "1 Jan 2027", "24 Nov 2026"),
        ("rook 2020-01-01 3g", "1 Jan 2020", "1 Mar 2025"),
    ],
)
def test_what_cannot_be_true_names_value_and_range(line: str, value: str, allowed: str) -> None:
    with pytest.raises((OutOfRange, NotUnderstood)) as told:
        read(line)
    if allowed:
        assert isinstance(told.value, OutOfRange)
        assert value in str(told.value.value)
        assert allowed in told.value.allowed


def test_a_day_before_the_ball_was_bought_names_the_ball() -> None:
    with pytest.raises(OutOfRange, match="Rook Hollow was bought on that day"):
        read("rook 2024-12-24 clean")


@pytest.mark.parametrize(
    ("line", "choices"),
    [
        ("m 3g", {"Paper Moth", "First Meadow"}),
        ("rook 3g on house", {"41 ft house, 25 mL, fresh", "Guest house, unknown oil"}),
        ("rok 3g", {"rook"}),
        ("rook > pebble 3", set()),
    ],
)
def test_a_name_that_fits_several_or_none_names_the_choices(line: str, choices: set[str]) -> None:
    with pytest.raises((NotFound, NotUnderstood)) as told:
        read(line)
    assert choices <= set(told.value.choices)


def test_two_bowlers_with_a_ball_of_one_name() -> None:
    twins = (*BALLS, Ball(9, "Rook Hollow", "rook", 2, Cover.SOLID))
    people = PEOPLE
    with pytest.raises(NotFound) as told:
        one_line.read("rook 3g", balls=twins, today=TODAY, people=people)
    assert set(told.value.choices) == {"Mirel Oster Rook Hollow", "Sunna Vik Rook Hollow"}
    for choice, ball_id in zip(told.value.choices, (1, 9), strict=True):
        (draft,) = one_line.read(f"{choice} 3g", balls=twins, today=TODAY, people=people).drafts
        assert draft.ball_id == ball_id
    (own,) = one_line.read("rook 3g", balls=twins, today=TODAY, people=people, bowler_id=2).drafts
    assert own.ball_id == 9
    line = one_line.typed_line(own, twins, people=people, today=TODAY)
    assert one_line.read(line, balls=twins, today=TODAY, people=people).drafts[0].ball_id == 9


def test_all_without_a_bowler_is_asked_about() -> None:
    with pytest.raises(NotFound, match="which ball each bowler has in hand"):
        read("all 3g")


def test_part_of_the_surface_is_kept_and_flagged() -> None:
    found = read("rook 500 h track only")
    work = found.drafts[0].payload
    assert isinstance(work, SurfaceWork)
    assert not work.whole
    assert "rule book" in " ".join(found.cautions)


@pytest.mark.parametrize("line", ["rook heat 3 131 F", "rook heat 1 55 C", "rook oven", "rook oil other"])
def test_heat_over_the_usual_limit_waits_for_a_yes(line: str) -> None:
    asked = read(line)
    assert asked.needs_confirmation
    assert not read(f"{line} confirmed").needs_confirmation
    kept = payload(f"{line} confirmed")
    assert isinstance(kept, OilDrawn)
    assert kept.confirmed


@pytest.mark.parametrize("line", ["rook heat 3", "rook heat 3 130 F", "rook bath 50 C 30 min"])
def test_heat_within_the_usual_limit_only_cautions(line: str) -> None:
    found = read(line)
    assert not found.needs_confirmation
    assert "inserts and slugs out" in found.cautions[0]


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("rook 1000 h", "*Rook Hollow* sanded today with *1000 by hand*, dry, one light pass, whole ball"),
        ("rook thu 500/2000 m", "*Rook Hollow* sanded on Thu 19 Nov with *500/2000 by machine*, wet, 4 sides × 30 s, "
                                "whole ball"),
        ("rook ~20g", "*Rook Hollow* played *about 20 games ± 8* today"),
        ("rook jay 3g wiped clean", "*Rook Hollow* and *Jay Song* played *3 games* today, wiped each shot; *cleaned*, "
                                    "the same night"),
        ("rook > jay 3 on 41", "*Rook Hollow* ends *3 boards stronger than* Jay Song, ± 1.5, seen today on "
                               "41 ft house, 25 mL, fresh"),
        ("rook yesterday polish s", "*Rook Hollow* *polished* yesterday on a spinner, wet, the usual full time, "
                                    "whole ball"),
        ("rook 1 g", "*Rook Hollow* played *1 game* today"),
        ("rook crack bridge", "*Rook Hollow* found *cracked* today, bridge"),
    ],
)  # fmt: skip
def test_the_meaning_is_said_before_it_is_kept(line: str, words: str) -> None:
    assert said(read(line)) == words
