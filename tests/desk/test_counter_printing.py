"""Previews of tickets and labels: drawn by the hand that prints, paper remembered, a printer that is gone."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import counter_paper
import pytest
from PySide6.QtCore import QSizeF, Qt
from PySide6.QtGui import QColor, QImage, QPainter
from PySide6.QtPrintSupport import QPrinter
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QWidget

from arsenal.acts import balls, labels, tickets
from arsenal.acts.labels import Label
from arsenal.acts.settings import Settings
from arsenal.acts.shop import Shop
from arsenal.desk import print_label, print_ticket, printers
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
