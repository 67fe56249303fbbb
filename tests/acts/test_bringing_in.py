"""Foreign tables in: mapped by hand once, previewed, asked about, kept in one act, bad rows written down."""

from __future__ import annotations

import csv
from dataclasses import replace
from pathlib import Path

import openpyxl
import pytest
from made_shop import opened

from arsenal.acts import bring_in, files, reading, undo
from arsenal.acts.bring_in import Answer, Answers, Renaming, Rest
from arsenal.acts.shop import Shop
from arsenal.desk.worker import Stopped
from arsenal.ledger import verify_file
from arsenal.trade.errors import KnownError

CUSTOMERS = "Customer Name,Phone No,Which hand,Since\nIlse Varga,555 0101,left,2019\nOda Penn,555 0102,neither,2020\n"
SAID = {"Customer Name": "bowler", "Phone No": "phone", "Which hand": "hand"}


@pytest.fixture
def customers(tmp_path: Path) -> Path:
    path = tmp_path / "customers.csv"
    path.write_text(CUSTOMERS, "utf-8")
    return path


def mapped(shop: Shop, path: Path) -> dict[str, Renaming]:
    (head,) = bring_in.head(shop, path)
    return {head.fingerprint: Renaming.of("bowlers", head.headers, SAID)}


def test_the_headers_of_a_foreign_table_are_shown_with_a_guess_to_be_looked_at(shop: Shop, customers: Path) -> None:
    (head,) = bring_in.head(shop, customers)
    assert not head.sure
    assert (head.rows, head.first_rows[0][0]) == (2, "Ilse Varga")
    assert dict(head.renaming.columns)["Customer Name"] == "bowler"
    assert dict(head.renaming.columns)["Since"] == ""


def test_a_table_of_our_own_needs_no_mapping(shop: Shop, tmp_path: Path) -> None:
    files.dump(shop, tmp_path / "out", xlsx=True)
    for name in ("balls.csv", "bowlers.csv", "shop.xlsx"):
        assert all(head.sure for head in bring_in.head(shop, tmp_path / "out" / name)), name


def test_a_mapping_said_once_is_remembered_with_what_it_brought_in(shop: Shop, customers: Path) -> None:
    report = bring_in.load(shop, [customers], mapped(shop, customers), keep_good=True)
    assert (report.kept, report.people, report.left) == (True, 1, ("Since",))
    customers.write_text(CUSTOMERS.replace("neither", "right"), "utf-8")
    (head,) = bring_in.head(shop, customers)
    assert head.sure
    again = bring_in.load(shop, [customers])
    assert (again.kept, again.people, again.known) == (True, 1, 1)
    bring_in.forget(shop, head.fingerprint)
    assert not bring_in.head(shop, customers)[0].sure


def test_one_undo_takes_the_customers_and_the_mapping_back(shop: Shop, customers: Path) -> None:
    bring_in.load(shop, [customers], mapped(shop, customers), keep_good=True)
    undo.undo(shop)
    assert "Ilse Varga" not in [p.name for p in shop.people()]
    assert not bring_in.head(shop, customers)[0].sure


def test_rows_that_did_not_come_in_are_written_beside_with_what_stands_in_them(
    shop: Shop, customers: Path, tmp_path: Path
) -> None:
    customers.write_text(CUSTOMERS.replace("neither", "=HYPERLINK(1)"), "utf-8")
    report = bring_in.preview(shop, [customers], mapped(shop, customers))
    bring_in.write_errors(report, tmp_path / "errors.csv")
    with (tmp_path / "errors.csv").open(newline="", encoding="utf-8-sig") as file:
        header, row = csv.reader(file)
    assert header == ["file", "row", "field", "value", "reason"]
    assert row[:3] == ["customers.csv", "3", "Which hand"]
    assert row[3] == "'=HYPERLINK(1)"  # no spreadsheet computes it
    assert "must be one of right, left" in row[4]


def test_an_open_question_stops_all_of_it_and_an_answer_lets_it_go_on(shop: Shop, tmp_path: Path) -> None:
    path, before = tmp_path / "b.csv", shop.revision
    path.write_text("bowler,phone\nMirel Oster,555 0101\nOda Penn,555 0102\n")
    report = bring_in.load(shop, [path])
    assert not report.kept
    assert shop.revision == before
    (question,) = report.questions
    assert "Mirel Oster is here already" in question.sentence
    assert "--alike" in bring_in.said(report)
    same = Answers({(question.file, question.row): Answer(question.candidates[0].key)})
    report = bring_in.load(shop, [path], answers=same)
    assert report.kept
    assert reading.bowler_named(shop, "mirel").phone == "555 0101"
    assert len(shop.people()) == 3


def test_another_one_of_the_same_name_is_told_apart(shop: Shop, tmp_path: Path) -> None:
    path = tmp_path / "b.csv"
    path.write_text("bowler,phone\nMirel Oster,555 0101\n")
    assert bring_in.load(shop, [path], answers=Answers(rest=Rest.ANOTHER)).kept
    assert [p.name for p in shop.people() if "Mirel" in p.name] == ["Mirel Oster", "Mirel Oster (0101)"]


def test_a_doubled_serial_is_asked_about_and_the_same_ball_gets_what_it_lacked(shop: Shop, tmp_path: Path) -> None:
    ball = replace(shop.ball(1), serial="7K20418")
    with shop.ledger.act("serial") as act:
        act.put(ball)
    path = tmp_path / "b.csv"
    path.write_text("ball,cover,bowler,serial,colour\nRook,urethane,Mirel Oster,7K-20418,black\n")
    assert bring_in.preview(shop, [path]).questions[0].kind == "ball"
    report = bring_in.load(shop, [path], answers=Answers(rest=Rest.SAME))
    assert report.kept
    assert (shop.ball(1).colour, len(shop.balls())) == ("black", 5)


def test_a_whole_shop_comes_in_from_its_workbook(shop: Shop, empty: Shop, tmp_path: Path) -> None:
    files.dump(shop, tmp_path / "out", xlsx=True)
    assert bring_in.load(empty, [tmp_path / "out" / "shop.xlsx"]).kept
    assert [b.name for b in empty.balls()] == [b.name for b in shop.balls()]
    assert len(empty.ledger.entries()) == len(shop.ledger.entries())


def test_progress_is_told_and_a_load_that_is_stopped_leaves_nothing(shop: Shop, tmp_path: Path) -> None:
    path, shares, before = tmp_path / "b.csv", list[float](), shop.revision
    path.write_text("bowler,phone\n" + "".join(f"Somebody {n},555 {n}\n" for n in range(1000)))
    assert bring_in.preview(shop, [path], tell=shares.append).people == 1000
    assert shares == sorted(shares)
    assert len(shares) > 4

    def stop(share: float) -> None:
        if share > 0.4:
            raise Stopped

    with pytest.raises(Stopped):
        bring_in.load(shop, [path], tell=stop)
    assert shop.revision == before


def test_a_large_load_is_backed_up_first_and_the_backup_is_sound(shop: Shop, tmp_path: Path) -> None:
    path = tmp_path / "b.csv"
    path.write_text("bowler,phone\n" + "".join(f"Somebody {n},555 {n}\n" for n in range(50)))
    report = bring_in.load(shop, [path])
    assert verify_file(Path(report.backup)).ok
    with opened(Path(report.backup), shop.clock) as before:  # type: ignore[arg-type]
        assert len(before.people()) == 2


def test_a_file_that_is_no_table_at_all_has_no_headers_to_map(shop: Shop, tmp_path: Path) -> None:
    path = tmp_path / "odd.xlsx"
    path.write_bytes(b"PK\x03\x04 nothing")
    with pytest.raises(KnownError, match="damaged"):
        bring_in.head(shop, path)


def test_every_sheet_of_a_workbook_is_mapped_by_itself(shop: Shop, tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    page = book.active
    assert page is not None
    page.title = "people"
    for row in (["Customer", "Tel"], ["Ilse Varga", "555 0101"]):
        page.append(row)
    page = book.create_sheet("their balls")
    for row in (["Customer", "Ball", "Coverstock"], ["Ilse Varga", "Blue", "Solid reactive"]):
        page.append(row)
    book.save(tmp_path / "shop.xlsx")
    heads = bring_in.head(shop, tmp_path / "shop.xlsx")
    assert [(h.file, h.renaming.table, h.sure) for h in heads] == [
        ("shop.xlsx, people", "bowlers", False), ("shop.xlsx, their balls", "balls", False),
    ]  # fmt: skip
    report = bring_in.load(shop, [tmp_path / "shop.xlsx"], {h.fingerprint: h.renaming for h in heads})
    assert (report.kept, report.people, report.balls) == (True, 1, 1)


def test_a_load_stopped_while_it_is_written_leaves_nothing_behind(shop: Shop, tmp_path: Path) -> None:
    path = tmp_path / "bowlers.csv"
    path.write_text("bowler,phone\n" + "".join(f"Somebody {n},555 {n}\n" for n in range(3000)), "utf-8")
    before, revision, shares = len(shop.people()), shop.revision, list[float]()

    def stop(share: float) -> None:
        shares.append(share)
        if share > bring_in.WRITING + 0.2:
            raise Stopped

    with pytest.raises(Stopped):
        bring_in.load(shop, [path], tell=stop)
    assert shares == sorted(shares)
    assert (len(shop.people()), shop.revision) == (before, revision)
    assert shop.ledger.verify().ok
    assert bring_in.load(shop, [path]).people == 3000
