"""Headers of foreign tables said in words of a line: what is not said is as guessed, what is wrong is told."""

from __future__ import annotations

from pathlib import Path

import openpyxl
import pytest

from arsenal.acts import bring_in, files, headers_said
from arsenal.acts.shop import Shop
from arsenal.trade.errors import KnownError

CUSTOMERS = "Customer Name,Tel,Shoe size,Remarks\nIlse Varga,555 0101,42,tall\nOda Penn,555 0102,39,\n"


@pytest.fixture
def customers(tmp_path: Path) -> Path:
    path = tmp_path / "customers.csv"
    path.write_text(CUSTOMERS, "utf-8")
    return path


def said(shop: Shop, path: Path, table: str, *pairs: str) -> dict[str, bring_in.Renaming]:
    return headers_said.renamings(bring_in.head(shop, path), table, [headers_said.pair(text) for text in pairs])


def test_what_is_not_said_is_read_as_guessed(shop: Shop, customers: Path) -> None:
    (renaming,) = said(shop, customers, "bowlers", "Tel=phone", "Shoe size=").values()
    assert dict(renaming.columns) == {
        "Customer Name": "bowler", "Tel": "phone", "Shoe size": "", "Remarks": "note",
    }  # fmt: skip


def test_a_column_said_of_one_header_is_taken_from_the_guess_unless_both_make_one_text(
    shop: Shop, customers: Path
) -> None:
    (both,) = said(shop, customers, "", "Shoe size=note").values()
    assert [ours for _, ours in both.columns] == ["bowler", "phone", "note", "note"]
    customers.write_text("Client,Hand,Bowls with\nIlse Varga,L,right\n", "utf-8")
    assert [ours for _, ours in bring_in.head(shop, customers)[0].renaming.columns] == ["bowler", "hand", ""]
    (other,) = said(shop, customers, "", "bowls  WITH=hand").values()
    assert [ours for _, ours in other.columns] == ["bowler", "", "hand"]


def test_what_was_said_is_remembered_with_the_load(shop: Shop, customers: Path) -> None:
    report = bring_in.load(shop, [customers], said(shop, customers, "bowlers"))
    assert (report.kept, report.people, report.left) == (True, 2, ("Shoe size",))
    assert bring_in.head(shop, customers)[0].sure
    assert not headers_said.renamings(bring_in.head(shop, customers), "", [])


def test_only_sheets_nobody_has_said_it_of_are_meant(shop: Shop, tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    book.worksheets[0].append(["bowler", "hand"])
    other = book.create_sheet("theirs")
    other.append(["Client", "Cell"])
    other.append(["Ilse Varga", "555 0101"])
    book.save(tmp_path / "both.xlsx")
    heads = bring_in.head(shop, tmp_path / "both.xlsx")
    found = headers_said.renamings(heads, "bowlers", [])
    assert list(found) == [head.fingerprint for head in heads if head.file.endswith("theirs")]


@pytest.mark.parametrize(
    ("table", "pairs", "reason"),
    [
        ("people", (), "no table"),
        ("bowlers", ("Fax=phone",), "no header “Fax”. Nothing was changed. The file has: Customer Name, Tel"),
        ("bowlers", ("Tel",), "does not say"),
        ("bowlers", ("=phone",), "does not say"),
    ],
)
def test_what_cannot_be_meant_is_told(
    shop: Shop, customers: Path, table: str, pairs: tuple[str, ...], reason: str
) -> None:
    with pytest.raises(KnownError) as told:
        said(shop, customers, table, *pairs)
    assert reason in str(told.value)


def test_a_header_may_hold_the_sign_itself() -> None:
    assert headers_said.pair("a=b = Usual Lane") == ("a=b", "usual_lane")


def test_what_is_wrong_is_counted_as_what_it_is(shop: Shop, tmp_path: Path) -> None:
    empty, none = tmp_path / "empty.csv", tmp_path / "none.csv"
    empty.write_text("")
    none.write_text("bowler,hand\n")
    told = files.said(files.load(shop, [empty]))
    assert told.startswith("Nothing was loaded: 1 table that cannot be read. Mend the file.")
    assert files.said(files.load(shop, [none])) == "Nothing was loaded: there is no row below the headers."


def test_of_many_bad_rows_the_first_are_told_and_where_all_of_them_are(shop: Shop, tmp_path: Path) -> None:
    bad = tmp_path / "bad.csv"
    bad.write_text("bowler,hand\n" + "".join(f"Nobody {n},neither\n" for n in range(900)))
    told = files.said(files.load(shop, [bad])).splitlines()
    assert told[0].startswith("Nothing was loaded: 900 bad rows.")
    assert len(told) == 202
    assert told[-1].startswith("… and 700 more; --errors")
