"""Tickets and labels on paper, as other programs read them: poppler the words and sizes, zxing-cpp the codes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import counter_paper
import numpy as np
import pytest
import zxingcpp
from pdf_told import poppler, sizes_of, words_of
from PySide6.QtCore import QLocale
from PySide6.QtGui import QColor, QImage, QPainter

from arsenal.acts.labels import Label
from arsenal.desk import print_label, print_ticket
from arsenal.desk.counter_prints import ink, label_paper
from arsenal.desk.counter_prints.stocks import BY_NAME, STOCKS, Stock
from arsenal.desk.print_label import Wish
from arsenal.trade.code import Code, Names
from arsenal.trade.ticket import Job, TakenIn, Work

POINTS = {"A5": (420, 595), "A6": (298, 420), "half letter": (396, 612), "quarter letter": (306, 396)}
"""Sizes in points of 1/72 in: ISO 216 A5 is 148 × 210 mm, A6 105 × 148 mm; letter is 8½ × 11 in (ANSI/ASME Y14.1)."""
BALL = Code(Names.BALL, "7K2M", 12345).text
LABELS = (
    Label(1243, "Paper Moth", "Ilse Varga", BALL, "7K20977", counter_paper.PROMISED, 1, 2),
    Label(1243, "Gate Nine", "Ilse Varga", counter_paper.CODE, "", counter_paper.PROMISED, 2, 2),
)
LONG = Label(
    123456789, "Quarry Song of the very long and winding name " * 4, "Maximiliane Theodora of the Long House " * 4,
    BALL, "7K20977-AB-99812-XX", counter_paper.PROMISED, 11, 12,
)  # fmt: skip


def codes_of(path: Path, dpi: int, folder: Path) -> list[list[str]]:
    """What zxing-cpp reads on each page, as poppler paints it at so many dots an inch, in grey."""
    poppler("pdftoppm", "-r", str(dpi), "-gray", str(path), str(folder / f"page-{dpi}"))
    pages = sorted(folder.glob(f"page-{dpi}-*.pgm"))
    return [sorted(each.text for each in zxingcpp.read_barcodes(array_of(QImage(str(page))))) for page in pages]


def array_of(image: QImage) -> np.ndarray:
    grey = image.convertToFormat(QImage.Format.Format_Grayscale8)
    flat = np.frombuffer(grey.constBits(), np.uint8).reshape(grey.height(), grey.bytesPerLine())
    return flat[:, : grey.width()].copy()


def drawn(label: Label, stock: Stock, dpi: int, *, one_bit: bool = False) -> QImage:
    """A label as a printer of so many dots an inch sets them."""
    dots = dpi / 25.4
    image = QImage(round(stock.wide * dots), round(stock.high * dots), QImage.Format.Format_RGB32)
    image.fill(QColor("#FFFFFF"))
    painter = QPainter(image)
    print_label.paper_of([label], Wish(stock), counter_paper.ZONE).pages[0].draw(painter, dots)
    painter.end()
    return image.convertToFormat(QImage.Format.Format_Mono) if one_bit else image


# tickets


def test_a_ticket_says_everything_the_bench_and_the_customer_need(qapp, tmp_path: Path) -> None:
    path = print_ticket.write_pdf(tmp_path / "t.pdf", counter_paper.view(), counter_paper.NOW, "A5")
    (page,) = words_of(path)
    for said in (
        "No 1243", "Ilse Varga", "555 0117", "In Tue 24 Nov, 17:12", "Promised Thu 26 Nov, 12:00", "Paper Moth",
        "7K20977", "blue one, crack by thumb", "no serial: worn, not readable", "found 500/2000 m, Ra 15 ± 2 μin",
        "Crack near the thumb, 14 mm", "500/2000 m, as last time", "14 min", "24.00", "Before heat:",
        "inserts and slugs out", "plugs and cracks checked", "reading after", "2 photographs; wants it dull", "76 min",
        "104.00", "Deposit", "10.00", "To pay", "94.00", "Initials KR", "call before the bath",
    ):  # fmt: skip
        assert said in page
    stub = page[page.rindex("No 1243") :]
    for said in ("Promised Thu 26 Nov, 12:00", "2 balls: Paper Moth, blue one, crack by thumb", "To pay 94.00"):
        assert said in stub
    assert "555 0117" not in stub


def test_a_deposit_over_the_price_is_told_as_money_to_give_back(qapp, tmp_path: Path) -> None:
    plain = counter_paper.view((TakenIn(words="blue one", jobs=(Job("Clean", Work.CLEAN, 300, 4.0),)),))
    path = print_ticket.write_pdf(tmp_path / "t.pdf", plain, counter_paper.NOW, "A5")
    (page,) = words_of(path)
    assert "To pay" not in page
    assert page.count("To give back") == 2
    assert page.count("7.00") == 2


@pytest.mark.parametrize("paper", list(POINTS))
def test_the_page_has_the_size_that_was_chosen(qapp, tmp_path: Path, paper: str) -> None:
    path = print_ticket.write_pdf(tmp_path / "t.pdf", counter_paper.view(), counter_paper.NOW, paper)
    for wide, high in sizes_of(path):
        assert wide == pytest.approx(POINTS[paper][0], abs=1.0)
        assert high == pytest.approx(POINTS[paper][1], abs=1.0)


@pytest.mark.parametrize("paper", list(POINTS))
@pytest.mark.parametrize("dpi", [203, 300])
def test_the_code_of_the_tear_off_is_read_by_another_decoder(qapp, tmp_path: Path, paper: str, dpi: int) -> None:
    path = print_ticket.write_pdf(tmp_path / "t.pdf", counter_paper.view(), counter_paper.NOW, paper)
    assert [code for page in codes_of(path, dpi, tmp_path) for code in page] == [counter_paper.CODE]


def test_many_balls_go_on_to_more_pages_and_each_page_says_whose_they_are(qapp, tmp_path: Path) -> None:
    balls = tuple(counter_paper.taken(n) for n in range(9))
    view = counter_paper.view(balls, names=tuple(f"Ball {n + 1} of nine" for n in range(9)))
    pages = words_of(print_ticket.write_pdf(tmp_path / "t.pdf", view, counter_paper.NOW, "A5"))
    assert len(pages) >= 3
    for number, page in enumerate(pages, start=1):
        assert "No 1243" in page
        assert "Ilse Varga" in page
        assert f"page {number} of {len(pages)}" in page
    whole = "\n".join(pages)
    for n in range(9):
        assert f"Ball {n + 1} of nine" in whole
    assert whole.count("as last time") == 9
    assert [page.count("To pay") for page in pages] == [0] * (len(pages) - 1) + [2]


def test_a_ticket_of_forty_balls_with_long_remarks_loses_no_ball(qapp, tmp_path: Path) -> None:
    long = replace(counter_paper.taken(3), hazards=("a crack " * 45,), note="a note " * 55)
    view = counter_paper.view((long,) * 40, names=tuple(f"Ball {n + 1}, of forty" for n in range(40)))
    whole = "\n".join(words_of(print_ticket.write_pdf(tmp_path / "t.pdf", view, counter_paper.NOW, "A6")))
    assert all(f"Ball {n + 1}, of forty" in whole for n in range(40))
    assert whole.count("Before heat:") == 40


def test_a_parked_ticket_without_a_number_prints_without_a_code(qapp, tmp_path: Path) -> None:
    path = print_ticket.write_pdf(tmp_path / "t.pdf", counter_paper.view(number=0), counter_paper.NOW, "A5")
    assert "No number yet" in words_of(path)[0]
    assert codes_of(path, 203, tmp_path) == [[]]


def test_hostile_words_are_printed_as_they_were_typed_and_break_nothing(qapp, tmp_path: Path) -> None:
    names = ("&amp; <b>bold</b> a\x00b\nc", "x" * 10_000)
    view = counter_paper.view(who=counter_paper.HOSTILE, names=names, phone="555 <i>0117</i>", note="=SUM(A1) &c")
    path = print_ticket.write_pdf(tmp_path / "t.pdf", view, counter_paper.NOW, "A5")
    page = words_of(path)[0]
    for said in ("<b>Ilse</b> & <img src=x>", "&amp; <b>bold</b> a b c", "555 <i>0117</i>", "=SUM(A1) &c"):
        assert said in page
    assert "7K20977" in page
    assert "Promised Thu 26 Nov, 12:00" in page


@pytest.mark.parametrize(("place", "paper"), [("DE", "A5"), ("US", "half letter")])
def test_the_first_ticket_takes_the_paper_of_the_place(qapp, settings, place: str, paper: str) -> None:
    before = QLocale()
    land = {"DE": QLocale.Country.Germany, "US": QLocale.Country.UnitedStates}[place]
    QLocale.setDefault(QLocale(QLocale.Language.English, land))
    try:
        assert print_ticket.usual() == paper
    finally:
        QLocale.setDefault(before)


# labels


@pytest.mark.parametrize("stock", STOCKS, ids=lambda stock: stock.name)
def test_a_label_has_its_size_and_says_number_ball_owner_and_promise(qapp, tmp_path: Path, stock: Stock) -> None:
    path = print_label.write_pdf(tmp_path / "l.pdf", LABELS, Wish(stock), counter_paper.ZONE)
    assert len(sizes_of(path)) == (2 if stock.sheet is None else 1)
    for wide, high in sizes_of(path):
        assert wide / 72 * 25.4 == pytest.approx(stock.page.width(), abs=0.4)
        assert high / 72 * 25.4 == pytest.approx(stock.page.height(), abs=0.4)
    whole = "\n".join(words_of(path))
    for said in ("1243", "1/2", "2/2", "Paper Moth", "Gate Nine", "Ilse Varga", "Thu 26 Nov, 12:00", "7K20977"):
        assert said in whole


@pytest.mark.parametrize("stock", STOCKS, ids=lambda stock: stock.name)
@pytest.mark.parametrize("dpi", [203, 300])
def test_each_label_s_code_is_read_back_from_the_pdf(qapp, tmp_path: Path, stock: Stock, dpi: int) -> None:
    path = print_label.write_pdf(tmp_path / "l.pdf", LABELS, Wish(stock), counter_paper.ZONE)
    assert sorted(code for page in codes_of(path, dpi, tmp_path) for code in page) == sorted((BALL, counter_paper.CODE))


@pytest.mark.parametrize("stock", [s for s in STOCKS if s.sheet is None], ids=lambda stock: stock.name)
@pytest.mark.parametrize("dpi", [203, 300])
def test_a_label_printer_s_own_dots_are_read_back(qapp, stock: Stock, dpi: int) -> None:
    found = zxingcpp.read_barcodes(array_of(drawn(LABELS[0], stock, dpi, one_bit=True)))
    assert [each.text for each in found] == [BALL]


@pytest.mark.parametrize("dpi", [203, 300, 600])
def test_every_module_is_the_same_number_of_whole_dots(qapp, dpi: int) -> None:
    image = array_of(drawn(LABELS[0], BY_NAME["57 × 32 mm"], dpi))
    code = image[:, image.shape[1] // 2 :]
    dark = np.argwhere(code < 128)
    top, left = dark.min(axis=0)
    assert set(np.unique(code[top : top + 3])) <= {0, 255}
    row = code[top, left:]
    finder = int(np.argmax(row > 128))
    assert finder % 7 == 0
    """The finder pattern is seven modules wide (ISO/IEC 18004, from memory)."""


@pytest.mark.parametrize("stock", STOCKS, ids=lambda stock: stock.name)
def test_long_names_are_shortened_and_numbers_never(qapp, tmp_path: Path, stock: Stock) -> None:
    (page,) = words_of(print_label.write_pdf(tmp_path / "l.pdf", [LONG], Wish(stock), counter_paper.ZONE))
    for said in ("123456789", "11/12", "Thu 26 Nov, 12:00", "7K20977-AB-99812-XX", "…"):
        assert said in page


@pytest.mark.parametrize("stock", [s for s in STOCKS if s.sheet is None], ids=lambda stock: stock.name)
@pytest.mark.parametrize("label", [*LABELS, LONG], ids=["one", "two", "long"])
def test_no_ink_touches_the_edge_and_the_words_stay_clear_of_the_code(qapp, label: Label, stock: Stock) -> None:
    image = array_of(drawn(label, stock, 300))
    dots = 300 / 25.4
    edge = round(1.0 * dots)
    for strip in (image[:edge], image[-edge:], image[:, :edge], image[:, -edge:]):
        assert strip.min() == 255
    side = min(stock.high, label_paper.SYMBOL_SHARE * stock.wide, label_paper.SYMBOL_MM)
    quiet = image[:, round((stock.wide - side) * dots) + 2 : round((stock.wide - side * 26 / 29) * dots)]
    assert quiet.min() == 255


def test_owner_s_initials_stand_for_the_name_where_that_is_wanted(qapp, tmp_path: Path) -> None:
    path = print_label.write_pdf(tmp_path / "l.pdf", [LABELS[0]], Wish(STOCKS[0], initials=True), counter_paper.ZONE)
    (page,) = words_of(path)
    assert "IV" in page.split()
    assert "Varga" not in page


@pytest.mark.parametrize(
    ("owner", "initials"),
    [("Ilse Varga", "IV"), ("Cher", "C"), ("", ""), ("<b>Ana</b> =X", "BX"), ("Ana Bo de la Cruz", "ABC")],
)
def test_initials_are_letters_of_the_name(owner: str, initials: str) -> None:
    assert Label(1, "x", owner, BALL).initials == initials


def test_a_half_used_sheet_goes_on_where_it_was_left(qapp, tmp_path: Path) -> None:
    stock = BY_NAME["A4, 3 × 8 of 70 × 37"]
    labels: Sequence[Label] = LABELS * 2
    path = print_label.write_pdf(tmp_path / "l.pdf", labels, Wish(stock, first=22), counter_paper.ZONE)
    first, second = words_of(path)
    assert first.count("1243") == 2
    assert second.count("1243") == 2


@pytest.mark.parametrize("stock", [s for s in STOCKS if s.sheet is not None], ids=lambda stock: stock.name)
def test_the_labels_of_a_sheet_lie_on_it_and_not_on_each_other(stock: Stock) -> None:
    for at in range(stock.many):
        place = stock.place(at)
        assert 0 <= place.x() <= stock.page.width() - stock.wide + 1e-6
        assert 0 <= place.y() <= stock.page.height() - stock.high + 1e-6
    assert stock.step_x >= stock.wide
    assert stock.step_y >= stock.high - 1e-9


def test_words_of_a_line_lose_what_breaks_it_or_turns_it_round() -> None:
    assert ink.plain("a\x00b\nc\u2028d \u202eabc") == "a b c d abc"
    assert ink.plain("x" * 10_000).endswith("…")
    assert len(ink.plain("x" * 10_000)) == ink.LONGEST
