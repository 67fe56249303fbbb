"""Tables of measured shots with headers of all sorts. pandas writes some of them, independent of the reader."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pandas as pd
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from typed_shop import BALLS, LANES, PEOPLE, TODAY

from arsenal.exchange import sensor_csv
from arsenal.exchange.sensor_csv import About, SensorRead, Usual
from arsenal.exchange.sensor_fields import ALONG_UNITS, UNITS, Field, Gutter, Mapped, SensorTable, check, fingerprint
from arsenal.trade.entries import Shot
from arsenal.trade.errors import KnownError, NotFound
from arsenal.trade.person import ReadAt
from arsenal.trade.release import Measured

ABOUT = About(BALLS, PEOPLE, LANES)
USUAL = Usual(TODAY, TODAY, bowler_id=1, ball_id=1, lane_id=2)
BOARD_M = 41.5 * 0.0254 / 39  # a lane of 39 boards, nominally 41½ in wide (USBC)
HEADERS = "Thrown;Kugel;Pfeile;Kopf;Tempo"
TABLE = SensorTable(
    (
        Mapped(Field.DAY, "Thrown", "day.month.year"), Mapped(Field.BALL, "Kugel"), Mapped(Field.ARROWS, "Pfeile"),
        Mapped(Field.PINS, "Kopf"), Mapped(Field.SPEED, "Tempo", "km/h"),
    )
)  # fmt: skip


def written(folder: Path, text: str, encoding: str = "utf-8") -> Path:
    path = folder / "shots.csv"
    path.write_bytes(text.encode(encoding))
    return path


def read(folder: Path, text: str, table: SensorTable = TABLE, usual: Usual = USUAL) -> SensorRead:
    path = written(folder, text)
    check(table, sensor_csv.head(path).headers)
    return sensor_csv.read(path, table, usual, ABOUT)


def shots(found: SensorRead) -> list[Shot]:
    return [draft.payload for _, draft in found.drafts if isinstance(draft.payload, Shot)]


def one(folder: Path, field: Field, text: str, unit: str = "", **more: object) -> SensorRead:
    """A file of one measured column beside the board at the pins."""
    table = SensorTable((Mapped(Field.PINS, "pins"), Mapped(field, "x", unit)), **more)  # type: ignore[arg-type]
    return read(folder, f'pins;x\n17.5;"{text}"\n', table)


def test_headers_and_first_rows_are_shown_to_be_mapped(tmp_path: Path) -> None:
    path = written(tmp_path, "\ufeff" + HEADERS + "\n" + "20.11.2026;rook;14,5;18;26,9\n" * 9)
    head = sensor_csv.head(path)
    assert head.headers == ("Thrown", "Kugel", "Pfeile", "Kopf", "Tempo")
    assert (len(head.first_rows), head.rows) == (5, 9)
    assert head.fingerprint == fingerprint([" thrown", "KUGEL", "Pfeile", "Kopf ", "tempo"])
    assert head.fingerprint != fingerprint(["Kugel", "Thrown", "Pfeile", "Kopf", "Tempo"])


def test_a_row_is_a_shot_by_sensor_with_decimal_commas(tmp_path: Path) -> None:
    found = read(tmp_path, f"{HEADERS}\n20.11.2026;Rook Hollow;14,5;18;26,9\n")
    assert found.problems == ()
    ((row, draft),) = found.drafts
    assert (row, draft.ball_id, draft.on, draft.typed) == (2, 1, date(2026, 11, 20), "shots.csv, row 2")
    assert isinstance(draft.payload, Shot)
    assert draft.payload.seen.arrows_m == pytest.approx(14.0 * BOARD_M)  # the middle of board 14½
    assert draft.payload.seen.landing_m == pytest.approx(17.5 * BOARD_M)
    assert draft.payload.seen.by_sensor
    assert draft.payload.measured is not None
    assert draft.payload.measured.speed_mps == pytest.approx(26.9 / 3.6)
    assert draft.payload.lane_id == 2


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig"])
@pytest.mark.parametrize(("separator", "decimal"), [(",", "."), (";", ","), (";", "."), ("\t", ","), (",", ",")])
def test_what_pandas_writes_is_read(tmp_path: Path, encoding: str, separator: str, decimal: str) -> None:
    frame = pd.DataFrame({"pins, where it hit": [17.5, 19.25], 'read "ft"': [38.0, None], "note": ["a\nb", "c;d,e"]})
    path = tmp_path / "shots.csv"
    frame.to_csv(path, sep=separator, decimal=decimal, encoding=encoding, index=False)
    table = SensorTable((Mapped(Field.PINS, "pins, where it hit"), Mapped(Field.FIRST_READ, 'read "ft"')))
    found = sensor_csv.read(path, table, USUAL, ABOUT)
    assert found.problems == ()
    assert found.not_mapped == ("note",)
    seen = [s.seen for s in shots(found)]
    assert [s.landing_m for s in seen] == [pytest.approx(17.0 * BOARD_M), pytest.approx(18.75 * BOARD_M)]
    assert [s.first_read_m for s in seen] == [pytest.approx(38.0 * 0.3048), None]


@pytest.mark.parametrize(
    ("field", "text", "unit", "value"),
    [
        (Field.SPEED, "17", "", 17.0 * 0.44704),
        (Field.SPEED, "7,6", "m/s", 7.6),
        (Field.SPEED, "25", "ft/s", 25.0 * 0.3048),
        (Field.REVS, "300", "", 31.41592653589793),
        (Field.REVS, "5", "rev/s", 31.41592653589793),
        (Field.ROTATION, "45", "", 0.7853981633974483),
        (Field.TILT, "0.2", "rad", 0.2),
        (Field.LAUNCH, "-1.8", "", -0.031415926535897934),
        (Field.LAUNCH, "1.8", "degrees, gutter positive", -0.031415926535897934),
        (Field.ENTRY, "4.5", "", 0.07853981633974483),
    ],
)
def test_every_unit_comes_in_as_si(tmp_path: Path, field: Field, text: str, unit: str, value: float) -> None:
    (shot,) = shots(one(tmp_path, field, text, unit))
    assert shot.measured is not None
    assert [v for v in _values(shot.measured) if v is not None] == [pytest.approx(value)]


def _values(read_: Measured) -> tuple[float | None, ...]:
    return (
        read_.speed_mps, read_.rev_rate_radps, read_.axis_rotation_rad, read_.axis_tilt_rad, read_.launch_rad,
        read_.entry_rad,
    )  # fmt: skip


@pytest.mark.parametrize(("text", "unit"), [("41", "ft"), ("12.4968", "m"), ("492", "in"), ("1249.68", "cm")])
def test_lengths_along_the_lane(tmp_path: Path, text: str, unit: str) -> None:
    (shot,) = shots(one(tmp_path, Field.BREAKPOINT, text, unit))
    assert shot.seen.breakpoint_m == pytest.approx(12.4968)


def test_places_across_come_as_board_numbers_or_as_lengths_from_the_gutters_edge(tmp_path: Path) -> None:
    """Board 1 lies half a board from the edge in its middle; 41½ in is the whole lane."""
    for text, unit, metres in (("1", "boards", 0.5 * BOARD_M), ("10.375", "in", 0.263525), ("50", "cm", 0.5)):
        (shot,) = shots(one(tmp_path, Field.ARROWS, text, unit))
        assert shot.seen.arrows_m == pytest.approx(metres)


def test_a_table_that_counts_from_one_gutter_for_everybody_is_turned_for_the_others(tmp_path: Path) -> None:
    table = SensorTable((Mapped(Field.PINS, "pins"), Mapped(Field.BALL, "ball")), Gutter.RIGHT)
    text = "pins,ball\n17.5,Rook Hollow\n22.5,Dusk Granary\n"
    right, left = shots(read(tmp_path, text, table, Usual(TODAY, TODAY)))
    assert right.seen.landing_m == pytest.approx(17.0 * BOARD_M)
    assert left.seen.landing_m == pytest.approx(17.0 * BOARD_M)  # 40 − 22½ from the left-hander's own gutter
    from_left = SensorTable(table.columns, Gutter.LEFT)
    right, left = shots(read(tmp_path, text, from_left, Usual(TODAY, TODAY)))
    assert right.seen.landing_m == pytest.approx(22.0 * BOARD_M)
    assert left.seen.landing_m == pytest.approx(22.0 * BOARD_M)


def test_a_speed_read_at_the_pins_is_brought_to_the_hand(tmp_path: Path) -> None:
    """2½ mph less at the pins, as everywhere here (coaching press: 2½ to 3)."""
    (shot,) = shots(one(tmp_path, Field.SPEED, "15", "mph", speed_at=ReadAt.PINS))
    assert shot.measured is not None
    assert shot.measured.speed_mps == pytest.approx(17.5 * 0.44704)


@pytest.mark.parametrize(
    ("unit", "day"),
    [("year-month-day", "2026-11-03"), ("day.month.year", "3.11.2026"), ("day.month.year", "03/11/2026"),
     ("month/day/year", "11/3/2026"), ("year-month-day", "2026-11-03T18:42:07"),
     ("month/day/year", "11/3/2026 6:42 PM")],
)  # fmt: skip
def test_days_are_read_the_way_they_were_mapped(tmp_path: Path, unit: str, day: str) -> None:
    ((_, draft),) = one(tmp_path, Field.DAY, day, unit).drafts
    assert draft.on == date(2026, 11, 3)
    assert isinstance(draft.payload, Shot)
    assert draft.payload.minute == (1122 if len(day) > 10 else None)


@pytest.mark.parametrize(("text", "minute"), [("18:42", 1122), ("6:42 pm", 1122), ("0:05:59.5", 5), ("12:10 am", 10)])
def test_times_of_the_day(tmp_path: Path, text: str, minute: int) -> None:
    assert [s.minute for s in shots(one(tmp_path, Field.TIME, text))] == [minute]


@pytest.mark.parametrize(
    ("field", "text", "unit", "says"),
    [
        (Field.DAY, "31.02.2026", "day.month.year", "“31.02.2026” is no day"),
        (Field.DAY, "3.11.26", "day.month.year", "“3.11.26” is no day"),
        (Field.DAY, "25.11.2026", "day.month.year", "still to come"),
        (Field.DAY, "2024-01-01", "", "before Rook Hollow was bought"),
        (Field.TIME, "25:00", "", "“25:00” is no time"),
        (Field.TIME, "13:10 pm", "", "no time"),
        (Field.ARROWS, "1,234.5", "", "“1,234.5”"),
        (Field.ARROWS, "abc", "", "“abc”"),
        (Field.ARROWS, "450", "", "450"),
        (Field.SPEED, "170", "mph", "8 to 25 mph"),
        (Field.BREAKPOINT, "43", "m", "43 m"),
        (Field.BALL, "Ghost", "", "“Ghost” is no ball"),
        (Field.BOWLER, "Ghost", "", "“Ghost” is no bowler"),
        (Field.CONDITION, "Ghost", "", "“Ghost” is no condition"),
    ],
)
def test_a_row_that_cannot_be_is_named_with_its_value(
    tmp_path: Path, field: Field, text: str, unit: str, says: str
) -> None:
    found = one(tmp_path, field, text, unit)
    assert found.drafts == ()
    ((problem),) = found.problems
    assert (problem.file, problem.row) == ("shots.csv", 2)
    assert problem.field in ("x",)
    assert says in problem.reason


def test_what_can_hardly_be_is_kept_and_named(tmp_path: Path) -> None:
    found = one(tmp_path, Field.BREAKPOINT, "65", "ft")
    assert len(found.drafts) == 1
    assert "breakpoint at 65 ft, past the pins" in found.odd[0].reason


def test_no_row_is_dropped_without_a_word(tmp_path: Path) -> None:
    text = (
        HEADERS
        + "\n20.11.2026;rook;14;18;26\n\n20.11.2026;rook;;;26\n20.11.2026;rook;14;18;26;9\nx;rook;1;2;3\n;;15;;\n"
    )
    found = read(tmp_path, text)
    assert [row for row, _ in found.drafts] == [2, 7]
    assert [p.row for p in found.problems] == [4, 5, 6]
    assert "Nothing was seen" in found.problems[0].reason
    assert "6 fields under 5 headers" in found.problems[1].reason


def test_a_quote_that_never_closes_is_told_with_its_row(tmp_path: Path) -> None:
    found = read(tmp_path, HEADERS + '\n20.11.2026;rook;14;18;26\n20.11.2026;"rook;14;18;26\n20.11.2026;rook;1;2;3\n')
    assert [row for row, _ in found.drafts] == [2]
    assert (found.problems[0].row, "never closed" in found.problems[0].reason) == (3, True)


@pytest.mark.parametrize("content", [b"", b"\xff\xfea\x00", b"PK\x03\x04", b"a;b\n\xe4;1\n", b"a;b\n\x00;1\n"])
def test_a_file_that_is_no_table_is_refused(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "odd.csv"
    path.write_bytes(content)
    with pytest.raises(KnownError):
        sensor_csv.head(path)


@pytest.mark.parametrize(
    ("columns", "error", "says"),
    [
        ((Mapped(Field.PINS, "nowhere"),), NotFound, "no header “nowhere”"),
        ((Mapped(Field.PINS, "b"),), KnownError, "over 2 columns"),
        ((Mapped(Field.PINS, "a"), Mapped(Field.PINS, "c")), KnownError, "Two headers"),
        ((Mapped(Field.PINS, "a", "furlongs"),), KnownError, "cannot come in furlongs"),
        ((Mapped(Field.SPEED, "a"),), KnownError, "Nothing that a shot did"),
    ],
)
def test_a_mapping_that_does_not_fit_is_refused(
    columns: tuple[Mapped, ...], error: type[KnownError], says: str
) -> None:
    with pytest.raises(error, match=says):
        check(SensorTable(columns), ("a", "b", "B ", "c"))


def test_every_field_has_its_units_and_the_usual_one_first() -> None:
    assert set(UNITS) == set(Field)
    assert UNITS[Field.FIRST_READ][0] == "ft"
    assert set(UNITS[Field.BREAKPOINT]) == set(ALONG_UNITS)


CELL = st.text(st.characters(exclude_categories=("Cs",), exclude_characters="\0"), max_size=8) | st.sampled_from(
    ["17.5", "17,5", "20.11.2026", "rook", "", "=1+1", "'=2", "45", "-1", "1e5", "nan", "½"]
)


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(st.lists(CELL, min_size=1, max_size=6), max_size=6), st.sampled_from(",;\t"))
def test_every_row_of_any_table_is_a_shot_or_a_problem(tmp_path: Path, rows: list[list[str]], separator: str) -> None:
    path = tmp_path / "any.csv"
    frame = pd.DataFrame([row + [""] * (6 - len(row)) for row in rows], columns=[*HEADERS.split(";"), "more"])
    frame.to_csv(path, sep=separator, index=False, encoding="utf-8-sig", lineterminator="\r\n")
    found = sensor_csv.read(path, TABLE, USUAL, ABOUT)
    told = sorted([row for row, _ in found.drafts] + [p.row for p in found.problems])
    filled = [n for n, row in enumerate(rows, 2) if any(cell.strip() for cell in row)]
    assert told == filled
