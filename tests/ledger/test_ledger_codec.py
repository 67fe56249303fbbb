"""Records as JSON and back."""

from __future__ import annotations

import json
from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from arsenal.ledger import CodecError, decode_payload, encode_payload, from_plain, text_of, to_plain
from arsenal.trade.ball import Ball, Cover
from arsenal.trade.entries import PAYLOAD_OF, Compared, Kind, Played, Step, SurfaceWork
from arsenal.trade.lane import FilmGrid, FilmSummary, Lane, UnknownHouse
from arsenal.trade.pads import Pad
from arsenal.trade.person import Person, ReadAt, SpeedReading

finite = st.floats(allow_nan=False, allow_infinity=False)
words = st.text(st.characters(exclude_categories=["Cs"]), max_size=40)
st.register_type_strategy(float, finite)
st.register_type_strategy(str, words)


@pytest.mark.parametrize("kind", list(Kind))
@settings(max_examples=30, deadline=None)
@given(data=st.data())
def test_every_payload_comes_back_as_it_was(kind: Kind, data: st.DataObject) -> None:
    payload = data.draw(st.from_type(PAYLOAD_OF[kind]))
    text = encode_payload(payload)
    assert decode_payload(kind.value, 1, text) == (kind, payload)
    assert encode_payload(decode_payload(kind.value, 1, text)[1]) == text


@pytest.mark.parametrize("cls", [Ball, Person, Lane, Pad])
@settings(max_examples=30, deadline=None)
@given(data=st.data())
def test_every_record_comes_back_as_it_was(cls: type, data: st.DataObject) -> None:
    record = data.draw(st.from_type(cls))
    assert from_plain(cls, json.loads(text_of(to_plain(record)))) == record


@pytest.mark.parametrize(
    "film", [FilmSummary(12.0, 2e-5, 8.0, None), UnknownHouse(), FilmGrid((0.0,), (1.0,), ((0.0,),))]
)
def test_a_film_says_which_of_the_three_it_is(film: FilmSummary | UnknownHouse | FilmGrid) -> None:
    lane = Lane(1, "x", film)
    assert to_plain(lane)["film"]["type"] == type(film).__name__
    assert from_plain(Lane, to_plain(lane)) == lane


def test_whole_numbers_typed_for_lengths_come_back_equal() -> None:
    payload = Compared(2, 3)
    assert decode_payload("compared", 1, encode_payload(payload)) == (Kind.COMPARED, payload)


def test_the_text_is_the_same_however_the_record_was_made() -> None:
    steps = (Step(number=500.0), Step(number=2000.0))
    assert encode_payload(SurfaceWork(steps)) == encode_payload(SurfaceWork(steps=steps, whole=True))
    assert encode_payload(Played(33.0)) == '{"games_typed":null,"lane_id":null,"sd":0.0,"shots":33.0,"wiped":null}'


@pytest.mark.parametrize(
    "plain",
    [
        {}, {"id": 1}, {"id": True}, None, [], "x",
        {"id": 1, "name": "a", "nickname": "b", "owner_id": 1, "cover": "leather"},
        {"id": 1, "name": "a", "nickname": "b", "owner_id": "1", "cover": "solid"},
        {"id": 1, "name": "a", "nickname": "b", "owner_id": 1, "cover": "solid", "bought_on": "29 February"},
        {"id": 1, "name": "a", "nickname": "b", "owner_id": 1, "cover": "solid", "spare": 1},
        {"id": 1, "name": "a", "nickname": "b", "owner_id": 1, "cover": "solid", "price": 1},
    ],
)  # fmt: skip
def test_text_that_is_no_ball_is_refused(plain: object) -> None:
    with pytest.raises(CodecError):
        from_plain(Ball, plain)


def test_a_field_added_with_a_default_is_read_from_older_text() -> None:
    ball = from_plain(Ball, {"id": 1, "name": "a", "nickname": "b", "owner_id": 1, "cover": "solid"})
    assert ball == Ball(1, "a", "b", 1, Cover.SOLID)
    leap = from_plain(Ball, {**to_plain(ball), "bought_on": "2024-02-29"})
    assert leap.bought_on == date(2024, 2, 29)


def test_a_bowler_kept_before_feet_and_speed_readings_were_reads_as_one_without() -> None:
    old = to_plain(Person(1, "Mirel"))
    for field in ("stance_to_laydown_boards", "speed_reading"):
        del old[field]
    assert from_plain(Person, old) == Person(1, "Mirel")
    read = Person(1, "Mirel", stance_to_laydown_boards=6.5, speed_reading=SpeedReading(ReadAt.DISPLAY, 7.0, "Elm"))
    assert from_plain(Person, to_plain(read)) == read
