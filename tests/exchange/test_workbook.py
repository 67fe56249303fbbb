"""Workbooks: opened by an independent reader (calamine, in Rust), bombs and entities refused, formulas only text."""

from __future__ import annotations

import zipfile
from collections.abc import Callable
from datetime import date
from pathlib import Path

import openpyxl
import pytest
from python_calamine import CalamineWorkbook

from arsenal.exchange.workbook import MOST_BYTES, Table, Unreadable, looks_like_one, read, write

HOSTILE = ("=1+1", "+cmd|' /C calc'!A0", "@SUM(A1)", "-2", "\u202eesrever", "<b>bold</b> & co", "a\x00b", "x" * 40_000)


def test_an_independent_reader_sees_the_same_cells_and_no_formula(tmp_path: Path) -> None:
    path = tmp_path / "balls.xlsx"
    write(
        path,
        [
            Table("balls", ("ball", "note"), tuple(("rook", text) for text in HOSTILE)),
            Table("people: all", ("name",), ()),
        ],
    )
    book = CalamineWorkbook.from_path(path)
    assert book.sheet_names == ["balls", "people- all"]
    cells = book.get_sheet_by_name("balls").to_python()
    assert cells[0] == ["ball", "note"]
    assert [row[1] for row in cells[1:6]] == list(HOSTILE[:5])
    assert cells[7][1] == "ab"
    assert len(str(cells[8][1])) == 32_767
    with zipfile.ZipFile(path) as parts:
        assert b"<f>" not in parts.read("xl/worksheets/sheet1.xml")
    assert read(path)[0].rows[0] == ("rook", "=1+1")


def test_cells_are_read_as_a_person_would_type_them(tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    sheet = book.active
    assert sheet is not None
    sheet.title = "März"
    for row in (["name", "on", "weight", "", None], ["Ilse", date(2024, 2, 29), 15.0, True], [], [None, None, 6.35]):
        sheet.append(row)
    book.create_sheet("nothing")
    book.save(tmp_path / "made.xlsx")
    assert looks_like_one(tmp_path / "made.xlsx")
    (table,) = read(tmp_path / "made.xlsx")
    assert table == Table(
        "März", ("name", "on", "weight", ""), (("Ilse", "2024-02-29", "15", "yes"), ("", "", "6.35", ""))
    )


def edited(path: Path, part: str, edit: Callable[[bytes], bytes]) -> None:
    with zipfile.ZipFile(path) as parts:
        kept = {name: parts.read(name) for name in parts.namelist()}
    kept[part] = edit(kept[part])
    with zipfile.ZipFile(path, "w") as parts:
        for name, content in kept.items():
            parts.writestr(name, content)


def test_a_sheet_that_says_it_ends_earlier_loses_no_row(tmp_path: Path) -> None:
    """Some programs write a wrong `dimension`; an independent reader goes by the cells."""
    path = tmp_path / "made.xlsx"
    book = openpyxl.Workbook()
    for row in (["name", "phone"], ["Ilse", "1"], ["Marek", "2"], ["Ane", "3"]):
        book.worksheets[0].append(row)
    book.save(path)
    edited(path, "xl/worksheets/sheet1.xml", lambda xml: xml.replace(b'ref="A1:B4"', b'ref="A1:A2"'))
    with zipfile.ZipFile(path) as parts:
        assert b'ref="A1:A2"' in parts.read("xl/worksheets/sheet1.xml")
    assert read(path)[0].rows == (("Ilse", "1"), ("Marek", "2"), ("Ane", "3"))
    assert len(CalamineWorkbook.from_path(path).get_sheet_by_index(0).to_python()) == 4


def test_a_row_past_the_end_of_any_sheet_is_refused_and_not_waited_for(tmp_path: Path) -> None:
    path = tmp_path / "made.xlsx"
    write(path, [Table("t", ("a",), (("b",),))])
    far = b'<row r="99999999999"><c r="A99999999999" t="inlineStr"><is><t>far</t></is></c></row></sheetData>'
    edited(path, "xl/worksheets/sheet1.xml", lambda xml: xml.replace(b"</sheetData>", far))
    with pytest.raises(Unreadable, match="rows"):
        read(path)


def bomb(path: Path) -> None:
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as parts:
        parts.writestr("xl/worksheets/sheet1.xml", b"0" * 30_000_000)


def entities(path: Path) -> None:
    """A workbook whose sheet names an entity that grows (as in the published “billion laughs”)."""
    write(path, [Table("t", ("a",), (("b",),))])
    with zipfile.ZipFile(path) as parts:
        kept = {name: parts.read(name) for name in parts.namelist()}
    kept["xl/worksheets/sheet1.xml"] = (
        b'<?xml version="1.0"?><!DOCTYPE z [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;">]><worksheet '
        b'xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData><row><c t="inlineStr">'
        b"<is><t>&b;</t></is></c></row></sheetData></worksheet>"
    )
    with zipfile.ZipFile(path, "w") as parts:
        for name, content in kept.items():
            parts.writestr(name, content)


@pytest.mark.parametrize(
    "made", [bomb, entities, lambda p: p.write_bytes(b"PK\x03\x04 not a zip"), lambda p: p.write_bytes(b"")]
)
def test_bombs_entities_and_damaged_files_are_refused_in_a_sentence(tmp_path: Path, made: object) -> None:
    path = tmp_path / "bad.xlsx"
    made(path)  # type: ignore[operator]
    with pytest.raises(Unreadable, match=r"bad\.xlsx"):
        read(path)


def test_a_file_too_large_is_not_even_opened(tmp_path: Path) -> None:
    path = tmp_path / "large.xlsx"
    with path.open("wb") as file:
        file.truncate(MOST_BYTES + 1)
    with pytest.raises(Unreadable, match="larger than"):
        read(path)
