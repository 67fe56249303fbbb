"""Tables from elsewhere: what their headers most likely mean, what was said of them, workbooks read like CSV."""

from __future__ import annotations

import re
import zipfile
from dataclasses import replace
from datetime import date
from pathlib import Path

import openpyxl
import pytest
from python_calamine import CalamineWorkbook
from typed_shop import BALLS, LANES, PADS, PEOPLE, RECIPES

from arsenal.exchange.headers import fingerprint
from arsenal.exchange.tables import Given, Known, Loaded, Renaming, dump, load
from arsenal.exchange.tables.csv_file import Sheet, parse_sheet
from arsenal.exchange.tables.renaming import guess, renamed
from arsenal.trade import Hand
from arsenal.trade.errors import KnownError
from arsenal.trade.units import POUND_KG

TODAY = date(2026, 11, 24)
CUSTOMERS = """Last Name,First Name,Telephone,E-Mail,R/L,Street,Since
Varga,Ilse,555 0101,ilse@example.org,R,Elm Street 5,2019
Penn,Oda,555 0102,,left,,2020
"""


def sheet(text: str) -> Sheet:
    found, problems = parse_sheet("theirs.csv", text)
    assert found is not None
    assert not problems
    return found


def said(renaming: Renaming) -> dict[str, str]:
    return dict(renaming.columns)


def book(path: Path, **sheets: list[list[object]]) -> Path:
    made = openpyxl.Workbook()
    made.remove(made.worksheets[0])
    for name, rows in sheets.items():
        page = made.create_sheet(name)
        for row in rows:
            page.append(row)
    made.save(path)
    return path


def test_a_list_of_customers_is_guessed_and_what_nobody_knows_is_left_in_the_file() -> None:
    found = guess(sheet(CUSTOMERS))
    assert found.table == "bowlers"
    assert said(found) == {
        "Last Name": "bowler", "First Name": "bowler", "Telephone": "phone", "E-Mail": "email", "R/L": "",
        "Street": "note", "Since": "",
    }  # fmt: skip
    assert found.left() == ("R/L", "Since")


@pytest.mark.parametrize(
    ("weights", "means"), [("15,14", "weight_lb"), ("6.8,7.2", "weight_kg"), ("7.9,8.5", "weight_lb"), ("x,y", "")]
)
def test_a_weight_without_a_unit_is_told_by_its_size_or_not_at_all(weights: str, means: str) -> None:
    rows = "\n".join(f"Blue,solid,A{i},{w}" for i, w in enumerate(weights.split(",")))
    found = guess(sheet(f"Ball,Coverstock,Serial No,Weight\n{rows}\n"))
    assert found.table == "balls"
    assert said(found) == {"Ball": "ball", "Coverstock": "cover", "Serial No": "serial", "Weight": means}


def loaded(path: Path, renaming: Renaming | None = None, known: Known | None = None) -> Loaded:
    said_of = {} if renaming is None else {fingerprint([theirs for theirs, _ in renaming.columns]): renaming}
    return load([path], today=TODAY, known=known, given=Given(said_of))


def test_a_first_and_a_last_name_come_together_as_people_say_them(tmp_path: Path) -> None:
    path = tmp_path / "c.csv"
    path.write_text(CUSTOMERS)
    headers = CUSTOMERS.splitlines()[0].split(",")
    renaming = Renaming.of("bowlers", headers, {"first name": "bowler", "LAST NAME": "bowler", "R/L": "hand",
                                                "Telephone": "phone"})  # fmt: skip
    found = loaded(path, renaming)
    assert [(p.name, p.phone, p.hand) for p in found.people] == [
        ("Ilse Varga", "555 0101", Hand.RIGHT), ("Oda Penn", "555 0102", Hand.LEFT),
    ]  # fmt: skip
    assert found.left == ("E-Mail", "Street", "Since")


def test_a_bad_cell_is_told_by_the_header_of_the_file_itself(tmp_path: Path) -> None:
    path = tmp_path / "c.csv"
    path.write_text("Who,Which hand\nIlse,middle\n")
    renaming = Renaming("bowlers", (("Who", "bowler"), ("Which hand", "hand")))
    (problem,) = loaded(path, renaming).problems
    assert (problem.row, problem.field, problem.value) == (2, "Which hand", "middle")


@pytest.mark.parametrize(
    ("columns", "says"),
    [
        ((("Who", "phone"), ("Which hand", "hand")), "“bowler”, which a table of bowlers needs"),
        ((("Who", "bowler"), ("Which hand", "serial")), "no column “serial”"),
        ((("Who", "hand"), ("Which hand", "hand")), "Two headers stand for the hand"),
        ((("Name", "bowler"), ("Which hand", "hand")), "other headers"),
    ],
)
def test_a_mapping_that_cannot_be_is_refused_by_its_reason(columns: tuple[tuple[str, str], ...], says: str) -> None:
    with pytest.raises(KnownError, match=says):
        renamed(sheet("Who,Which hand\nIlse,left\n"), Renaming("bowlers", columns))


def test_a_workbook_comes_in_like_csv_with_the_rows_of_its_sheets(tmp_path: Path) -> None:
    path = book(
        tmp_path / "shop.xlsx",
        people=[["bowler", "hand"], ["Ilse Varga", "left"], [], ["Oda Penn", "sideways"]],
        things=[[None], ["ball", "cover", "bowler", "weight (lb)", "bought"],
                ["Blue", "solid", "Ilse Varga", 14.5, date(2025, 2, 28)], ["Red", "solid", "Nobody", 15, None]],
    )  # fmt: skip
    found = loaded(path)
    (blue,) = found.balls
    assert (blue.mass_kg, blue.bought_on) == (pytest.approx(14.5 * POUND_KG), date(2025, 2, 28))
    assert [(p.file, p.row, p.field) for p in found.problems] == [
        ("shop.xlsx, people", 4, "hand"), ("shop.xlsx, things", 4, "bowler"),
    ]  # fmt: skip


def test_a_workbook_that_is_none_is_told_and_nothing_is_raised(tmp_path: Path) -> None:
    path = tmp_path / "shop.xlsx"
    path.write_bytes(b"PK\x03\x04 not a workbook")
    (problem,) = loaded(path).problems
    assert "damaged or no workbook" in problem.reason
    path.write_text("bowler,hand\nIlse,left\n")
    assert "damaged or no workbook" in loaded(path).problems[0].reason


def test_a_cell_that_is_a_formula_comes_in_as_what_it_last_came_to_and_never_runs(tmp_path: Path) -> None:
    """Written with its cached value as ECMA-376 has it (`f` beside `v`); one without a value is told and kept out."""
    rows = [["bowler", "games_a_week", "note"], ["Ilse", "=1+1", ""], ["Ane", 3, "=1+2"]]
    path = book(tmp_path / "f.xlsx", people=rows)
    with zipfile.ZipFile(path) as parts:
        kept = {name: parts.read(name) for name in parts.namelist()}
    sheet_ = kept["xl/worksheets/sheet1.xml"]
    assert b"<f>1+1</f><v" in sheet_
    kept["xl/worksheets/sheet1.xml"] = re.sub(rb"<f>1\+1</f><v ?/>", b"<f>1+1</f><v>5</v>", sheet_)
    with zipfile.ZipFile(path, "w") as parts:
        for name, content in kept.items():
            parts.writestr(name, content)
    found = loaded(path)
    assert [(one.name, one.games_a_week) for one in found.people] == [("Ilse", 5.0)]
    assert [(p.row, p.field) for p in found.problems] == [(3, "note")]
    assert "never worked out" in found.problems[0].reason


def test_a_dumped_workbook_loads_as_the_same_and_an_independent_reader_finds_no_formula(tmp_path: Path) -> None:
    path = tmp_path / "shop.xlsx"
    dump(tmp_path, PEOPLE, BALLS, LANES, PADS, (), RECIPES, book=path)
    pages = CalamineWorkbook.from_path(path)
    assert pages.sheet_names == ["bowlers", "balls", "lanes", "pads", "log", "recipes"]
    recipes = pages.get_sheet_by_name("recipes").to_python()
    assert recipes[2][0] == "=SUM(shine)"
    by_csv = load([tmp_path], today=TODAY)
    by_book = loaded(path)
    assert not by_book.problems
    assert by_book == by_csv
    assert [r.name for r in by_book.recipes] == [r.name for r in RECIPES]


@pytest.mark.parametrize("text", ["=1+1", "'=1", "''=1", "+1", "-1", "@a", "'tis", "O'Neil", "<b>&", "\u202eabc"])
def test_hostile_text_goes_out_and_comes_back_as_it_was_either_way(tmp_path: Path, text: str) -> None:
    people = (replace(PEOPLE[0], note=text), *PEOPLE[1:])
    path = tmp_path / "shop.xlsx"
    dump(tmp_path, people, BALLS, LANES, PADS, (), book=path)
    assert loaded(path).people[0].note == text
    assert load([tmp_path / "bowlers.csv"], today=TODAY).people[0].note == text
    raw = (tmp_path / "bowlers.csv").read_text("utf-8-sig")
    assert not any(cell[:1] in "=+-@" for line in raw.splitlines() for cell in line.split(",") if cell)


def test_a_workbook_of_odd_cells_is_read_cell_by_cell(tmp_path: Path) -> None:
    """Error values, booleans and numbers as ECMA-376 has them (cell types e, b, n)."""
    rows: list[list[object]] = [
        ["bowler", "minor", "games_a_week", "note"], ["A", True, 4, "x" * 3000], ["B", False, "#DIV/0!", None],
        ["C", "maybe", 5, "a\nb"], [7, None, 6.5, "\u202eabc & <b>"],
    ]  # fmt: skip
    found = loaded(book(tmp_path / "odd.xlsx", people=rows))
    assert [(p.name, p.minor, p.games_a_week) for p in found.people] == [("A", True, 4.0), ("7", False, 6.5)]
    assert [(p.row, p.field, p.value) for p in found.problems] == [
        (3, "games_a_week", "#DIV/0!"), (4, "minor", "maybe"),
    ]  # fmt: skip
    assert found.people[1].note == "\u202eabc & <b>"


@pytest.mark.parametrize(
    "raw",
    [
        b"bowler,hand\r\n",  # a header and nothing else
        b"bowler,hand",  # without its line break
        b"\xef\xbb\xbfbowler;hand\r\n",  # with a mark and semicolons
        b"bowler\thand\r\n\t\r\n",  # and an empty record
    ],
)
def test_a_header_alone_is_a_table_with_nothing_in_it(tmp_path: Path, raw: bytes) -> None:
    path = tmp_path / "c.csv"
    path.write_bytes(raw)
    assert loaded(path) == Loaded()


def test_quotes_commas_and_line_breaks_in_a_cell_come_in_as_they_are(tmp_path: Path) -> None:
    """RFC 4180 section 2, rules 5 to 7."""
    path = tmp_path / "c.csv"
    path.write_bytes(b'bowler,hand,note\r\n"Varga, Ilse",,"said ""soon"",\r\nthen left"\r\nOda,left,\r\n')
    found = loaded(path)
    assert [(p.name, p.note) for p in found.people] == [("Varga, Ilse", 'said "soon",\r\nthen left'), ("Oda", "")]


@pytest.mark.parametrize(
    ("name", "says"),
    [("x" * 81, "81 letters long; 80"), ("x" * 10_000, "10000 letters long"), ("a\tb", "cannot be shown")],
)
def test_a_name_nobody_could_keep_by_hand_does_not_come_in_by_a_table_either(
    tmp_path: Path, name: str, says: str
) -> None:
    path = book(tmp_path / "n.xlsx", people=[["bowler", "phone"], [name, "1"], ["Oda", "2"]])
    found = loaded(path)
    assert [p.name for p in found.people] == ["Oda"]
    assert says in found.problems[0].reason


@pytest.mark.parametrize("name", ["<b>Ilse</b> & Co", "\u202eesrever", "=1+1", "O'Neil", "Ilse Ünal 🎳"])
def test_a_hostile_name_comes_in_as_it_is_written(tmp_path: Path, name: str) -> None:
    path = book(tmp_path / "n.xlsx", people=[["bowler", "phone"], [name, "1"]])
    if name.startswith("="):  # openpyxl would write a formula
        path = tmp_path / "n.csv"
        path.write_text(f"bowler,phone\n{name},1\n", "utf-8")
    assert [p.name for p in loaded(path).people] == [name]
