"""What could be put on a ball, on the Bench: pads, recipes, the question the other way round, one of them in full."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from arsenal.acts import people, recipe_book
from arsenal.acts.logging import keep
from arsenal.acts.pads import add_pad, mark_used_up
from arsenal.acts.settings import Settings
from arsenal.acts.shop import Shop
from arsenal.desk.bench.asking_wish import BETWEEN, Wish, wishes
from arsenal.desk.bench.asking_work import steps_words
from arsenal.desk.bench.in_full import InFullDialog
from arsenal.desk.bench.known import Known
from arsenal.desk.bench.room import BenchRoom, make
from arsenal.desk.bench.trial import TRIED_NAME, TrialDialog
from arsenal.desk.bench.work_table import PADS, RECIPES
from arsenal.desk.dialogs.pad import PadDialog
from arsenal.desk.dialogs.paper import PaperDialog
from arsenal.desk.dialogs.recipe import RecipeDialog
from arsenal.desk.parts.buttons import KeyButton
from arsenal.desk.rooms import Shared
from arsenal.desk.worker import Worker
from arsenal.order.records import Remark
from arsenal.surface.state import Estimate
from arsenal.trade.entries import Abrasive, Crack, Draft, Kind, Played, Scale, Step, SurfaceWork, Tool
from arsenal.trade.pads import Pad, Recipe
from arsenal.trade.units import SHOTS_A_GAME

BASE = (
    Step(number=500, tool=Tool.MACHINE, wet=True, sides=4, seconds=30),
    Step(number=1000, tool=Tool.MACHINE, wet=True, sides=4, seconds=30),
)
ROOK = 2


@pytest.fixture
def stocked(shop_file: Path) -> Path:
    """Pads, a recipe, a usual condition, and a ball that was sanded and played."""
    with Shop.open(shop_file, settings=Settings(path=shop_file.parent / "none.json")) as shop:
        people.set_usual_lane(shop, 1, 1)
        for number in (500, 1000, 2000):
            add_pad(shop, Pad(0, number, owner_id=1))
        add_pad(shop, Pad(0, 1000, uses_hand=3))
        add_pad(shop, Pad(0, 4000, owner_id=1))
        add_pad(shop, Pad(0, None, abrasive=Abrasive.POLISH, kind="bottle"))
        mark_used_up(shop, 5)
        recipe_book.add_recipe(shop, Recipe("Winter base", BASE, owner_id=1))
        today = shop.today()
        keep(shop, (
            Draft(ROOK, Kind.SANDED, today, SurfaceWork((Step(number=2000),))),
            Draft(ROOK, Kind.PLAYED, today, Played(3 * SHOTS_A_GAME)),
        ))  # fmt: skip
    return shop_file


@pytest.fixture
def room(qapp: QApplication, stocked: Path, settings: Settings, qtbot) -> Iterator[BenchRoom]:
    worker = Worker(lambda: Shop.open(stocked, settings=settings))
    shared = Shared(worker, settings)
    shared.bowler_id, shared.ball_id = 1, ROOK
    made = make(shared)
    shared.kept.connect(made.refresh)
    made.resize(1366, 694)
    made.show()
    made.enter()
    qtbot.waitUntil(lambda: bool(made.pads.rows_model.rows()), timeout=30000)
    yield made
    worker.close()
    made.close()
    made.deleteLater()
    shared.deleteLater()


def read(qtbot, shared: Shared, what: Callable[[Shop], Any]) -> Any:
    found: list = []
    shared.worker.act(what, found.append)
    qtbot.waitUntil(lambda: bool(found), timeout=20000)
    return found[0]


def opened(qtbot, room: BenchRoom, kind: type) -> Any:
    qtbot.waitUntil(lambda: any(d.isVisible() for d in room.window().findChildren(kind)), timeout=30000)
    return next(d for d in room.window().findChildren(kind) if d.isVisible())


def with_recipes(qtbot, room: BenchRoom) -> None:
    room.letter("V")
    qtbot.waitUntil(lambda: bool(room.recipes.rows_model.rows()), timeout=30000)


def test_every_pad_is_listed_also_one_without_a_number_and_one_used_up(room: BenchRoom) -> None:
    rows = room.pads.rows_model.rows()
    assert [row.recipe.name for row in rows] == ["500 h", "1000 h", "1000 h", "2000 h", "4000 h", "polish"]
    spoken = room.pads.model().index(4, 0).data(Qt.ItemDataRole.AccessibleTextRole)
    assert "no longer cuts" in spoken
    assert "left" in room.pads.model().index(1, 0).data(Qt.ItemDataRole.AccessibleTextRole)
    assert room.work.buy.whole() == "to buy: 4000 foam"


def test_the_line_of_the_shops_pad_takes_the_shops_pad(room: BenchRoom, qtbot) -> None:
    """The bowler has a pad of that grain too; a typed line would take it."""
    row = next(r for r in room.pads.rows_model.rows() if r.pad.number == 1000 and r.pad.owner_id is None)
    room.pads.opened.emit(row)
    qtbot.waitUntil(lambda: "sanded" in room.entry.meaning.text(), timeout=10000)
    with qtbot.waitSignal(room.shared.kept, timeout=10000):
        QTest.keyClick(room.entry.field, Qt.Key.Key_Return)
    log = read(qtbot, room.shared, lambda shop: shop.entries(ROOK))
    assert log[-1].payload.steps[0].pad_id == row.pad.id


def test_a_line_that_is_changed_is_read_again(room: BenchRoom, qtbot) -> None:
    row = next(r for r in room.pads.rows_model.rows() if r.pad.number == 1000 and r.pad.owner_id is None)
    room.pads.opened.emit(row)
    qtbot.waitUntil(lambda: "1000 by hand" in room.entry.meaning.text(), timeout=10000)
    room.entry.field.clear()
    QTest.keyClicks(room.entry.field, "rook 500 h")
    qtbot.waitUntil(lambda: "500 by hand" in room.entry.meaning.text(), timeout=10000)


def test_a_recipe_is_repeated_on_this_ball_with_one_key_and_undone_with_another(room: BenchRoom, qtbot) -> None:
    with_recipes(qtbot, room)
    assert room.recipes.rows_model.row(0).recipe.name == "Winter base"
    assert room.recipes.rows_model.row(1).opener, "the usual opener of its cover stands last"
    room.recipes.choose(0)
    assert "Enter logs it" in room.work.note.whole()
    assert "500, 1000 by machine, wet" in room.recipes.model().index(0, 0).data(Qt.ItemDataRole.AccessibleTextRole)
    with qtbot.waitSignal(room.shared.kept, timeout=10000) as kept:
        room.recipes.opened.emit(room.recipes.in_hand())
    assert "Winter base" in kept.args[0].sentence
    log = read(qtbot, room.shared, lambda shop: shop.entries(ROOK))
    assert [step.pad_id for step in log[-1].payload.steps] == [1, 2], "the pads of its grains are taken"


def test_the_question_the_other_way_round_has_an_answer_or_says_there_is_none(room: BenchRoom, qtbot) -> None:
    qtbot.waitUntil(lambda: room.work.answer.whole() not in ("", "…"), timeout=30000)
    room._wish_for(Wish("earlier", 1.0))
    qtbot.waitUntil(lambda: room.work.answer.whole() not in ("", "…"), timeout=30000)
    found = room._answer
    assert found is not None
    assert found.recipe is not None
    assert "ft earlier" in found.sentence or "nothing does it" in found.sentence
    assert room.work.answer.accessibleName() == found.whole, "the whole sentence for a screen reader"
    room.letter("Y")
    qtbot.waitUntil(lambda: room.entry.field.text().startswith("rook "), timeout=10000)
    qtbot.waitUntil(lambda: "Rook Hollow" in room.entry.meaning.text(), timeout=10000)


def test_a_place_between_two_others_never_names_the_ball_itself() -> None:
    asked = wishes([(1, "Quarry Song"), (2, "Rook Hollow"), (3, "Slow Lantern")], 2)
    between = [(label, wish.between) for label, wish in asked if wish.kind == BETWEEN]
    assert between == [("between Quarry Song and Slow Lantern", (1, 3))]


def test_a_jump_stands_beside_the_full_sequence_and_either_can_be_taken(room: BenchRoom, qtbot) -> None:
    room.pads.choose(0)
    room.letter("J")
    dialog = opened(qtbot, room, InFullDialog)
    assert dialog._found.jump.recipe.name == "500 h"
    assert dialog._found.full is not None
    names = [w.accessibleName() for w in dialog.findChildren(QWidget) if w.accessibleName()]
    for what in ("Plays about", "Boards at the pins", "First read", "Place in the order", "Cover off the radius"):
        assert any(name.startswith(f"{what}, Full sequence") for name in names), what
    next(b for b in dialog.findChildren(KeyButton) if b.key == "F").click()
    qtbot.waitUntil(lambda: room.entry.field.text().endswith("/500 h"), timeout=10000)


def test_what_is_known_says_where_it_stands_in_inspections_and_what_came_off(room: BenchRoom, qtbot) -> None:
    room.letter("K")
    dialog = opened(qtbot, room, Known)
    qtbot.waitUntil(lambda: dialog.list.rows_model.rowCount() > 0, timeout=10000)
    said = " ".join(dialog.list.rows_model.index(i).data() for i in range(dialog.list.rows_model.rowCount()))
    assert "every 10 sessions" in said
    assert "thousandths of an inch" in said
    assert "Readings worth taking" in said
    dialog.reject()


def test_a_cracked_ball_says_so_where_its_work_is_planned(room: BenchRoom, qtbot) -> None:
    crack = Draft(ROOK, Kind.CRACK, read(qtbot, room.shared, lambda shop: shop.today()), Crack("bridge", through=False))
    room.shared.keep(lambda shop: keep(shop, (crack,)))
    qtbot.waitUntil(lambda: room._view.sheet.state.cracked, timeout=10000)
    from arsenal.desk.bench.something_else import SomethingElse  # noqa: PLC0415 - as the room loads it

    room.facts.keys["else"].click()
    dialog = opened(qtbot, room, SomethingElse)
    assert dialog.panel.form.key == "sanded"
    assert "crack is open" in dialog.panel.cautions[0][0]
    assert "dust" in dialog.panel.cautions[1][0], "before anything is filled"
    dialog.reject()


def test_no_work_on_a_cracked_ball_is_kept_without_asking(room: BenchRoom, qtbot) -> None:
    crack = Draft(ROOK, Kind.CRACK, read(qtbot, room.shared, lambda shop: shop.today()), Crack("bridge", through=False))
    room.shared.keep(lambda shop: keep(shop, (crack,)))
    qtbot.waitUntil(lambda: room._view.sheet.state.cracked, timeout=10000)
    with_recipes(qtbot, room)
    before = read(qtbot, room.shared, lambda shop: shop.revision)
    room.recipes.opened.emit(room.recipes.rows_model.row(0))
    qtbot.waitUntil(lambda: QApplication.activeModalWidget() is not None, timeout=10000)
    question = QApplication.activeModalWidget()
    assert "crack is open" in " ".join(w.accessibleName() for w in question.findChildren(QWidget))
    assert read(qtbot, room.shared, lambda shop: shop.revision) == before
    question.reject()


def test_alarms_and_a_ball_near_its_least_diameter_stand_in_sight_with_a_mark(room: BenchRoom, qtbot) -> None:
    """8.500 inches is the least of the equipment specifications of the governing body (USBC); 8.505 is near it."""
    sheet = room._view.sheet
    thin = replace(sheet.state, radius_m=Estimate(0.5 * 8.505 * 0.0254, 0.5 * 0.001 * 0.0254))
    alarm = Remark("grown alike", "Rook Hollow and Quarry Song are alike now", "They were 4 boards apart.", (1, ROOK))
    room.facts.show_view(replace(room._view, sheet=replace(sheet, state=thin, alarms=(alarm,), findings=())))
    told = [room.facts.findings.itemAt(i).widget() for i in range(room.facts.findings.count())]
    assert [w.text()[0] for w in told] == ["●"], "a shape, not a colour alone"
    assert told[0].accessibleName() == "Rook Hollow and Quarry Song are alike now: They were 4 boards apart."
    assert room.facts._names["Cover taken off"].whole() == "● Across, least 8.500"
    assert room.facts._values["Cover taken off"].text().startswith("8.505 in")


def test_two_losses_stand_apart_each_with_its_doubt(room: BenchRoom) -> None:
    for name in ("Lost to surface", "Lost to oil in it"):
        said = room.facts._values[name].text()
        assert said == "–" or "±" in said


def test_a_past_day_is_looked_at_and_nothing_is_done_from_it(room: BenchRoom, qtbot) -> None:
    room.timeline.go(room._view.today - timedelta(days=400))
    room.timeline.go(None)
    qtbot.waitUntil(room.work.isEnabled, timeout=10000)
    assert "drag the line" in room.legend.whole()


def test_pads_and_recipes_take_turns_and_the_focus_goes_along(room: BenchRoom, qtbot) -> None:
    room.activateWindow()
    room.pads.setFocus()
    with_recipes(qtbot, room)
    assert room.work.shown() == RECIPES
    assert room.pads.isHidden()
    assert room.panes()[3] is room.recipes
    room.letter("V")
    assert room.work.shown() == PADS
    assert room.panes()[3] is room.pads


def test_every_word_that_can_be_pressed_has_its_name(room: BenchRoom) -> None:
    for widget in room.work.findChildren(QWidget):
        if widget.focusPolicy() & Qt.FocusPolicy.TabFocus and not widget.isHidden():
            reader = QAccessible.queryAccessibleInterface(widget)
            assert reader.text(QAccessible.Text.Name), type(widget).__name__


def test_tab_goes_from_the_field_to_its_patterns_then_down_the_table(room: BenchRoom) -> None:
    seen, at = [], room.entry.field
    while len(seen) < 60 and at is not room.facts.keys["else"]:
        at = at.nextInFocusChain()
        if at.focusPolicy() & Qt.FocusPolicy.TabFocus and at.isVisible():
            seen.append(at.accessibleName())
    wanted = [
        "rook 1000 h: one light pass", "Timeline of the finish", "Shown: Pads in stock", "Pads in stock", "Reading",
        "History", "Something else",
    ]  # fmt: skip
    assert [name for name in seen if name in wanted] == wanted


def test_a_small_window_scrolls_and_lays_nothing_over_another(room: BenchRoom, qtbot) -> None:
    room.resize(800, 480)
    qtbot.waitUntil(lambda: room.timeline.height() < 300, timeout=5000)
    QApplication.processEvents()
    assert room.timeline.height() >= room.timeline.minimumSizeHint().height()
    assert room.timeline.geometry().bottom() < room.work.geometry().top()
    assert room.work.note.geometry().top() >= room.pads.geometry().bottom()
    assert room.entry.field.geometry().bottom() < room.entry.meaning.geometry().top()


def test_a_recipe_is_written_changed_and_removed(room: BenchRoom, qtbot) -> None:
    with_recipes(qtbot, room)
    room.letter("A")
    dialog = opened(qtbot, room, RecipeDialog)
    dialog.keep()
    assert "choose what" in dialog.trouble.whole()
    dialog.steps.put((Step(number=2000),))
    qtbot.waitUntil(lambda: "would play about" in dialog.leaves.whole(), timeout=10000)
    dialog.keep()
    qtbot.waitUntil(lambda: len(room.recipes.rows_model.rows()) == 3, timeout=20000)
    room.recipes.choose_where(lambda row: row.recipe.name == "2000 h")
    room.letter("D")
    dialog = opened(qtbot, room, RecipeDialog)
    dialog.name.setText("Quick <b>one</b> & done")
    with qtbot.waitSignal(room.shared.kept, timeout=10000):
        dialog.keep()
    qtbot.waitUntil(lambda: any("&" in r.recipe.name for r in room.recipes.rows_model.rows()), timeout=20000)
    room.recipes.choose_where(lambda row: "&" in row.recipe.name)
    room.letter("D")
    dialog = opened(qtbot, room, RecipeDialog)
    with qtbot.waitSignal(room.shared.kept, timeout=10000):
        next(b for b in dialog.findChildren(KeyButton) if b.key == "X").click()
    qtbot.waitUntil(lambda: len(room.recipes.rows_model.rows()) == 2, timeout=20000)


def test_the_usual_opener_is_a_start_for_a_recipe_of_ones_own(room: BenchRoom, qtbot) -> None:
    with_recipes(qtbot, room)
    room.recipes.choose(1)
    room.letter("D")
    dialog = opened(qtbot, room, RecipeDialog)
    assert len(dialog.steps.rows) == 2
    with qtbot.waitSignal(room.shared.kept, timeout=10000):
        dialog.keep()
    kept = read(qtbot, room.shared, lambda shop: shop.recipes(1))
    assert [recipe.name for recipe in kept][-1] == "500/1000 m"


def test_a_recipe_on_paper_is_a_whole_file(room: BenchRoom, qtbot, tmp_path: Path) -> None:
    with_recipes(qtbot, room)
    room.recipes.choose(0)
    room.letter("L")
    dialog = opened(qtbot, room, PaperDialog)
    dialog.write_pdf(tmp_path / "no" / "recipe.pdf")
    assert "Choose another folder" in dialog.trouble.whole()
    dialog.write_pdf(tmp_path / "recipe.pdf")
    assert (tmp_path / "recipe.pdf").read_bytes().startswith(b"%PDF")
    assert [p.name for p in tmp_path.glob("*.pdf")] == ["recipe.pdf"]


def test_a_pad_in_micrometres_is_counted_in_micrometres(room: BenchRoom, qtbot) -> None:
    room.letter("P")
    dialog = opened(qtbot, room, PadDialog)
    dialog.scale.picked.emit(Scale.MICRON)
    dialog.microns.edit.setText("9")
    with qtbot.waitSignal(room.shared.kept, timeout=10000):
        dialog.keep()
    pad = read(qtbot, room.shared, lambda shop: shop.pads()[-1])
    assert (pad.number, pad.scale) == (9.0, Scale.MICRON)
    assert pad.bought_on == read(qtbot, room.shared, lambda shop: shop.today())


def test_a_pad_is_changed_and_what_nobody_touched_stays(room: BenchRoom, qtbot) -> None:
    room.pads.choose(2)
    row = room.pads.in_hand()
    room.letter("D")
    dialog = opened(qtbot, room, PadDialog)
    dialog.on_spinner.edit.setText("4")
    with qtbot.waitSignal(room.shared.kept, timeout=10000):
        dialog.keep()
    pad = read(qtbot, room.shared, lambda shop: shop.pad(row.pad.id))
    assert (pad.uses_hand, pad.uses_spinner, pad.owner_id) == (3.0, 4.0, None)


def test_a_ball_not_owned_takes_its_place_and_nothing_is_kept(room: BenchRoom, qtbot) -> None:
    before = read(qtbot, room.shared, lambda shop: shop.revision)
    room.letter("O")
    dialog = opened(qtbot, room, TrialDialog)
    dialog.finish.setText("rather dull")
    dialog.keep()
    qtbot.waitUntil(lambda: "no finish" in dialog.trouble.whole(), timeout=10000)
    dialog.finish.setText("2000 h")
    dialog.keep()
    qtbot.waitUntil(lambda: dialog.list.rows_model.rowCount() > 0, timeout=30000)
    rows = dialog.list.rows_model.rows()
    assert [row.name for row in rows if row.tried] == [TRIED_NAME]
    assert [row.boards for row in rows] == sorted((row.boards for row in rows), reverse=True)
    assert TRIED_NAME in dialog.told.whole()
    assert read(qtbot, room.shared, lambda shop: shop.revision) == before
    dialog.reject()


def test_steps_are_said_together_where_they_are_done_alike() -> None:
    polish = Step(Abrasive.POLISH, tool=Tool.SPINNER, wet=True)
    assert steps_words((*BASE, polish)) == "500, 1000 by machine, wet; polish on the spinner, wet"
    assert steps_words((Step(number=1000),)) == "1000 by hand, dry"
