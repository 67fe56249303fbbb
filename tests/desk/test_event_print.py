"""Prep sheet, registration sheet and bag cards: one page each, what they say, boxes to tick, a hostile name."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import event_plan
import pytest
from event_desk import Desk
from pdf_told import poppler, words_of
from PySide6.QtCore import QLocale, Qt
from PySide6.QtGui import QPageSize, QPainter, QPicture
from PySide6.QtTest import QTest

from arsenal.acts.event_views import PrepPart
from arsenal.desk import print_page
from arsenal.desk.event import preview, print_sheets, print_stages
from arsenal.desk.event.preview import PaperDialog

A4_PT, LETTER_PT = (595, 842), (612, 792)
"""Sizes of a page in points: ISO 216 A4 is 210 × 297 mm; ANSI/ASME Y14.1 letter is 8.5 × 11 in."""


@pytest.fixture
def german() -> Iterator[None]:
    before = QLocale()
    QLocale.setDefault(QLocale(QLocale.Language.German, QLocale.Country.Germany))
    yield
    QLocale.setDefault(before)


@pytest.fixture
def american() -> Iterator[None]:
    before = QLocale()
    QLocale.setDefault(QLocale(QLocale.Language.English, QLocale.Country.UnitedStates))
    yield
    QLocale.setDefault(before)


@pytest.fixture
def desk(qtbot, settings, monkeypatch) -> Iterator[Desk]:
    made = Desk(qtbot, settings, monkeypatch)
    yield made
    made.close()


def sizes_of(path: Path) -> list[tuple[int, int]]:
    told = poppler("pdfinfo", "-l", "99", str(path))
    rows = [line.split(":", 1)[1].split() for line in told.splitlines() if " size:" in line and line.startswith("Page")]
    return [(round(float(row[0])), round(float(row[2]))) for row in rows]


def test_the_sheets_are_one_page_each_and_say_what_is_to_be_done(german, tmp_path: Path) -> None:
    pages = words_of(print_sheets.write_pdf(tmp_path / "sheets.pdf", event_plan.plan()))
    assert len(pages) == 2
    prep, registration = pages
    for said in ("Prep sheet", "By Fri 27 Nov, 21:00", "1000 s, from 500 h", "5 min", "last pad: dry towel only",
                 "ban from the first bowler’s first ball", "mask and glasses", "48 and 35 lb of 50 lb"):  # fmt: skip
        assert said in prep
    for said in ("Registration sheet", "7KQ4411", "15 lb 1 oz", "76 D", "Thu 26 Nov, 23 °C", "serial is not known"):
        assert said in registration


def test_the_registration_sheet_says_once_who_decides(german, tmp_path: Path) -> None:
    plan = event_plan.plan()
    notes = ("Advice only: the rule book in force and the tournament director decide.",)
    plan = replace(plan, registration=replace(plan.registration, notes=notes))
    registration = words_of(print_sheets.write_pdf(tmp_path / "sheets.pdf", plan))[1]
    assert registration.count("tournament director") == 1
    assert "Read on, at °C" in registration


@pytest.mark.parametrize(("place", "size"), [("german", A4_PT), ("american", LETTER_PT)])
def test_the_page_is_the_one_that_is_usual_here(request, tmp_path: Path, place: str, size) -> None:
    request.getfixturevalue(place)
    path = print_sheets.write_pdf(tmp_path / "sheets.pdf", event_plan.plan())
    assert sizes_of(path) == [size, size]


def test_a_card_for_each_stage_says_its_best_ball_first_and_what_comes_then(tmp_path: Path) -> None:
    plan = event_plan.plan()
    pages = words_of(print_stages.write_pdf(tmp_path / "cards.pdf", plan, plan.cards))
    assert len(pages) == len(plan.stages)
    drying = pages[1]
    assert drying.index("Slow Lantern") < drying.index("Quarry Song")
    assert "1½ in, 1½ out" in drying
    assert "after shot 110: moved in, Paper Moth" in drying


def test_a_card_ends_with_the_ban_in_one_whole_sentence(tmp_path: Path) -> None:
    plan = event_plan.plan()
    (name, rule), *others = plan.prep.facts
    long = f"{rule}. Their sheet: {'surfaces are final once the first ball of the squad is thrown ' * 2}"
    plan = replace(plan, prep=replace(plan.prep, facts=((name, long), *others)))
    page = words_of(print_stages.write_pdf(tmp_path / "cards.pdf", plan, plan.cards[:1]))[0]
    assert rule[1:] in page
    assert "…" not in page
    assert "Their sheet" not in page


def test_ticked_lines_have_a_ticked_box_and_times_none(qapp) -> None:
    class Boxes(print_sheets.SheetPainter):
        drawn: list[bool]

        def box(self, x: float, base: float, side: float, *, ticked: bool = False) -> None:
            self.drawn.append(ticked)
            super().box(x, base, side, ticked=ticked)

    picture = QPicture()
    painter = QPainter(picture)
    sheet = Boxes(painter, event_plan.plan(), QPageSize(QPageSize.PageSizeId.A4).size(QPageSize.Unit.Millimeter))
    sheet.drawn = []
    sheet.draw(print_sheets.PREP)
    painter.end()
    lines = [line for part in event_plan.plan().prep.parts for line in part.lines]
    assert len(sheet.drawn) == sum(line.can_tick for line in lines)
    assert sum(sheet.drawn) == 2


def many(times: int) -> event_plan.EventPlan:
    plan = event_plan.plan()
    lines = plan.prep.parts[0].lines * times
    return replace(plan, prep=replace(plan.prep, parts=(PrepPart("By Fri 27 Nov, 21:00", lines), plan.prep.parts[1])))


def test_forty_lines_still_stand_on_one_page(german, tmp_path: Path) -> None:
    pages = words_of(print_sheets.write_pdf(tmp_path / "sheets.pdf", many(8)))
    assert len(pages) == 2
    assert pages[0].count("1000 s, from 500 h") == 8
    assert "mask and glasses" in pages[0]
    assert "more lines" not in pages[0]


def test_a_long_line_goes_on_below_instead_of_being_cut(german, tmp_path: Path) -> None:
    plan = event_plan.plan()
    long = replace(
        plan.prep.parts[0].lines[0], what="sand wet, the whole ball, one grain after the other, " * 4 + "end"
    )
    part = PrepPart("By Fri 27 Nov, 21:00", (long,))
    pages = words_of(print_sheets.write_pdf(tmp_path / "s.pdf", replace(plan, prep=replace(plan.prep, parts=(part,)))))
    assert pages[0].count("the whole ball") == 4
    assert "other, end" in " ".join(pages[0].split())


def test_what_does_not_fit_a_page_is_counted_at_its_foot(german, tmp_path: Path) -> None:
    pages = words_of(print_sheets.write_pdf(tmp_path / "sheets.pdf", many(30)))
    assert len(pages) == 2
    shown = sum(pages[0].count(what) for what in ("1000 s, from 500 h", "clean, inspect bridge", "serials and weights",
                                                  "clean, leave 500/2000 m", "out of the car", "registration closes",
                                                  "practice, 8 shots", "last pad", "first scored ball", "re-oiled, 25",
                                                  "clean all used"))  # fmt: skip
    left = 30 * 4 + 7 - shown
    assert left > 0
    assert f"{left} more lines stand on the screen." in pages[0]


def test_a_name_like_markup_is_printed_as_it_was_typed(german, tmp_path: Path) -> None:
    plan = event_plan.plan(event_plan.HOSTILE)
    pages = words_of(print_sheets.write_pdf(tmp_path / "sheets.pdf", plan))
    assert "<b>Autumn</b> & <img" in pages[0]
    cards = words_of(print_stages.write_pdf(tmp_path / "cards.pdf", plan, plan.cards))
    assert "<b>Autumn</b> & <img" in cards[0]


def test_p_shows_the_sheets_and_the_arrows_turn_the_page(desk: Desk) -> None:
    desk.letter(Qt.Key.Key_P)
    dialog = desk.dialog(PaperDialog)
    assert [page.name for page in dialog.paper.pages] == ["Prep sheet", "Registration sheet"]
    assert "Umber Kestrel, 1000 s, from 500 h, 5 min, done" in dialog.preview.accessibleName()
    QTest.keyClick(dialog, Qt.Key.Key_Right)
    assert "7KQ4411" in dialog.preview.accessibleName()
    assert dialog.page.word() == "Registration sheet"
    QTest.keyClick(dialog, Qt.Key.Key_Left)
    assert dialog.page.word() == "Prep sheet"
    dialog.reject()


def test_b_shows_a_card_for_each_stage_and_a_folder_that_is_not_there_is_said(desk: Desk, tmp_path: Path) -> None:
    desk.letter(Qt.Key.Key_B)
    dialog = desk.dialog(PaperDialog)
    assert [page.name for page in dialog.paper.pages][-1] == "Carrydown"
    dialog.write_pdf(tmp_path / "no such folder" / "cards.pdf")
    assert dialog.trouble.text()
    dialog.write_pdf(tmp_path / "cards.pdf")
    assert (tmp_path / "cards.pdf").read_bytes().startswith(b"%PDF")
    desk.settle()
    assert "the bag cards of Autumn singles" in desk.window.foot.sentence.whole()


def test_a_plan_without_stages_prints_no_cards_and_says_why(desk: Desk) -> None:
    desk.show(cards=())
    desk.letter(Qt.Key.Key_B)
    assert "no stage to print" in desk.window.foot.sentence.whole()


def test_the_preview_is_drawn_by_the_hand_that_prints(desk: Desk, qapp, monkeypatch) -> None:
    drawn: list[str] = []
    real = print_sheets.draw
    monkeypatch.setattr(print_sheets, "draw", lambda *a, **k: drawn.append(a[2]) or real(*a, **k))
    paper = preview.sheets(desk.plan)
    page = preview.Preview(paper)
    page.grab()
    paper.write(Path(desk.window.shared.settings.path).with_name("sheets.pdf"))
    assert drawn == [print_sheets.PREP, print_sheets.PREP, print_sheets.REGISTRATION]
    assert print_page.sheet_layout().pageSize().id() in (QPageSize.PageSizeId.A4, QPageSize.PageSizeId.Letter)
