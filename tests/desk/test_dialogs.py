"""Dialogs: what they keep, what they refuse, and that nothing of them stays behind."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
from on_worker import read
from PySide6.QtCore import QCoreApplication, QEvent, Qt
from PySide6.QtGui import QAccessible, QImage, QPainter
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from arsenal.acts import cards, lane_side, rules_now
from arsenal.desk import print_card, printers
from arsenal.desk.dialogs.backups import open_backups
from arsenal.desk.dialogs.ball import open_ball
from arsenal.desk.dialogs.bowler import open_bowler
from arsenal.desk.dialogs.card import open_card, said
from arsenal.desk.dialogs.competition import CompetitionDialog, blocks_of
from arsenal.desk.dialogs.keys_help import open_keys
from arsenal.desk.dialogs.lane import open_lane
from arsenal.desk.dialogs.load import open_load
from arsenal.desk.dialogs.pad import open_pad
from arsenal.desk.dialogs.questions import open_questions
from arsenal.desk.parts.buttons import KeyButton
from arsenal.desk.parts.dialog import Dialog
from arsenal.desk.parts.text import Plain
from arsenal.desk.rooms import Shared
from arsenal.trade.ball import Cover
from arsenal.trade.errors import NotUnderstood
from arsenal.trade.lane import FilmGrid, FilmSummary, UnknownHouse
from arsenal.trade.units import FOOT_M, MPH_MPS


def test_a_new_ball_comes_with_its_first_entry_and_its_box_finish(qtbot, window, ground) -> None:
    dialog = open_ball(ground, window, 1)
    dialog.name.setText("Bramble <b>Vow</b> & Sons")
    dialog.cover.put(Cover.PEARL)
    dialog.rg.edit.setText("2,55")
    dialog.finish.setText("500/2000 m")
    with qtbot.waitSignal(ground.kept):
        QTest.keyClick(dialog, Qt.Key.Key_Return)
    ball = read(qtbot, ground, lambda shop: next(b for b in shop.ledger.balls() if b.cover is Cover.PEARL))
    assert ball.name == "Bramble <b>Vow</b> & Sons"
    assert ball.rg_m == pytest.approx(2.55 * 0.0254)
    assert not ball.spec_known, "differential was left open"
    entries = read(qtbot, ground, lambda shop: shop.entries(ball.id))
    assert [step.number for step in entries[0].payload.finish] == [500, 2000]


def test_a_finish_nobody_could_mean_keeps_nothing_and_says_so(qtbot, window, ground) -> None:
    dialog = open_ball(ground, window, 1)
    dialog.name.setText("Bramble Vow")
    dialog.finish.setText("rather dull")
    dialog.keep()
    qtbot.waitUntil(lambda: bool(dialog.trouble.whole()))
    assert len(read(qtbot, ground, lambda shop: shop.ledger.balls())) == 3
    dialog.close()


def test_an_rg_over_the_balls_radius_is_refused_before_anything_is_written(qtbot, window, ground) -> None:
    dialog = open_ball(ground, window, 1)
    dialog.name.setText("Bramble Vow")
    dialog.rg.edit.setText("9")
    dialog.keep()
    assert dialog.rg.sentence.whole() == "RG is 2.3 to 3 in. Nothing was saved."
    assert dialog.isVisible()
    dialog.close()


def test_editing_nothing_changes_nothing_of_a_release(qtbot, window, ground) -> None:
    before = read(qtbot, ground, lambda shop: shop.person(1))
    dialog = open_bowler(ground, window, before)
    assert dialog.person() == before
    dialog.speed.edit.setText("25 km/h")
    assert dialog.person().style.speed_mps == pytest.approx(25 / 3.6)
    dialog.close()


def test_four_questions_make_a_bowler_with_a_benchmark(qtbot, window, ground) -> None:
    dialog = open_questions(ground, window)
    dialog.name.setText("Edda")
    dialog.ball.setText("Slow Lantern")
    dialog.keep()
    qtbot.waitUntil(ground.worker.idle)
    edda = read(qtbot, ground, lambda shop: next(p for p in shop.ledger.people() if p.name == "Edda"))
    ball = read(qtbot, ground, lambda shop: shop.ball(edda.benchmark_ball_id))
    assert ball.name == "Slow Lantern"
    assert edda.style.speed_mps == pytest.approx(16.5 * MPH_MPS)


@pytest.mark.parametrize(("way", "film"), [("summary", FilmSummary), ("unknown", UnknownHouse)])
def test_a_condition_is_kept_the_way_it_is_known(qtbot, window, ground, way: str, film: type) -> None:
    dialog = open_lane(ground, window)
    dialog.name.setText("tonight")
    dialog.way.picked.emit(way)
    dialog.length.edit.setText("12.5 m")
    with qtbot.waitSignal(ground.kept):
        dialog.keep()
    lane = read(qtbot, ground, lambda shop: next(x for x in shop.lanes().values() if x.name == "tonight"))
    assert isinstance(lane.film, film)
    if isinstance(lane.film, FilmSummary):
        assert lane.film.length_m == pytest.approx(12.5)


def test_a_measured_grid_comes_in_from_its_file_and_a_broken_one_does_not(qtbot, window, ground, tmp_path) -> None:
    rows = [f"{d},{b},{40 if d < 38 else 0}" for d in (0, 10, 20, 30, 40) for b in (5, 20, 35)]
    good, bad = tmp_path / "grid.csv", tmp_path / "bad.csv"
    good.write_text("distance_ft,board,units\n" + "\n".join(rows) + "\n", "utf-8")
    bad.write_text("distance_ft,board,units\n10,5,much\n", "utf-8")
    dialog = open_lane(ground, window)
    dialog.name.setText("measured")
    dialog.way.put("grid")
    dialog.way.picked.emit("grid")
    dialog.take_file(bad)
    dialog.keep()
    qtbot.waitUntil(lambda: bool(dialog.trouble.whole()))
    assert "bad.csv" in dialog.trouble.whole()
    dialog.take_file(good)
    with qtbot.waitSignal(ground.kept):
        dialog.keep()
    lane = read(qtbot, ground, lambda shop: next(x for x in shop.lanes().values() if x.name == "measured"))
    assert isinstance(lane.film, FilmGrid)
    assert lane.film.distance_m[-1] == pytest.approx(40 * FOOT_M)


def test_bad_rows_are_shown_by_file_row_and_field_and_nothing_is_loaded(qtbot, window, ground, tmp_path) -> None:
    path = tmp_path / "balls.csv"
    path.write_text("ball,owner,cover,rg_in\nNew One,Mirel Oster,solid,2.5\nOther,Mirel Oster,granite,2.5\n", "utf-8")
    dialog = open_load(ground, window, [path])
    qtbot.waitUntil(lambda: dialog.model.rowCount() > 0)
    assert dialog.model.index(0).data().startswith("balls.csv, row 3, cover: ")
    assert not dialog.all.isEnabled()
    assert len(read(qtbot, ground, lambda shop: shop.ledger.balls())) == 3
    with qtbot.waitSignal(ground.kept):
        dialog.good.click()
    assert len(read(qtbot, ground, lambda shop: shop.ledger.balls())) == 4


def test_the_file_can_be_gone_over_and_says_it_is_sound(qtbot, window, ground) -> None:
    dialog = open_backups(ground, window)
    qtbot.waitUntil(ground.worker.idle)
    dialog._verify()
    qtbot.waitUntil(lambda: dialog._sound.whole().startswith("sound"))
    assert not dialog.put_back.primary
    dialog.close()


def test_the_bag_card_is_85_by_120_mm_black_only_and_the_same_on_screen(qtbot, window, ground, tmp_path) -> None:
    card = read(qtbot, ground, lambda shop: cards.bag_card(shop, lane_side.lane_side(shop, 1, 1), store=False))
    pdf = print_card.write_pdf(tmp_path / "card.pdf", [card])
    box = re.search(rb"/MediaBox \[([\d. ]+)\]", pdf.read_bytes())
    assert box is not None
    points = [float(value) for value in box[1].split()]
    assert points == pytest.approx([0, 0, 85 / 25.4 * 72, 120 / 25.4 * 72], abs=0.5)
    image = QImage(850, 1200, QImage.Format.Format_RGB32)
    image.fill(Qt.GlobalColor.white)
    painter = QPainter(image)
    print_card.draw(painter, card, 10.0)
    painter.end()
    colours = {image.pixelColor(x, y).hsvSaturation() for x in range(0, 850, 7) for y in range(0, 1200, 7)}
    assert colours == {0}, "one ink"
    dialog = open_card(ground, window, [card])
    assert all(row.name in said(card) for row in card.rows)
    dialog.close()


def test_cards_of_two_bowlers_are_turned_like_pages_and_a_printer_that_is_not_there_is_named(
    qtbot, window, ground, monkeypatch
) -> None:  # fmt: skip
    card = read(qtbot, ground, lambda shop: cards.bag_card(shop, lane_side.lane_side(shop, 1, 1), store=False))
    other = replace(card, bowler="Anneke Roos")
    dialog = open_card(ground, window, [card, other])
    QTest.keyClick(dialog.preview, Qt.Key.Key_Right)
    assert dialog.preview.accessibleName() == said(other)
    monkeypatch.setattr(printers, "there", lambda: ["Back office"])
    ground.settings.kept[printers.KEPT] = {"bag card": "Card cutter"}
    QTest.keyClick(dialog.windowHandle(), Qt.Key.Key_P)
    qtbot.waitUntil(lambda: "The bag card printer Card cutter is not there." in dialog.trouble.text())
    dialog.close()


def test_a_card_that_cannot_be_written_leaves_what_was_there(qtbot, window, ground, tmp_path) -> None:
    card = read(qtbot, ground, lambda shop: cards.bag_card(shop, lane_side.lane_side(shop, 1, 1), store=False))
    dialog = open_card(ground, window, [card])
    dialog.write_pdf(tmp_path / "no such folder" / "card.pdf")
    assert "could not be written" in dialog.trouble.whole()
    dialog.close()


def test_what_can_do_harm_is_never_the_default_and_never_has_the_focus(qtbot, window, ground) -> None:
    dialog = open_backups(ground, window)
    assert dialog.put_back.focusPolicy() == Qt.FocusPolicy.ClickFocus
    assert not dialog.put_back.isDefault()
    assert QApplication.focusWidget() is not dialog.put_back
    dialog.close()


def everything(ground: Shared, window: QWidget):
    return (
        lambda: open_bowler(ground, window), lambda: open_ball(ground, window, 1), lambda: open_lane(ground, window),
        lambda: open_pad(ground, window), lambda: open_questions(ground, window), lambda: open_backups(ground, window),
        lambda: open_keys(window, window), lambda: _competition(ground, window),
    )  # fmt: skip


def _competition(ground: Shared, window: QWidget) -> CompetitionDialog:
    dialog = CompetitionDialog(ground, window, 1, None, None)
    dialog.open_()
    return dialog


def test_blocks_of_a_competition_are_typed_as_hours_and_may_go_past_midnight() -> None:
    starts = datetime(2026, 3, 14, 19, 0, tzinfo=UTC)
    (a, b), (c, d) = blocks_of("19:00 to 20:15; 23.30-0:45", starts)
    assert (a, b) == (starts, starts.replace(hour=20, minute=15))
    assert (c, d) == (starts.replace(hour=23, minute=30), datetime(2026, 3, 15, 0, 45, tzinfo=UTC))
    for wrong in ("seven to eight", "25:00 to 26:00", "19:00", "19:00 to 20:75", "19:00 to 20:15,"):
        with pytest.raises(NotUnderstood):
            blocks_of(wrong, starts)


def test_setting_a_competition_again_keeps_its_blocks(qtbot, window, ground) -> None:
    starts = datetime.now(UTC).astimezone().replace(hour=9, minute=0, second=0, microsecond=0)
    blocks = ((starts, starts + timedelta(hours=1)), (starts + timedelta(hours=2), starts + timedelta(hours=3)))
    kept: list[rules_now.Competition | None] = []
    now = rules_now.Competition(starts, starts + timedelta(hours=4), blocks, between_allowed=True)
    window.show()
    dialog = CompetitionDialog(ground, window, 1, now, None)
    dialog.open_()
    dialog.keep()
    ground.ask("kept", lambda shop: rules_now.competition(shop, 1), kept.append)
    qtbot.waitUntil(lambda: bool(kept))
    assert kept == [now]


def test_every_dialog_names_its_fields_and_closes_with_escape_and_without_a_trace(qtbot, window, ground) -> None:
    window.show()
    for make in everything(ground, window):
        dialog = make()
        for widget in dialog.findChildren(QWidget):
            if widget.focusPolicy() != Qt.FocusPolicy.NoFocus and widget.isVisible():
                reader = QAccessible.queryAccessibleInterface(widget)
                assert reader.text(QAccessible.Text.Name), (dialog.windowTitle(), type(widget).__name__)
        QTest.keyClick(dialog, Qt.Key.Key_Escape)
        qtbot.waitUntil(ground.worker.idle)
    count = _widgets()
    for _ in range(6):
        for make in everything(ground, window):
            make().close()
    qtbot.waitUntil(ground.worker.idle)
    assert _widgets() <= count + 5


def _widgets() -> int:
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    QCoreApplication.processEvents()
    return len(QApplication.allWidgets())


@pytest.mark.parametrize("percent", [100, 150, 200])
def test_dialogs_fit_a_small_screen_at_any_text_size(qtbot, window, ground, dressed, percent: int) -> None:
    dressed.resize(percent)
    window.show()
    room = window.screen().availableSize()
    for make in everything(ground, window):
        dialog = make()
        assert dialog.height() <= room.height()
        buttons = [b for b in dialog.findChildren(KeyButton) if b.isVisible()]
        assert all(b.geometry().bottom() <= dialog.height() for b in buttons)
        dialog.close()


def test_a_dialog_that_grows_stays_on_the_screen_with_its_buttons(qtbot, window) -> None:
    dialog = Dialog("Grows", window)
    button = dialog.offer("Not now", "Esc", dialog.reject)
    dialog.open_()
    free = (dialog.screen() or QApplication.primaryScreen()).availableGeometry()
    dialog.move(free.left() + 10, free.bottom() - dialog.height())
    for line in range(60):
        dialog.body.addWidget(Plain(f"line {line}"))
    QApplication.processEvents()
    dialog.fit()
    QApplication.processEvents()
    assert free.contains(dialog.frameGeometry())
    assert free.contains(button.mapToGlobal(button.rect().bottomRight()))
    dialog.close()


def test_enter_presses_the_button_the_keys_have_come_to_and_never_one_that_does_harm(qtbot, window) -> None:
    pressed: list[str] = []
    dialog = Dialog("A question", window)
    close = dialog.offer("Close", "Esc", lambda: pressed.append("close"))
    harm = dialog.offer("Remove", "", lambda: pressed.append("remove"), destructive=True)
    dialog.offer("Print", "P", lambda: pressed.append("print"), primary=True)
    dialog.open_()
    qtbot.waitUntil(dialog.isActiveWindow)
    dialog.setFocus()
    QTest.keyClick(dialog, Qt.Key.Key_Return)
    close.setFocus(Qt.FocusReason.TabFocusReason)
    QTest.keyClick(dialog.focusWidget(), Qt.Key.Key_Return)
    harm.setFocus(Qt.FocusReason.MouseFocusReason)
    QTest.keyClick(dialog.focusWidget(), Qt.Key.Key_Return)
    assert pressed == ["print", "close", "print"]
    dialog.reject()
