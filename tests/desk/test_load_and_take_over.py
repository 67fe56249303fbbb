"""Tables in by the dialog: mapping, questions, errors, stopping; the file handed over and taken over on the desk."""

from __future__ import annotations

from pathlib import Path

import openpyxl
import pytest
import shiboken6
from on_worker import read
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QWidget

from arsenal.acts import bring_in, files, people, take_over
from arsenal.acts.shop import Shop
from arsenal.desk import file_dialogs
from arsenal.desk.dialogs.load import LoadDialog, open_load
from arsenal.desk.dialogs.load_questions import ANOTHER
from arsenal.desk.dialogs.take_over import open_hand_over, open_take_over
from arsenal.desk.file_menu import FileMenu
from arsenal.desk.foot import foot_of
from arsenal.desk.opening import Desk
from arsenal.desk.rooms import Shared
from arsenal.desk.worker import Stopped
from arsenal.trade.errors import KnownError
from arsenal.trade.person import Person

CUSTOMERS = "Customer,Cell Phone,Plays with,<b>Since</b>\nIlse Varga,555 0101,left,2019\nOda Penn,555 0102,odd,2020\n"


def opened(qtbot, ground: Shared, window: QWidget, path: Path) -> LoadDialog:
    dialog = open_load(ground, window, [path])
    assert dialog is not None
    qtbot.waitUntil(lambda: dialog.report is not None and ground.worker.idle() and not dialog._timer.isActive())
    return dialog


def stopped(*_args: object, **_named: object) -> None:
    raise Stopped


def settled(qtbot, ground: Shared, dialog: LoadDialog) -> None:
    dialog._timer.stop()
    dialog._look()
    qtbot.waitUntil(ground.worker.idle)


@pytest.fixture
def customers(tmp_path: Path) -> Path:
    path = tmp_path / "customers.csv"
    path.write_text(CUSTOMERS, "utf-8")
    return path


def test_a_foreign_table_is_mapped_by_hand_seen_and_kept_in_one_undo(
    qtbot, window, ground, customers, tmp_path
) -> None:
    dialog = opened(qtbot, ground, window, customers)
    assert dialog.mapping is not None
    assert [row.field.value for row in dialog.mapping.rows] == ["bowler", "phone", "", ""]
    dialog.mapping.rows[2].field.picked.emit("hand")
    settled(qtbot, ground, dialog)
    assert "1 bowler;" in dialog._found.whole()
    assert "<b>Since</b>" in dialog._found.whole()
    assert dialog.coming.index(0).data() == "bowler: Ilse Varga, 555 0101"
    assert dialog.model.index(0).data().startswith("customers.csv, row 3, Plays with: ")
    assert not dialog.all.isEnabled()
    with qtbot.waitSignal(ground.kept) as kept:
        dialog.good.click()
    assert kept.args[0].sentence == "Loaded 1 bowler"
    assert len(read(qtbot, ground, lambda shop: shop.people())) == 3
    assert read(qtbot, ground, lambda shop: bring_in.head(shop, customers))[0].sure
    read(qtbot, ground, lambda shop: shop.ledger.undo())
    assert len(read(qtbot, ground, lambda shop: shop.people())) == 2


def test_the_mapping_goes_by_the_keyboard_alone_and_every_stop_has_a_name(qtbot, window, ground, customers) -> None:
    dialog = opened(qtbot, ground, window, customers)
    assert dialog.mapping is not None
    stops, now = [], dialog.mapping.table
    now.setFocus()
    for _ in range(30):
        part = dialog.focusWidget()
        if part is None or part in stops:
            break
        stops.append(part)
        QTest.keyClick(part, Qt.Key.Key_Tab)
    fields = [row.field for row in dialog.mapping.rows]
    assert [part for part in stops if part in fields] == fields
    for part in stops:
        interface = QAccessible.queryAccessibleInterface(part)
        assert interface is not None
        assert interface.text(QAccessible.Text.Name).strip()
    assert fields[0].accessibleName() == "What “Customer” holds: bowler"
    dialog.close()


def test_what_did_not_come_in_is_written_to_a_file(qtbot, window, ground, customers, tmp_path, monkeypatch) -> None:
    dialog = opened(qtbot, ground, window, customers)
    assert dialog.mapping is not None
    dialog.mapping.rows[2].field.picked.emit("hand")
    settled(qtbot, ground, dialog)
    monkeypatch.setattr(file_dialogs, "save_file", lambda *_: str(tmp_path / "errors.csv"))
    dialog.errors.click()
    qtbot.waitUntil((tmp_path / "errors.csv").exists)
    assert "customers.csv,3,Plays with,odd," in (tmp_path / "errors.csv").read_text("utf-8-sig")
    dialog.close()


def test_a_customer_of_a_known_name_is_asked_about_before_anything_is_kept(qtbot, window, ground, tmp_path) -> None:
    path = tmp_path / "b.csv"
    path.write_text("bowler,phone\nMirel Oster,555 0101\n")
    dialog = opened(qtbot, ground, window, path)
    (row,) = dialog.questions.rows
    assert "Mirel Oster is here already" in row.label.whole()
    assert not dialog.all.isEnabled()
    row.answer.picked.emit(ANOTHER)
    row.addition.setText("Elm Street")
    settled(qtbot, ground, dialog)
    assert dialog.all.isEnabled()
    with qtbot.waitSignal(ground.kept):
        QTest.keyClick(dialog, Qt.Key.Key_Return)
    names = [p.name for p in read(qtbot, ground, lambda shop: shop.people())]
    assert "Mirel Oster (Elm Street)" in names


def test_every_question_can_be_answered_by_one_word(qtbot, window, ground, tmp_path) -> None:
    path = tmp_path / "b.csv"
    path.write_text("bowler,phone\n" + "Mirel Oster,555 0101\n" * 30)
    dialog = opened(qtbot, ground, window, path)
    assert len(dialog.questions.rows) == 12
    dialog.questions.rest.picked.emit(bring_in.Rest.SAME)
    settled(qtbot, ground, dialog)
    assert dialog.all.isEnabled()
    dialog.close()


def test_a_sheet_of_a_workbook_can_be_left_out(qtbot, window, ground, tmp_path) -> None:
    book = openpyxl.Workbook()
    page = book.active
    assert page is not None
    page.title = "balls"
    for row in (["ball", "owner", "cover"], ["New One", "Mirel Oster", "solid"]):
        page.append(row)
    for row in (["Month", "Takings"], ["May", 100]):
        if "takings" not in book.sheetnames:
            book.create_sheet("takings")
        book["takings"].append(row)
    path = tmp_path / "shop.xlsx"
    book.save(path)
    dialog = opened(qtbot, ground, window, path)
    assert dialog.mapping is not None
    assert [head.file for head in dialog.mapping.heads] == ["shop.xlsx, takings"]
    assert not dialog.all.isEnabled()
    dialog.mapping.table.picked.emit("")
    settled(qtbot, ground, dialog)
    assert "left in the file: shop.xlsx, takings" in dialog._found.whole()
    with qtbot.waitSignal(ground.kept):
        dialog.all.click()


def test_a_load_that_is_stopped_keeps_nothing_and_the_dialog_stays(qtbot, window, ground, tmp_path) -> None:
    path = tmp_path / "b.csv"
    path.write_text("bowler,phone\n" + "".join(f"Somebody {n},555 {n}\n" for n in range(3000)))
    dialog = opened(qtbot, ground, window, path)
    dialog._load(keep_good=False)
    ground.worker.cancel()
    qtbot.waitUntil(ground.worker.idle)
    assert "stopped" in dialog.trouble.whole()
    assert len(read(qtbot, ground, lambda shop: shop.people())) == 2
    dialog.close()


def test_a_load_stopped_while_it_is_kept_can_be_started_again_in_the_same_dialog(
    qtbot, window, ground, tmp_path, monkeypatch
) -> None:
    """Stopped at its first word, as a load of thousands is while it is read."""
    path = tmp_path / "bowlers.csv"
    path.write_text("bowler,hand\nIlse Varga,left\nOda Penn,right\n", "utf-8")
    dialog = opened(qtbot, ground, window, path)
    load = bring_in.load
    monkeypatch.setattr(bring_in, "load", stopped)
    dialog.all.click()
    qtbot.waitUntil(lambda: "stopped" in dialog.trouble.whole())
    assert "2 bowlers" in dialog._found.whole()
    assert dialog.all.isEnabled()
    monkeypatch.setattr(bring_in, "load", load)
    with qtbot.waitSignal(ground.kept):
        dialog.all.click()


def test_the_file_menu_offers_handing_over_and_taking_over(qtbot, window, ground) -> None:
    menu = FileMenu(ground, window, restore=print, other=print, remove=print, keys=print)
    (inside,) = [act.menu() for act in menu.actions() if act.text() == "Machines and copies"]
    names = [act.text() for act in inside.actions()]
    assert names == ["Hand over this file …", "Take over a file …", "Make a file again from its lines …"]
    menu.deleteLater()


def test_what_was_written_to_a_folder_is_said_when_the_menu_is_long_gone(
    qtbot, window, ground, tmp_path, monkeypatch
) -> None:
    monkeypatch.setattr(file_dialogs, "folder", lambda *_a: str(tmp_path))
    none = lambda *_a: None  # noqa: E731
    menu = FileMenu(ground, window, restore=none, other=none, remove=none, keys=none)
    said: list[str] = []
    ground.said.connect(said.append)
    menu._dump()
    shiboken6.delete(menu)
    qtbot.waitUntil(lambda: bool(said))
    assert said[0].startswith("Wrote ")
    assert (tmp_path / "shop.jsonl").exists()


def test_a_file_is_handed_over_only_read_and_taken_back(qtbot, window, ground, tmp_path) -> None:
    dialog = open_hand_over(ground, window)
    qtbot.waitUntil(dialog.go.isEnabled)
    assert not dialog.back.isVisible()
    dialog.who.setText("Mirel & Co")
    with qtbot.waitSignal(ground.said) as told:
        dialog.hand_over(tmp_path / "stick" / "a.padbook")
    assert "only read from now on" in told.args[0]
    foot = read(qtbot, ground, foot_of)
    assert "was handed over on" in foot.last
    assert "by Mirel & Co on" in foot.last
    assert (foot.saved, foot.undo_name) == ("Only read", None)
    refused: list[KnownError] = []
    add = lambda shop: people.add_bowler(shop, Person(0, "Oda Penn"))  # noqa: E731
    ground.worker.act(add, failed=refused.append)
    qtbot.waitUntil(lambda: bool(refused))
    assert "handed over" in str(refused[0])
    again = open_hand_over(ground, window)
    qtbot.waitUntil(again.back.isVisible)
    assert not again.go.isVisible()
    with qtbot.waitSignal(ground.said):
        again.back.click()
    assert read(qtbot, ground, take_over.standing) == ""
    assert read(qtbot, ground, add).act_id is not None


def test_a_copy_shows_what_it_is_before_it_is_taken_over(qtbot, window, ground, tmp_path) -> None:
    copy = tmp_path / "a.padbook"
    read(qtbot, ground, lambda shop: take_over.hand_over(shop, copy, "Mirel"))
    read(qtbot, ground, take_over.take_back)
    read(qtbot, ground, lambda shop: people.add_bowler(shop, Person(0, "Oda Penn")))
    wanted: list = []
    dialog = open_take_over(ground, window, lambda *what: wanted.append(what), copy)
    assert dialog is not None
    qtbot.waitUntil(lambda: "older than what is here" in dialog.what.whole())
    assert not dialog.go.isEnabled()
    assert dialog.anyway.isVisible()
    assert not dialog.anyway.primary
    dialog.onto = tmp_path / "new.padbook"
    dialog._look()
    qtbot.waitUntil(dialog.go.isEnabled)
    QTest.keyClick(dialog, Qt.Key.Key_Return)
    assert wanted == [(copy, tmp_path / "new.padbook", "", False)]


def test_a_plain_backup_cannot_be_taken_over_by_the_dialog(qtbot, window, ground, tmp_path) -> None:
    copy = tmp_path / "copy.padbook"
    read(qtbot, ground, lambda shop: files.backup(shop, copy))
    dialog = open_take_over(ground, window, print, copy)
    assert dialog is not None
    qtbot.waitUntil(lambda: "was not handed over" in dialog.what.whole())
    assert not dialog.go.isEnabled()
    assert not dialog.anyway.isVisible()
    dialog.close()


def test_the_desk_opens_what_it_took_over(qtbot, qapp, shop_file, settings, tmp_path) -> None:
    copy, onto = tmp_path / "a.padbook", tmp_path / "there" / "shop.padbook"
    onto.parent.mkdir()
    with Shop.open(shop_file, settings=settings) as shop:
        take_over.hand_over(shop, copy, "Mirel")
    desk = Desk(settings)
    desk.open(shop_file, create=False)
    qtbot.waitUntil(
        lambda: desk.window is not None and "handed over" in desk.window.foot.sentence.whole(), timeout=30_000
    )
    desk.window.take_over_wanted.emit(copy, onto, "Tave", False)
    qtbot.waitUntil(lambda: desk.window is not None and desk.window.shared.path == onto, timeout=30_000)
    qtbot.waitUntil(lambda: bool(desk.window.foot.saved.whole()), timeout=30_000)
    assert desk.window.foot.saved.whole() != "Only read"
    assert desk.window.foot.sentence.whole() == f"Taken over: {onto} is in charge now."
    desk.window.close()
    desk.window_gone()


def test_on_a_new_machine_the_first_page_takes_a_handed_copy_over(qtbot, qapp, shop_file, settings, tmp_path) -> None:
    copy, onto = tmp_path / "a.padbook", tmp_path / "there" / "shop.padbook"
    with Shop.open(shop_file, settings=settings) as shop:
        take_over.hand_over(shop, copy, "Mirel")
    desk = Desk(settings)
    desk.show_first()
    desk.restore(copy, onto)
    qtbot.waitUntil(lambda: desk.window is not None, timeout=30_000)
    qtbot.waitUntil(lambda: bool(desk.window.foot.saved.whole()), timeout=30_000)
    assert desk.window.foot.saved.whole() != "Only read"
    assert desk.window.foot.sentence.whole() == f"Taken over: {onto} is in charge now."
    desk.window.close()
    desk.window_gone()
