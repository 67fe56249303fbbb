"""Fit sheets and drillings at the desk: fractions, checks under the row, advice as it is typed, like the last one."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from people_desk import Ground
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLineEdit, QWidget

from arsenal.acts import fits
from arsenal.desk.bench.history_rows import wrapped
from arsenal.desk.dialogs.drill_form import DrillDialog
from arsenal.desk.dialogs.fit_form import FitDialog
from arsenal.desk.dialogs.fit_list import open_fits
from arsenal.desk.dialogs.holes import NONE, NOT_USED, HolesTable
from arsenal.desk.dialogs.length import LengthField
from arsenal.desk.theme import look
from arsenal.trade.entries import Kind
from arsenal.trade.fit import PITCH, SPAN, DrillRecord, FitSheet, Hole
from arsenal.trade.units import INCH_M

IN = INCH_M
HOLES = (
    Hole("thumb", 0.96875 * IN, 2.5 * IN, forward_m=0.125 * IN, insert="slug"),
    Hole("middle", 0.875 * IN, span_m=4.375 * IN, forward_m=-0.25 * IN, side_m=0.125 * IN),
    Hole("ring", 0.875 * IN, span_m=4.5 * IN),
)


@pytest.fixture
def ground(qtbot, qapp, shop_file: Path, settings) -> Iterator[Ground]:
    made = Ground(qtbot, shop_file, settings)
    yield made
    made.close()


def typed(field: LengthField, text: str) -> None:
    field.edit.setText(text)
    field.check()


def test_a_length_is_read_and_shown_as_drillers_write_it(qtbot, window) -> None:
    field = LengthField(SPAN, "imperial", 4.375 * IN, name="span")
    qtbot.addWidget(field)
    assert field.text() == "4 3/8"
    typed(field, "4.5")
    assert (field.text(), field.si()) == ("4 1/2", pytest.approx(4.5 * IN))
    typed(field, "111 mm")
    assert field.si() == pytest.approx(0.111)
    typed(field, "9")
    assert field.sentence.text() == "Span is 0.5 to 8 in."
    typed(field, "four")
    assert "“four” is not understood" in field.sentence.text()
    assert field.si() is None


def test_what_nobody_touched_comes_back_as_it_was(qtbot) -> None:
    odd = 4.37519 * IN
    field = LengthField(SPAN, "metric", odd, name="span")
    qtbot.addWidget(field)
    assert field.text() == "111.13"
    assert field.si() == odd


def test_millimetres_by_the_setting_and_a_pitch_by_its_letter(qtbot) -> None:
    table = HolesTable(HOLES, "metric")
    qtbot.addWidget(table)
    middle = table.rows[1]
    assert (middle.span.text(), middle.forward.text(), middle.side.text()) == ("111.12", "6.35 R", "3.17 R")
    assert table.holes() == HOLES
    typed(middle.forward, "1/8 f")
    assert middle.forward.si() == pytest.approx(0.125 * IN)
    assert PITCH.high == 2.0


def test_no_hole_leaves_the_row_out_and_another_can_be_added(qtbot, window) -> None:
    table = HolesTable(HOLES, "imperial")
    qtbot.addWidget(table)
    table.show()
    table.rows[0].state.picked.emit(NONE)
    assert [hole.finger for hole in table.holes()] == ["middle", "ring"]
    assert not table.rows[0].width.isEnabled()
    table.rows[1].state.picked.emit(NOT_USED)
    assert [hole.used for hole in table.holes()] == [False, True]
    table.more.click()
    assert [hole.finger for hole in table.holes()] == ["middle", "ring", "other"]


def test_a_wrong_hole_is_named_below_its_row_and_nothing_is_kept(ground: Ground, window) -> None:
    dialog = open_fits(ground.shared, window, person_id=1)
    ground.idle()
    dialog.measure.click()
    form = ground.top(FitDialog)
    typed(form.holes.rows[1].side, "1/8 q")
    form.keep()
    assert "Pitch left or right of the middle hole" in form.holes.rows[1].told.text()
    assert "1/8 R or 1/8 L" in form.holes.rows[1].told.text()
    assert form.holes.rows[2].told.text() == ""
    assert form.isVisible()
    assert ground.read(lambda shop: fits.fits_of(shop, 1)) == ()


def test_a_fit_is_kept_and_the_next_drilling_starts_with_its_holes(ground: Ground, window) -> None:
    dialog = open_fits(ground.shared, window, ball_id=1)
    ground.idle()
    assert "No fit was measured" in dialog.none.whole()
    dialog.measure.click()
    form = ground.top(FitDialog)
    typed(form.holes.rows[0].width, "31/32")
    typed(form.holes.rows[1].span, "4 3/8")
    typed(form.over, "5")
    typed(form.up, "1/2 down")
    form.by.setText("HM")
    with ground.qtbot.waitSignal(ground.shared.kept):
        QTest.keyClick(form, Qt.Key.Key_Return)
    (fit,) = ground.read(lambda shop: fits.fits_of(shop, 1))
    assert (fit.axis_over_m, fit.axis_up_m) == (pytest.approx(5 * IN), pytest.approx(-0.5 * IN))
    ground.qtbot.waitUntil(lambda: dialog.list.rows_model.rowCount() == 1)
    ground.qtbot.waitUntil(lambda: dialog.book.newest_fit is not None)
    dialog.drill.click()
    drilling = ground.top(DrillDialog)
    assert drilling.holes.rows[1].span.text() == "4 3/8"
    typed(drilling.pin, "4.5")
    with ground.qtbot.waitSignal(ground.shared.kept):
        drilling.keep()
    (kept,) = ground.read(lambda shop: fits.drills_of(shop, 1))
    assert (kept.fit_id, kept.pin_to_axis_m) == (fit.id, pytest.approx(4.5 * IN))
    assert ground.read(lambda shop: shop.entries(1))[-1].kind is Kind.DRILLED


def test_drill_like_my_last_one_fills_the_form_and_keeps_nothing_yet(ground: Ground, window) -> None:
    day = date.today()  # noqa: DTZ011 - the shop's own day
    ground.read(lambda shop: fits.keep_drill(shop, DrillRecord(0, 1, day, HOLES, 4.0 * IN, driller="Kell")))
    form = DrillDialog(ground.shared, window, "Rook Hollow", DrillRecord(0, 2, day), day)
    form.open_()
    form.like.click()
    ground.qtbot.waitUntil(form.copied.isVisible)
    assert form.copied.whole().startswith("As Quarry Song")
    assert (form.pin.text(), form.driller.text(), form.holes.rows[1].span.text()) == ("4", "Kell", "4 3/8")
    assert form.mass.text() == ""
    assert ground.read(lambda shop: fits.drills_of(shop, 2)) == ()
    assert form.record().ball_id == 2


def test_what_was_typed_for_a_hole_that_is_none_stops_nothing(ground: Ground, window) -> None:
    day = date.today()  # noqa: DTZ011 - the shop's own day
    form = DrillDialog(ground.shared, window, "Quarry Song", DrillRecord(0, 1, day, HOLES), day)
    form.open_()
    thumb = form.holes.rows[0]
    thumb.width.edit.setText("wide")
    thumb.state.picked.emit(NONE)
    with ground.qtbot.waitSignal(ground.shared.kept):
        form.keep()
    kept = ground.read(lambda shop: fits.drills_of(shop, 1))[0]
    assert [hole.finger for hole in kept.holes] == ["middle", "ring"]


def test_drill_like_my_last_one_is_one_key_from_any_field(ground: Ground, window) -> None:
    day = date.today()  # noqa: DTZ011 - the shop's own day
    ground.read(lambda shop: fits.keep_drill(shop, DrillRecord(0, 1, day, HOLES, 4.0 * IN)))
    form = DrillDialog(ground.shared, window, "Rook Hollow", DrillRecord(0, 2, day), day)
    form.open_()
    ground.qtbot.waitUntil(form.pin.edit.hasFocus)
    QTest.keyClick(form.pin.edit, Qt.Key.Key_L, Qt.KeyboardModifier.ControlModifier)
    ground.qtbot.waitUntil(lambda: form.pin.text() == "4")


def test_no_last_one_is_said(ground: Ground, window) -> None:
    day = date.today()  # noqa: DTZ011 - the shop's own day
    form = DrillDialog(ground.shared, window, "Rook Hollow", DrillRecord(0, 2, day), day)
    form.open_()
    form.like.click()
    ground.qtbot.waitUntil(lambda: "has a drill record yet" in form.trouble.whole())


def test_the_rule_rows_advise_as_it_is_typed_and_never_block(ground: Ground, window) -> None:
    """Any two halves of a ball over 10 lb within 3 oz, from 1 Aug 2020 (USBC, secondhand)."""
    day = date.today()  # noqa: DTZ011 - the shop's own day
    form = DrillDialog(ground.shared, window, "Quarry Song", DrillRecord(0, 1, day, HOLES), day)
    form.open_()
    ground.idle()
    assert "3 oz" not in form.advice.accessibleDescription()
    form.side.edit.setText("3.5")
    form.side.edit.textEdited.emit("3.5")
    ground.qtbot.waitUntil(lambda: "3 oz" in form.advice.accessibleDescription())
    assert form.keep_button.isEnabled()
    with ground.qtbot.waitSignal(ground.shared.kept):
        form.keep()
    assert ground.read(lambda shop: fits.drills_of(shop, 1))[0].side_oz == 3.5


def test_a_drilling_changed_writes_no_second_entry_and_keeps_its_weight_exactly(ground: Ground, window) -> None:
    day = date.today()  # noqa: DTZ011 - the shop's own day
    ground.read(lambda shop: fits.keep_drill(shop, DrillRecord(0, 1, day, HOLES, mass_after_kg=6.7931234)))
    (kept,) = ground.read(lambda shop: fits.drills_of(shop, 1))
    entries = len(ground.read(lambda shop: shop.entries(1)))
    form = DrillDialog(ground.shared, window, "Quarry Song", kept, day)
    form.open_()
    form.note.setText("<b>&amp;</b>\u202e")
    with ground.qtbot.waitSignal(ground.shared.kept):
        form.keep()
    (after,) = ground.read(lambda shop: fits.drills_of(shop, 1))
    assert after.mass_after_kg == 6.7931234
    assert after.note.startswith("<b>&amp;</b>")
    assert len(ground.read(lambda shop: shop.entries(1))) == entries


def test_a_sign_that_turns_the_writing_round_turns_no_line_below_it(qapp) -> None:
    layout, _ = wrapped("drilled by K\u202e\nthumb: 1 in wide", look().font(13), 400)
    assert "\u202e" not in layout.text()


def test_hostile_words_are_rows_like_any_other(ground: Ground, window) -> None:
    day = date.today()  # noqa: DTZ011 - the shop's own day
    note = "<img src=file:///etc/passwd>" + "x" * 400
    ground.read(lambda shop: fits.keep_fit(shop, FitSheet(0, 2, day, HOLES, measured_by="=1+1", note=note[:390])))
    dialog = open_fits(ground.shared, window, person_id=2)
    ground.qtbot.waitUntil(lambda: dialog.list.rows_model.rowCount() == 1)
    assert "<i>Ode</i>" in dialog.heading.text()
    assert "<img src=file" in dialog.list.rows_model.data(dialog.list.rows_model.index(0))
    assert not dialog.drill.isVisible()


@pytest.mark.parametrize("percent", [100, 200])
def test_every_field_has_a_name_and_is_reached_by_tab(ground: Ground, window, percent: int) -> None:
    look().set_both("dark", percent)
    day = date.today()  # noqa: DTZ011 - the shop's own day
    form = DrillDialog(ground.shared, window, "Quarry Song", DrillRecord(0, 1, day, HOLES), day)
    form.open_()
    fields = [field for field in form.findChildren(QLineEdit) if field.isVisible() and field.isEnabled()]
    assert all(field.accessibleName() for field in fields)
    seen: list[QWidget] = []
    stop = form.pin.edit.nextInFocusChain()
    while stop is not form.pin.edit:
        seen.append(stop)
        stop = stop.nextInFocusChain()
    assert {id(field) for field in fields} <= {id(one) for one in [*seen, form.pin.edit]}
    spans = [row.span.edit for row in form.holes.rows]
    order = [seen.index(edit) for edit in spans]
    assert order == sorted(order)
    assert form.width() <= form.screen().availableSize().width()


def test_a_wrong_field_comes_into_sight_at_200_percent(ground: Ground, window) -> None:
    look().set_both("light", 200)
    day = date.today()  # noqa: DTZ011 - the shop's own day
    form = DrillDialog(ground.shared, window, "Quarry Song", DrillRecord(0, 1, day, HOLES), day)
    form.open_()
    ring = form.holes.rows[2].depth
    ring.edit.setText("deep")
    form.keep()
    seen = ring.mapTo(form, ring.rect().center())
    assert form.rect().contains(seen)
    assert ring.visibleRegion().boundingRect().height() > 0
