"""Previews of tickets and labels: drawn by the hand that prints, paper remembered, a printer that is gone."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import counter_paper
import pdf_told
import pytest
from PySide6.QtCore import QSizeF, Qt
from PySide6.QtGui import QColor, QImage, QPageLayout, QPageSize, QPainter
from PySide6.QtPrintSupport import QPrinter
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QWidget

from arsenal.acts import balls, labels, tickets
from arsenal.acts.labels import Label
from arsenal.acts.settings import Settings
from arsenal.acts.shop import Shop
from arsenal.desk import print_label, print_ticket, printers
from arsenal.desk.counter_prints.stocks import BY_NAME
from arsenal.desk.dialogs import paper as paper_dialog
from arsenal.desk.dialogs.paper import PaperDialog
from arsenal.desk.print_label import Wish
from arsenal.desk.rooms import Shared
from arsenal.desk.worker import Worker
from arsenal.trade.code import Code, Names, read
from arsenal.trade.errors import KnownError
from arsenal.trade.ticket import TakenIn

ONE = Label(1243, "Paper Moth", "Ilse Varga", counter_paper.CODE, "7K20977", counter_paper.PROMISED)


@pytest.fixture
def ground(qtbot, shop_file: Path, settings: Settings, window: QWidget) -> Iterator[Shared]:
    worker = Worker(lambda: Shop.open(shop_file, settings=settings))
    shared = Shared(worker, settings)
    window.show()
    yield shared
    worker.close()
    shared.deleteLater()


@pytest.fixture
def shop(shop_file: Path, settings: Settings) -> Iterator[Shop]:
    with Shop.open(shop_file, settings=settings) as opened:
        yield opened


def taken_in(shop: Shop) -> int:
    balls.edit_ball(shop, replace(shop.ball(1), serial="7K20977"))
    on = (TakenIn(1), TakenIn(words="<b>blue</b> one", serial_missing="worn"))
    return tickets.take_in(shop, replace(tickets.blank(shop, 1), balls=on)).changed[0].id


def dialog_of(qtbot, window: QWidget) -> PaperDialog:
    qtbot.waitUntil(lambda: bool(window.findChildren(PaperDialog)))
    return window.findChildren(PaperDialog)[-1]


# what a label says


def test_a_ticket_s_labels_name_each_ball_and_carry_its_own_code(shop: Shop) -> None:
    number = taken_in(shop)
    first, second = labels.of_ticket(shop, number)
    assert (first.number, first.ball, first.owner, first.serial, first.part, first.parts) == (
        number, "Quarry Song", "Mirel Oster", "7K20977", 1, 2)  # fmt: skip
    code = read(first.code)
    assert code == Code(Names.BALL, shop.ledger.mark(), 1)
    assert read(second.code) == Code(Names.TICKET, shop.ledger.mark(), number)
    assert second.ball == "<b>blue</b> one"


def test_a_ball_s_label_can_be_printed_again_with_and_without_a_ticket(shop: Shop) -> None:
    assert labels.of_ball(shop, 1).number == 0
    number = taken_in(shop)
    again = labels.of_ball(shop, 1)
    assert (again.number, again.part, again.parts) == (number, 1, 2)
    tickets.call_off(shop, number, "came back")
    assert labels.of_ball(shop, 1).number == 0
    with pytest.raises(KnownError):
        labels.of_ball(shop, 99)


# the previews


def test_the_ticket_is_shown_by_its_number_and_leads_to_its_labels(qtbot, ground: Shared, window: QWidget) -> None:
    made: list[int] = []
    ground.worker.ask("make", taken_in, made.append)
    qtbot.waitUntil(lambda: bool(made))
    print_ticket.open_ticket_print(ground, window, made[0])
    ticket = dialog_of(qtbot, window)
    assert "Quarry Song, 7K20977" in ticket.preview.accessibleName()
    assert "<b>blue</b> one" in ticket.preview.accessibleName()
    ticket.setFocus()
    QTest.keyClick(ticket.windowHandle(), Qt.Key.Key_L)
    qtbot.waitUntil(lambda: any(d.paper.kind == "label" for d in window.findChildren(PaperDialog)))
    label = next(d for d in window.findChildren(PaperDialog) if d.paper.kind == "label")
    assert len(label.paper.pages) == 2
    assert "ticket 1, Quarry Song, Mirel Oster" in label.preview.accessibleName()
    label.reject()


def test_a_ticket_that_is_not_there_is_said(qtbot, ground: Shared, window: QWidget) -> None:
    told: list[str] = []
    ground.troubled.connect(lambda error: told.append(str(error)))
    print_ticket.open_ticket_print(ground, window, 77)
    qtbot.waitUntil(lambda: len(told) == 1)
    print_label.open_label_print(ground, window, 78)
    qtbot.waitUntil(lambda: len(told) == 2)
    print_label.open_ball_label(ground, window, 79)
    qtbot.waitUntil(lambda: len(told) == 3)
    assert "no ticket 77" in told[0]


def test_the_chosen_paper_is_remembered_and_changes_the_page(qtbot, ground: Shared, window: QWidget) -> None:
    dialog = print_ticket.show(ground, counter_paper.view(), window)
    assert dialog is not None
    dialog.asked[0].picked.emit("A6")
    assert dialog.paper.size() == QSizeF(105, 148)
    assert ground.settings.kept[print_ticket.KEPT] == "A6"
    dialog.reject()
    again = print_ticket.show(ground, counter_paper.view(), window)
    assert again is not None
    assert again.paper.size() == QSizeF(105, 148)
    again.reject()


def test_stock_and_owner_of_labels_are_remembered_and_a_sheet_asks_where_it_begins(
    qtbot, ground: Shared, window: QWidget
) -> None:  # fmt: skip
    dialog = print_label.show(ground, [ONE], window)
    assert dialog is not None
    stock, owner, first = dialog.asked
    assert not first.isVisible()
    stock.picked.emit("A4, 3 × 8 of 70 × 37")
    owner.picked.emit(True)
    assert first.isVisible()
    first.picked.emit(23)
    assert dialog.paper.size() == QSizeF(210, 297)
    assert dialog.height() > dialog.preview.sizeHint().height() > dialog.preview.sizeHint().width()
    dialog.reject()
    wish = Wish.kept(ground.settings)
    assert (wish.stock.name, wish.initials, wish.first) == ("A4, 3 × 8 of 70 × 37", True, 0)


@pytest.mark.parametrize("kept", [None, 7, "x", {"stock": 5}, {"stock": "papyrus", "initials": "yes"}])
def test_whatever_the_settings_say_there_is_a_paper(qapp, settings: Settings, kept: object) -> None:
    settings.kept[print_label.KEPT] = kept
    assert Wish.kept(settings) == Wish(print_label.stocks.usual())


def test_the_preview_shows_what_is_printed_dot_for_dot(qtbot, ground: Shared, window: QWidget) -> None:
    dialog = print_ticket.show(ground, counter_paper.view(), window)
    assert dialog is not None
    shown, per = dialog.preview.grab().toImage(), dialog.preview.per_mm()
    page = QImage(shown.size(), QImage.Format.Format_RGB32)
    page.fill(QColor("#FFFFFF"))
    painter = QPainter(page)
    dialog.paper.pages[0].draw(painter, per)
    painter.end()
    inner = page.rect().adjusted(2, 2, -2, -2)
    assert shown.convertToFormat(page.format()).copy(inner) == page.copy(inner)
    dialog.reject()


# printers


def test_a_label_printer_that_is_not_there_is_named_and_nothing_is_lost(
    qtbot, ground: Shared, window: QWidget, monkeypatch, tmp_path: Path
) -> None:  # fmt: skip
    monkeypatch.setattr(printers, "there", lambda: ["Back office"])
    ground.settings.kept[printers.KEPT] = {"label": "Counter labels"}
    dialog = print_label.show(ground, [ONE], window)
    assert dialog is not None
    QTest.keyClick(dialog.windowHandle(), Qt.Key.Key_P)
    qtbot.waitUntil(lambda: "The label printer Counter labels is not there." in dialog.trouble.text())
    assert "PDF" in dialog.trouble.text()
    assert dialog.isVisible()
    assert printers.remembered(ground.settings, "label") == ""
    dialog.write_pdf(tmp_path / "labels.pdf")
    assert (tmp_path / "labels.pdf").read_bytes().startswith(b"%PDF")


def test_where_no_printer_is_set_up_the_pdf_is_offered(qapp, settings: Settings, monkeypatch) -> None:
    monkeypatch.setattr(printers, "there", list)
    with pytest.raises(KnownError, match="No printer is set up") as told:
        printers.ready(settings, "label")
    assert "PDF" in told.value.next_step


class Broken(QPrinter):
    """A printer that cannot be begun with."""

    def printerName(self) -> str:  # noqa: N802 - Qt's own name
        return "Counter labels"


def test_a_printer_that_does_not_answer_is_named(qtbot, ground: Shared, window: QWidget, monkeypatch) -> None:
    dialog = print_label.show(ground, [ONE], window)
    assert dialog is not None

    class Refusing(QPainter):
        def begin(self, _device: object) -> bool:
            return False

    monkeypatch.setattr(paper_dialog, "QPainter", Refusing)
    dialog.to_printer(Broken())
    assert "Counter labels does not answer" in dialog.trouble.text()
    assert "nothing is lost" in dialog.trouble.text()
    assert dialog.isVisible()
    dialog.reject()


def test_pages_that_went_to_a_printer_are_said_and_the_printer_is_remembered(
    qtbot, ground: Shared, window: QWidget, tmp_path: Path
) -> None:  # fmt: skip
    said: list[str] = []
    ground.said.connect(said.append)
    dialog = print_label.show(ground, [ONE, ONE], window)
    assert dialog is not None
    printer = Broken()
    printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
    printer.setOutputFileName(str(tmp_path / "spool.pdf"))
    printer.setPageLayout(dialog.paper.layout)
    printer.setFullPage(True)
    dialog.to_printer(printer)
    assert said == ["Sent 2 labels of ticket 1243 to Counter labels"]
    assert printers.remembered(ground.settings, "label") == "Counter labels"
    assert (tmp_path / "spool.pdf").read_bytes().startswith(b"%PDF")


# the paper in the printer


A_LETTER, A_A4, A_A5 = (
    QPageSize(of) for of in (QPageSize.PageSizeId.Letter, QPageSize.PageSizeId.A4, QPageSize.PageSizeId.A5)
)
LARGE_ADDRESS = QPageSize(QSizeF(36.0, 89.0), QPageSize.Unit.Millimeter, "Roll of 36 × 89")


def knowing(monkeypatch, *papers: QPageSize, custom: bool = False) -> None:
    """A printer’s driver that lists these papers, the first the usual one."""

    class Driver:
        def __init__(self, _printer: QPrinter) -> None: ...

        def supportedPageSizes(self) -> list[QPageSize]:  # noqa: N802 - Qt's own name
            return list(papers)

        def supportsCustomPageSizes(self) -> bool:  # noqa: N802 - Qt's own name
            return custom

        def defaultPageSize(self) -> QPageSize:  # noqa: N802 - Qt's own name
            return papers[0] if papers else QPageSize()

    monkeypatch.setattr(printers, "QPrinterInfo", Driver)


def put_in(layout: QPageLayout) -> tuple[str, str, bool]:
    """Name and lie of the paper that is printed on, and whether the driver lists it."""
    printer = QPrinter()
    printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
    listed = printers.put_paper(printer, layout)
    assert printer.fullPage()
    return printer.pageLayout().pageSize().name(), printer.pageLayout().orientation().name, listed


def test_a_page_goes_on_the_printers_own_paper_of_its_size_lying_where_the_roll_lists_it_upright(
    qapp, monkeypatch
) -> None:  # fmt: skip
    knowing(monkeypatch, A_LETTER, A_A4, A_A5)
    assert put_in(print_ticket.layout("A5")) == (A_A5.name(), "Portrait", True)
    knowing(monkeypatch, A_LETTER, LARGE_ADDRESS)
    assert put_in(BY_NAME["89 × 36 mm"].layout()) == ("Roll of 36 × 89", "Landscape", True)


def test_a_label_the_printer_has_no_paper_for_keeps_its_size_or_goes_on_the_sheet_that_is_in(qapp, monkeypatch) -> None:
    knowing(monkeypatch)
    assert put_in(BY_NAME["62 × 29 mm"].layout()) == ("62 × 29 mm", "Portrait", False)
    knowing(monkeypatch, LARGE_ADDRESS, custom=True)
    assert put_in(BY_NAME["62 × 29 mm"].layout()) == ("62 × 29 mm", "Portrait", False)
    knowing(monkeypatch, A_LETTER, A_A4)
    assert put_in(BY_NAME["62 × 29 mm"].layout()) == (A_LETTER.name(), "Portrait", True)
    knowing(monkeypatch, LARGE_ADDRESS)
    assert put_in(print_ticket.layout("A5"))[0] == "A5"


def test_the_systems_dialog_does_not_swap_a_label_for_a_letter_sheet(
    qtbot, ground: Shared, window: QWidget, monkeypatch, tmp_path: Path
) -> None:  # fmt: skip
    spool = tmp_path / "spool.pdf"

    class Swapping:
        """What the dialog does to any paper the printer does not list."""

        DialogCode = paper_dialog.QPrintDialog.DialogCode

        def __init__(self, printer: QPrinter, _parent: QWidget) -> None:
            self.printer = printer

        def exec(self) -> object:
            self.printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
            self.printer.setOutputFileName(str(spool))
            self.printer.setPageSize(A_LETTER)
            return self.DialogCode.Accepted

        def deleteLater(self) -> None:  # noqa: N802 - Qt's own name
            ...

    monkeypatch.setattr(paper_dialog, "QPrintDialog", Swapping)
    monkeypatch.setattr(printers, "there", lambda: ["Counter labels"])
    dialog = print_label.show(ground, [ONE], window)
    assert dialog is not None
    QTest.keyClick(dialog.windowHandle(), Qt.Key.Key_P)
    qtbot.waitUntil(spool.exists)
    millimetre = 72.0 / 25.4
    assert pdf_told.sizes_of(spool) == [(pytest.approx(62 * millimetre, abs=1), pytest.approx(29 * millimetre, abs=1))]


# going over a page by keyboard


def test_a_page_higher_than_the_window_is_gone_over_by_the_keys_and_turned_by_the_arrows(
    qtbot, ground: Shared, shop_file: Path, settings: Settings, window: QWidget
) -> None:  # fmt: skip
    with Shop.open(shop_file, settings=settings) as shop:
        number = taken_in(shop)
    print_ticket.open_ticket_print(ground, window, number)
    dialog = dialog_of(qtbot, window)
    assert dialog.preview.hasFocus() or dialog.focusWidget() is dialog.preview
    dialog._scroll.setFixedHeight(80)
    bar = dialog._scroll.verticalScrollBar()
    qtbot.waitUntil(lambda: bar.maximum() > 0)
    QTest.keyClick(dialog.preview, Qt.Key.Key_PageDown)
    assert bar.value() > 0
    QTest.keyClick(dialog.preview, Qt.Key.Key_End)
    assert bar.value() == bar.maximum()
    QTest.keyClick(dialog.preview, Qt.Key.Key_Home)
    QTest.keyClick(dialog.preview, Qt.Key.Key_Down)
    assert 0 < bar.value() < bar.maximum()
    dialog.reject()
    labels_shown = print_label.show(ground, [ONE, replace(ONE, ball="Gate Nine")], window)
    assert labels_shown is not None
    QTest.keyClick(labels_shown.preview, Qt.Key.Key_Right)
    assert labels_shown.page.value == 1
    assert "Gate Nine" in labels_shown.preview.accessibleName()
    labels_shown.reject()
