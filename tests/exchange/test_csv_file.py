from __future__ import annotations

import csv
import re
from pathlib import Path

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from arsenal.exchange import atomic
from arsenal.exchange.numbers import parse_number
from arsenal.exchange.tables.csv_file import Sheet, escape, parse_sheet, read_sheet, unescape, write_sheet
from arsenal.trade.errors import KnownError, NotUnderstood

CELLS = st.text(st.characters(exclude_characters="\0", exclude_categories=("Cs",)), max_size=12)


def sheet(text: str) -> Sheet:
    found, problems = parse_sheet("a.csv", text)
    assert found is not None
    assert not problems
    return found


@pytest.mark.parametrize(
    ("text", "rows"),
    [
        # RFC 4180 section 2, rules 1 and 2: records on lines of their own, the last may go without its line break
        ("f,g\r\naaa,bbb\r\nccc,ddd\r\n", [("aaa", "bbb"), ("ccc", "ddd")]),
        ("f,g\r\naaa,bbb\r\nccc,ddd", [("aaa", "bbb"), ("ccc", "ddd")]),
        # rule 4: spaces are part of a field
        ("f,g\r\n aaa , bbb\r\n", [(" aaa ", " bbb")]),
        # rule 5: fields may be quoted or not
        ('f,g\r\n"aaa",bbb\r\n', [("aaa", "bbb")]),
        # rule 6: line breaks, quotes and commas inside quotes
        ('f,g\r\n"a\r\naa","b,bb"\r\n', [("a\r\naa", "b,bb")]),
        # rule 7: a quote inside quotes is doubled
        ('f,g\r\n"b""bb",c\r\n', [('b"bb', "c")]),
        # beyond the standard: other line ends, other separators, empty lines
        ("f,g\naaa,bbb\n\n\nccc,ddd\n", [("aaa", "bbb"), ("ccc", "ddd")]),
        ("f;g\r\n1,5;2,5\r\n", [("1,5", "2,5")]),
        ("f\tg\r\na\tb\r\n", [("a", "b")]),
    ],
)
def test_records_as_the_standard_has_them(text: str, rows: list[tuple[str, ...]]) -> None:
    assert [cells for _, cells in sheet(text).rows] == rows


def test_rows_are_numbered_by_record_not_by_line() -> None:
    assert [number for number, _ in sheet('f,g\r\n"a\r\nb",c\r\n\r\nd,e\r\n').rows] == [2, 4]


@pytest.mark.parametrize(
    ("raw", "reason"),
    [
        (b"", "empty"),
        (b" \r\n \r\n", "empty"),
        ("ball,cover\r\nRøk,solid\r\n".encode("latin-1"), "not UTF-8"),
        ("ball,cover\r\n".encode("utf-16"), "UTF-16"),
        (b"PK\x03\x04" + bytes(40), "no CSV file"),
        (b"SQLite format 3\x00" + bytes(40), "no CSV file"),
        (b"ball,cover\r\nRo\x00ok,solid\r\n", "NUL"),
    ],
)
def test_a_file_that_is_no_table_is_refused_with_the_reason(tmp_path: Path, raw: bytes, reason: str) -> None:
    path = tmp_path / "a.csv"
    path.write_bytes(raw)
    found, problems = read_sheet(path)
    assert found is None
    assert [reason in p.reason for p in problems] == [True]


def test_a_missing_file_and_a_folder_are_told(tmp_path: Path) -> None:
    for path in (tmp_path / "none.csv", tmp_path):
        found, problems = read_sheet(path)
        assert found is None
        assert "cannot be read" in problems[0].reason


def test_the_mark_of_a_spreadsheet_is_not_part_of_the_first_header(tmp_path: Path) -> None:
    path = tmp_path / "a.csv"
    path.write_bytes("ball,cover\r\n".encode("utf-8-sig"))
    found, _ = read_sheet(path)
    assert found is not None
    assert found.header == ("ball", "cover")


def test_a_quote_that_is_never_closed_is_told_and_swallows_nothing_before_it() -> None:
    found, problems = parse_sheet("a.csv", 'f,g\r\na,b\r\n"c,d\r\ne,f\r\n')
    assert found is not None
    assert [cells for _, cells in found.rows] == [("a", "b")]
    assert (problems[0].row, "never closed" in problems[0].reason) == (3, True)


def test_a_field_longer_than_a_csv_reader_takes_is_told() -> None:
    found, problems = parse_sheet("a.csv", "f,g\r\n" + "x" * (csv.field_size_limit() + 1) + ",b\r\n")
    assert found is not None
    assert not found.rows
    assert "131072" in problems[0].reason


def test_a_huge_file_is_not_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("arsenal.exchange.tables.csv_file.MOST_BYTES", 10)
    path = tmp_path / "a.csv"
    path.write_bytes(b"ball,cover\r\n")
    found, problems = read_sheet(path)
    assert found is None
    assert "at most" in problems[0].reason


@given(CELLS)
def test_no_text_goes_out_as_a_formula_and_all_of_it_comes_back(text: str) -> None:
    assert escape(text)[:1] not in {"=", "+", "-", "@", "\t", "\r", "\n"}
    assert unescape(escape(text)) == text


@pytest.mark.parametrize("text", ["=1+1", "+1", "-1", "@a", "\tx", "\rx", "'=1", "''=1"])
def test_a_formula_is_escaped_by_an_apostrophe(text: str) -> None:
    assert escape(text) == f"'{text}"


@given(CELLS)
@example('"=')
def test_no_part_of_a_text_is_a_formula_where_another_sign_parts_the_fields(text: str) -> None:
    """A German spreadsheet opens a comma's file by semicolons (common practice; also in the advice on CSV injection of
    the Open Worldwide Application Security Project, from memory).
    """
    for parts in (";", ",", "\t"):
        for field in re.split(rf"[{parts}\r\n]", escape(text)):
            assert field.lstrip('"')[:1] not in set("=+-@＝＋－＠")


def test_a_formula_inside_a_text_is_escaped_and_read_back() -> None:
    assert escape("Ann;=1+1") == "Ann;'=1+1"
    assert unescape("Ann;'=1+1") == "Ann;=1+1"
    assert escape("a, -5; 3,5") == "a, -5; 3,5"


def test_an_apostrophe_that_guards_nothing_stays() -> None:
    assert unescape("'tis") == "'tis"
    assert escape("O'Neil") == "O'Neil"


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=60, deadline=None)
@given(st.lists(st.lists(CELLS, min_size=2, max_size=2), max_size=5))
def test_what_is_written_any_csv_reader_reads(tmp_path: Path, rows: list[list[str]]) -> None:
    path = tmp_path / "a.csv"
    write_sheet(path, ["f", "g"], rows)
    with path.open(newline="", encoding="utf-8-sig") as file:
        assert list(csv.reader(file)) == [["f", "g"], *rows]


def test_a_file_is_written_whole_or_not_at_all(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "a.csv"
    path.write_text("before")

    def full(handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(atomic.os, "fsync", full)
    with pytest.raises(KnownError, match="No space left") as told:
        write_sheet(path, ["f"], [["after"]])
    assert "as it was" in told.value.safe
    assert path.read_text() == "before"
    assert [p.name for p in tmp_path.iterdir()] == ["a.csv"]


@pytest.mark.parametrize(
    ("text", "value"),
    [("15.5", 15.5), ("15,5", 15.5), (" 15,5 ", 15.5), ("-3", -3.0), ("−3", -3.0), (".5", 0.5), ("5.", 5.0)],
)
def test_both_decimal_signs_mean_the_same(text: str, value: float) -> None:
    assert parse_number(text) == value


@pytest.mark.parametrize(
    "text",
    ["", " ", "1,500.5", "1.500,5", "1.2.3", "15 5", "1 000", "fifteen", "nan", "inf", "1e999", "٣", "0x10", "1_0"],
)
def test_a_second_decimal_sign_is_refused_rather_than_guessed_at(text: str) -> None:
    with pytest.raises(NotUnderstood):
        parse_number(text)


@given(st.floats(allow_nan=False, allow_infinity=False))
def test_a_number_reads_as_its_own_shortest_text(value: float) -> None:
    assert parse_number(repr(value)) == value
    assert parse_number(repr(value).replace(".", ",")) == value
