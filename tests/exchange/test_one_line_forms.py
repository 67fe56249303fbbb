from __future__ import annotations

from datetime import date, datetime

import pytest
from typed_shop import JAY, MOTH, PADS, ROOK, TODAY, only, payload, read

from arsenal.exchange.history import sentence
from arsenal.trade.entries import (
    Abrasive,
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
    Payload,
    Played,
    Quantity,
    Reading,
    Repair,
    Scale,
    Step,
    SurfaceWork,
    Tool,
    Wiped,
)

LIGHT_PASS = Step(number=1000.0)
POLISH = Step(Abrasive.POLISH, tool=Tool.SPINNER, wet=True)


def sanded(*steps: Step, whole: bool = True) -> SurfaceWork:
    return SurfaceWork(tuple(steps), whole)


def machine(number: float) -> Step:
    return Step(number=number, tool=Tool.MACHINE, wet=True, sides=4, seconds=30.0)


def spinner(number: float) -> Step:
    return Step(number=number, tool=Tool.SPINNER, wet=True)


@pytest.mark.common_practice
@pytest.mark.parametrize(
    ("line", "kind", "meant"),
    [
        ("1000 h", Kind.SANDED, sanded(LIGHT_PASS)),
        ("1000h", Kind.SANDED, sanded(LIGHT_PASS)),
        ("sanded 1000 by hand", Kind.SANDED, sanded(LIGHT_PASS)),
        ("500/2000 m", Kind.SANDED, sanded(machine(500.0), machine(2000.0))),
        ("500/1000/p", Kind.SANDED, sanded(spinner(500.0), spinner(1000.0), POLISH)),
        ("500 h track only", Kind.SANDED, sanded(Step(number=500.0), whole=False)),
        ("1000 s 4x30", Kind.SANDED, sanded(Step(number=1000.0, tool=Tool.SPINNER, wet=True, sides=4, seconds=30.0))),
        ("1000 h wet 90 sec", Kind.SANDED, sanded(Step(number=1000.0, wet=True, seconds=90.0))),
        ("P1000 h", Kind.SANDED, sanded(Step(number=1000.0, scale=Scale.P))),
        ("jis 1000 h", Kind.SANDED, sanded(Step(number=1000.0, scale=Scale.JIS))),
        ("cami 600 h", Kind.SANDED, sanded(Step(number=600.0, scale=Scale.CAMI))),
        ("16um h", Kind.SANDED, sanded(Step(number=16.0, scale=Scale.MICRON))),
        ("16 µm h", Kind.SANDED, sanded(Step(number=16.0, scale=Scale.MICRON))),
        ("nw h", Kind.SANDED, sanded(Step(Abrasive.NONWOVEN))),
        ("polish s", Kind.POLISHED, sanded(POLISH)),
        ("compound s", Kind.POLISHED, sanded(Step(Abrasive.COMPOUND, tool=Tool.SPINNER, wet=True))),
        ("500 h / 2000 s dry", Kind.SANDED, sanded(Step(number=500.0), Step(number=2000.0, tool=Tool.SPINNER))),
        ("14s", Kind.PLAYED, Played(14.0)),
        ("14 shots", Kind.PLAYED, Played(14.0)),
        ("2g", Kind.PLAYED, Played(22.0, games_typed=2.0)),
        ("2 games", Kind.PLAYED, Played(22.0, games_typed=2.0)),
        ("2,5g", Kind.PLAYED, Played(27.5, games_typed=2.5)),
        ("~20g", Kind.PLAYED, Played(220.0, 0.2, 20.0)),
        ("about 20 games", Kind.PLAYED, Played(220.0, 0.2, 20.0)),
        ("20g ±30%", Kind.PLAYED, Played(220.0, 0.15, 20.0)),
        ("3g wiped", Kind.PLAYED, Played(33.0, games_typed=3.0, wiped=Wiped.EACH)),
        ("3g wiped sometimes", Kind.PLAYED, Played(33.0, games_typed=3.0, wiped=Wiped.SOMETIMES)),
        ("3g not wiped", Kind.PLAYED, Played(33.0, games_typed=3.0, wiped=Wiped.NEVER)),
        ("3g on 41", Kind.PLAYED, Played(33.0, games_typed=3.0, lane_id=1)),
        ("3g on flat sport", Kind.PLAYED, Played(33.0, games_typed=3.0, lane_id=2)),
        ("clean", Kind.CLEANED, Cleaned()),
        ("clean later", Kind.CLEANED, Cleaned(same_night=False)),
        ("bath", Kind.OIL_DRAWN, OilDrawn(OilMethod.BATH)),
        ("bath 30 min 2x 50 C", Kind.OIL_DRAWN, OilDrawn(OilMethod.BATH, 50.0, 30.0, 2)),
        ("heat 3", Kind.OIL_DRAWN, OilDrawn(OilMethod.HEAT, passes=3)),
        ("drop 6", Kind.DROP_TEST, DropTest(6.0)),
        ("insp", Kind.INSPECTED, Inspected()),
        ("insp thumb insert loose", Kind.INSPECTED, Inspected("thumb insert loose")),
        ("crack bridge", Kind.CRACK, Crack("bridge")),
        ("crack through at bridge", Kind.CRACK, Crack("bridge", through=True)),
        ("repair plug thumb", Kind.REPAIR, Repair("plug thumb", plugged=True)),
        ("repair crack filled", Kind.REPAIR, Repair("crack filled", mends_crack=True)),
        ("lent Sunna Vik", Kind.LENT, Handed("Sunna Vik", 2)),
        ("lent to a friend", Kind.LENT, Handed("a friend")),
        ("back", Kind.RETURNED, Handed()),
        ("sold", Kind.SOLD, Handed()),
        ("retired", Kind.RETIRED, Handed()),
        ("note hits late, ask on 12 mar", Kind.NOTE, Note("hits late, ask on 12 mar")),
        ("new", Kind.NEW, New()),
        ("new box 3000", Kind.NEW, New((spinner(3000.0),))),
        ("used", Kind.NEW, New(history_known=False)),
        ("used ~40g", Kind.NEW, New(history_known=False, games_before=40.0)),
        ("drilled 4.5 2 holes", Kind.DRILLED, Drilled(4.5 * 0.0254, 2, 2)),
        ("drilled 4,5 3 holes 2 used palm mark by the shop", Kind.DRILLED,
         Drilled(4.5 * 0.0254, 3, 2, palm_mark=True, driller="the shop")),
        ("> jay 3", Kind.COMPARED, Compared(JAY.id, 3.0)),
        ("<moth 2", Kind.COMPARED, Compared(MOTH.id, -2.0)),
        ("= jay", Kind.COMPARED, Compared(JAY.id, 0.0)),
        ("> jay 3 ±2 on 41", Kind.COMPARED, Compared(JAY.id, 3.0, 2.0, 1)),
    ],
)  # fmt: skip
def test_a_line_as_people_type_it(line: str, kind: Kind, meant: Payload) -> None:
    draft = only(f"rook {line}")
    assert (draft.ball_id, draft.kind, draft.on) == (ROOK.id, kind, TODAY)
    if kind is Kind.NEW and isinstance(draft.payload, New) and draft.payload.finish:
        assert [s.number for s in draft.payload.finish] == [3000.0]  # how the maker did it nobody says
    else:
        assert draft.payload == meant


@pytest.mark.parametrize(
    ("line", "quantity", "value"),
    [
        ("r 2400", Quantity.SCANNER_GRIT, 2400.0),
        ("ra 21", Quantity.RA, 21 * 25.4e-9),  # 1 μin is 25.4 nm: the inch is 25.4 mm (international agreement, 1959)
        ("ra 0.5um", Quantity.RA, 0.5e-6),
        ("g60 14", Quantity.GLOSS, 14.0),
        ("6793 g", Quantity.MASS, 6.793),
        ("15 lb 2 oz", Quantity.MASS, 15.125 * 0.45359237),  # the international pound, 1959
        ("15.1 lb", Quantity.MASS, 15.1 * 0.45359237),
        ("15,1 lb", Quantity.MASS, 15.1 * 0.45359237),
        ("6.85 kg", Quantity.MASS, 6.85),
        ("weight 15", Quantity.MASS, 15 * 0.45359237),
        ("d 76", Quantity.HARDNESS, 76.0),
        ("8.552", Quantity.DIAMETER, 8.552 * 0.0254),
        ("8,552", Quantity.DIAMETER, 8.552 * 0.0254),
        ("d 8.552", Quantity.DIAMETER, 8.552 * 0.0254),
        ("217.2 mm", Quantity.DIAMETER, 0.2172),
    ],
)
def test_a_reading_with_the_unit_that_was_typed(line: str, quantity: Quantity, value: float) -> None:
    found = payload(f"rook {line}")
    assert isinstance(found, Reading)
    assert found.quantity is quantity
    assert found.value == pytest.approx(value, rel=1e-12)


def test_a_reading_keeps_its_instrument_angle_and_temperature() -> None:
    assert payload('rook r 2400 by "counter scanner"') == Reading(Quantity.SCANNER_GRIT, 2400.0, "counter scanner")
    assert payload("rook g85 3") == Reading(Quantity.GLOSS, 3.0, gloss_angle_deg=85.0)
    found = payload("rook d 76 73 F")
    assert isinstance(found, Reading)
    assert found.temperature_c == pytest.approx((73 - 32) / 1.8)


@pytest.mark.parametrize(
    ("word", "day"),
    [
        ("", TODAY), ("today", TODAY), ("yesterday", date(2026, 11, 23)), ("thu", date(2026, 11, 19)),
        ("tue", TODAY), ("last tue", date(2026, 11, 17)), ("on thu", date(2026, 11, 19)), ("-3d", date(2026, 11, 21)),
        ("3 days ago", date(2026, 11, 21)), ("2 weeks ago", date(2026, 11, 10)), ("12 mar", date(2026, 3, 12)),
        ("mar 12", date(2026, 3, 12)), ("12 March 2026", date(2026, 3, 12)), ("2026-03-12", date(2026, 3, 12)),
        ("25 nov", date(2025, 11, 25)),
    ],
)  # fmt: skip
def test_a_day_before_or_after_what_happened(word: str, day: date) -> None:
    assert only(f"rook {word} 3g").on == day
    assert only(f"rook 3g {word}").on == day
    assert only(f"rook 3g {word}").late == (day < TODAY)


def test_a_leap_day_looks_back_over_years_without_one() -> None:
    assert only("jay 29 feb 3g").on == date(2024, 2, 29)


def test_several_balls_share_what_a_line_says() -> None:
    found = read("rook jay 3g wiped clean").drafts
    assert [(d.ball_id, d.kind) for d in found] == [
        (1, Kind.PLAYED), (1, Kind.CLEANED), (2, Kind.PLAYED), (2, Kind.CLEANED),
    ]  # fmt: skip
    assert len(read("rook jay moth 3g").drafts) == 3
    assert {d.ball_id for d in read("rook, jay and moth 3g").drafts} == {1, 2, 3}


def test_a_coachs_line_with_exceptions() -> None:
    hands = {1: 1, 2: 5, 3: 6}
    everyone = read("all threw 3 games, wiped, cleaned", in_hand=hands).drafts
    assert {d.ball_id for d in everyone} == {1, 5, 6}
    without = read("all 3g wiped clean except juni", in_hand=hands).drafts
    assert {d.ball_id for d in without} == {1, 5}
    assert {d.ball_id for d in read("sunna 3g", in_hand=hands).drafts} == {5}


def test_all_of_one_bowler_are_his_strike_balls() -> None:
    found = read("all clean except rook", bowler_id=1).drafts
    assert {d.ball_id for d in found} == {2, 3}


@pytest.mark.parametrize("name", ["rook", "ROOK", "ro", "rook hollow", "hollow", "Rook Hol", "mirel rook", "#1"])
def test_a_ball_by_nickname_name_or_first_letters(name: str) -> None:
    assert only(f"{name} 3g").ball_id == ROOK.id


def test_a_line_without_a_ball_speaks_of_the_one_in_hand() -> None:
    assert only("1000 h", ball_id=3).ball_id == MOTH.id
    assert only("rook 1000 h", ball_id=3).ball_id == ROOK.id


def test_the_newest_pad_of_that_grain_is_taken() -> None:
    def pad(line: str) -> int | None:
        found = payload(line, pads=PADS)
        assert isinstance(found, SurfaceWork)
        return found.steps[0].pad_id

    assert pad("rook 1000 h") == 1  # Mirel's own before the shop's; number 2 is used up
    assert pad("granary 1000 h") == 3
    assert pad("rook P1000 h") == 5
    assert pad("rook 3000 h") is None
    assert pad("rook 1000 h pad #3") == 3
    assert pad("rook 1000 h pad none") is None


def kept(
    seq: int, ball_id: int, on: date, payload: Payload, kind: Kind = Kind.PLAYED, undoes: int | None = None
) -> Entry:
    return Entry(seq, ball_id, kind, on, payload, datetime(2026, 11, 24), 0, undoes=undoes)  # noqa: DTZ001


def test_undo_takes_back_the_last_entry_that_stands() -> None:
    log = (kept(1, 1, TODAY, Played(11)), kept(2, 1, TODAY, Played(22)), kept(3, 2, TODAY, Played(11)))
    assert only("rook undo", entries=log).undoes == 2
    undone = (*log, kept(4, 1, TODAY, Played(0), Kind.UNDO, undoes=2))
    assert only("rook undo", entries=undone).undoes == 1
    assert only("rook undo #1 because typed twice", entries=log).undoes == 1


def test_cleaning_days_after_play_is_not_the_same_night() -> None:
    log = (kept(1, 1, date(2026, 11, 19), Played(33)),)
    assert payload("rook clean", entries=log) == Cleaned(same_night=False)
    assert payload("rook thu clean", entries=log) == Cleaned()
    assert read("rook 3g clean", entries=log).drafts[1].payload == Cleaned()


def test_a_pin_is_said_in_fractions_as_drillers_say_it() -> None:
    """4 1/2 in by a driller's tape; common practice, no source."""
    entry = kept(1, 1, TODAY, Drilled(4.5 * 0.0254, 6, 5), Kind.DRILLED)
    assert sentence(entry).endswith("pin 4 1/2 in from the axis point, 6 holes, 5 used")
