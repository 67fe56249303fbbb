"""The window: top bar, the open room's sentence, the room, the last-act line; and what the keys do everywhere."""

from __future__ import annotations

import base64
import itertools
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import QByteArray, QPoint, QSize, Qt, QTimer, Signal
from PySide6.QtGui import QCloseEvent, QKeySequence, QResizeEvent, QShortcut
from PySide6.QtWidgets import QApplication, QStackedWidget, QVBoxLayout, QWidget

from arsenal.desk.foot import Foot, Present, foot_of, settle, who_is_there
from arsenal.desk.keys import KeyListener
from arsenal.desk.last_act import LastAct
from arsenal.desk.look_words import put_size
from arsenal.desk.parts.bars import Bars
from arsenal.desk.parts.buttons import KeyButton
from arsenal.desk.parts.panes import focus_stops
from arsenal.desk.parts.sentence import Sentence
from arsenal.desk.rooms import TURN_MS, Room, Shared
from arsenal.desk.scanning import WARM_MS, Scanning
from arsenal.desk.search import SearchLine
from arsenal.desk.theme import SCALES, look
from arsenal.desk.top import TopBar

if TYPE_CHECKING:
    from arsenal.acts.shop import Shop
    from arsenal.acts.views import Changes, Hit
    from arsenal.desk.worker import Progress

COUNTER, BENCH, LANE_SIDE = 6, 2, 1


class Window(QWidget):
    """The desk's one window. It shows at once; `furnish` brings the rooms, `file_open` says the file can be read."""

    closed = Signal()
    other_wanted = Signal()
    """The first page is asked for: another shop."""
    restore_wanted = Signal(object)
    """The path of a backup that shall take the file's place."""
    take_over_wanted = Signal(object, object, str, bool)
    """A copy that shall take a file's place, that place, who takes it over, and whether all the same."""
    removal_wanted = Signal()
    """The sample shop shall go."""

    def __init__(self, shared: Shared, known: Sequence[tuple[int, str, str]]) -> None:
        super().__init__()
        self.shared, self.known = shared, list(known)
        self._readable = False
        self._makers: dict[int, Callable[[Shared], Room]] = {}
        self.setWindowTitle("Padbook")
        self.setMinimumSize(640, 400)
        self.search = SearchLine(shared, self)
        self.top = TopBar(self.search)
        self.bars, self.stack, self.foot = QStackedWidget(), QStackedWidget(), LastAct()
        self.bars.setAccessibleName("Sentence")
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        for widget, stretch in ((self.top, 0), (self.bars, 0), (self.stack, 1), (self.foot, 0)):
            column.addWidget(widget, stretch)
        self.rooms: list[Room] = []
        self._bar_of: dict[int, QWidget | None] = {}
        self._open: Room | None = None
        self._later = 0
        self.first = next((d for d, name, _ in self.known if name == shared.settings.last_room), 0)
        for digit, name, _ in self.known:
            self.top.add(digit, name)
        if self.known:
            self.first = self.first or self.known[0][0]
            self.top.show_room(self.first)
        self.foot.place("", "", shared.file_name)
        self.keys, self.scanning = KeyListener(self), Scanning(self)
        self.keys.watch(self)
        self._connect()
        self._dress()

    def _connect(self) -> None:
        self.top.opened.connect(self.open_room)
        self.search.opened.connect(self.open_hit)
        self.search.left.connect(self._to_room)
        self.shared.kept.connect(self._kept)
        self.shared.said.connect(self.foot.said)
        self.shared.troubled.connect(self.foot.trouble)
        self.shared.wanted.connect(self.open_room)
        worker = self.shared.worker
        worker.failed.connect(self.foot.trouble)
        worker.busy.connect(self.foot.busy)
        worker.slow.connect(self.foot.slow)
        self.foot.cancel_wanted.connect(worker.cancel)
        self.foot.undo_wanted.connect(self.undo)
        self.foot.menu_wanted.connect(self.show_menu)
        self.foot.backups_wanted.connect(self.show_backups)
        self.keys.pressed.connect(self._key)
        self.keys.rolled.connect(self._rolled)
        self.keys.scanned.connect(self._scan)
        for keys, call in (
            ("Ctrl+K", self.search.take_focus), ("Ctrl+Z", self.undo), ("F6", self._next_pane),
            ("Shift+F6", self._last_pane), ("F10", self.show_menu), ("F1", self.show_keys), ("Ctrl+O", self.load_files),
            ("Ctrl++", self._larger), ("Ctrl+=", self._larger), ("Ctrl+-", self._smaller),
        ):  # fmt: skip
            QShortcut(QKeySequence(keys), self).activated.connect(call)
        look().changed.connect(self._dress)

    def furnish(self, makers: Sequence[Callable[[Shared], Room]]) -> None:
        """Makers of the known rooms, in their order; see `furnish_room`."""
        self._makers = {digit: make for (digit, _, _), make in zip(self.known, makers, strict=True)}
        self._go_on()

    def furnish_room(self, digit: int, make: Callable[[Shared], Room]) -> None:
        """One more room is loaded: the one used last is opened at once, the others are made a turn each."""
        self._makers[digit] = make
        self._go_on()
        if digit == self._later:
            self.open_room(digit)

    def _go_on(self) -> None:
        self._make(self.first)
        self._begin()
        QTimer.singleShot(TURN_MS, self._make_next)

    def _make_next(self) -> None:
        if self._makers:
            self._make(next(iter(self._makers)))
            QTimer.singleShot(TURN_MS, self._make_next)

    def _make(self, digit: int) -> None:
        make = self._makers.pop(digit, None)
        if make is None:
            return
        room = make(self.shared)
        self.rooms.append(room)
        self.rooms.sort(key=lambda r: r.digit)
        self.stack.addWidget(room)
        bar = self._bar_of[room.digit] = room.sentence_bar()
        if bar is not None:
            self.bars.addWidget(bar)
        if isinstance(bar, Sentence | Bars):
            bar.height_changed.connect(self._fit_bar)
        room.grown.connect(self._order_tabs)
        self._order_tabs()

    def _order_tabs(self) -> None:
        """Rooms, search, sentence, room, last act: as they stand on the screen."""
        parts: list[QWidget] = [self.top, self.search]
        for room in self.rooms:
            bar = self._bar_of[room.digit]
            parts += [bar, room] if bar is not None else [room]
        stops = [stop for part in (*parts, self.foot) for stop in focus_stops(part)]
        tabs = [stop for stop in stops if stop in self.top.tabs()]
        stops = [*tabs, *(stop for stop in stops if stop not in tabs and not self.search.isAncestorOf(stop))]
        stops.insert(len(tabs), self.search.edit)
        for before, after in itertools.pairwise(stops):
            QWidget.setTabOrder(before, after)

    def file_open(self) -> None:
        """The file is open: see who is in it, then open the room used last."""
        self.shared.worker.ask("who", who_is_there, self._there)

    def _there(self, there: Present) -> None:
        held = settle(self.shared, there)
        self.shared.bowler_id, self.shared.lane_id, self.shared.ball_id = held
        self._readable = True
        self._begin()
        self.refresh_foot()
        QTimer.singleShot(WARM_MS, self.scanning.warm)

    def _begin(self) -> None:
        if self.rooms and self._readable and self._open is None:
            self.open_room(self.first)

    def refresh_foot(self) -> None:
        """Ask what Undo would take back, when the file was written and backed up last."""
        self.shared.worker.ask("foot", foot_of, self._show_foot)

    def _show_foot(self, foot: Foot) -> None:
        if not self.foot.sentence.whole():
            self.foot.done(foot.last, None)
        self.foot.offer_undo(foot.undo_name)
        self.foot.place(foot.saved, foot.backup, self.shared.file_name)

    def room(self, digit: int) -> Room | None:
        """The room with that digit, where it exists."""
        return next((room for room in self.rooms if room.digit == digit), None)

    def open_room(self, digit: int) -> None:
        """Bring a room to the front."""
        if self._open is None and any(digit == known for known, _, _ in self.known):
            self.first = digit
            self.top.show_room(digit)
        self._make(digit)
        room, self._later = self.room(digit), digit
        if room is None or room is self._open or not self._readable:
            return
        if self._open is not None:
            self._open.leave()
        self._open = room
        bar = self._bar_of[digit]
        self.bars.setVisible(bar is not None)
        if bar is not None:
            self.bars.setCurrentWidget(bar)
            self._fit_bar()
        self.stack.setCurrentWidget(room)
        self.top.show_room(digit)
        self.shared.settings.last_room = room.name
        room.enter()
        focus = QApplication.focusWidget()
        if focus is None or not (self.top.isAncestorOf(focus) and focus is not self.search.edit):
            self._to_room()

    def _to_room(self) -> None:
        """The keys go to the room in front."""
        if self._open is not None:
            next(iter(self._open.panes()), self._open).setFocus(Qt.FocusReason.OtherFocusReason)

    def opened(self) -> Room | None:
        """The room in front."""
        return self._open

    def open_hit(self, hit: Hit) -> None:
        """The room in front may show it itself; else a ticket opens on the Counter, a ball on the Bench, a bowler on
        Lane-side, a condition in hand on Lane-side.
        """
        if hit.kind == "ticket":
            self.open_room(COUNTER)
        if self._open is not None and self._open.take_hit(hit):
            return
        if hit.kind == "ball":
            self.shared.hold_ball(hit.id)
            self.open_room(BENCH if self.room(BENCH) else LANE_SIDE)
        elif hit.kind == "person":
            self.shared.hold_bowler(hit.id)
            self.open_room(LANE_SIDE)
        elif hit.kind == "lane":
            self.shared.hold_lane(hit.id)
            self.open_room(LANE_SIDE)

    def undo(self) -> None:
        """Take back what the room holds and has not kept yet, else the last act."""
        if self._open is not None and self._open.forget():
            return
        self.shared.keep(_undo, title="Taking it back", progress=True)

    def ask_questions(self) -> None:
        """The four questions of an empty shop."""
        from arsenal.desk.dialogs.questions import open_questions  # noqa: PLC0415 - rarely needed

        open_questions(self.shared, self, self._bowler_added)

    def _bowler_added(self, changes: Changes) -> None:
        if changes.changed:
            self.shared.hold_bowler(changes.changed[0].id)
            if self._open is not None:
                self._open.enter()

    def show_menu(self) -> None:
        """Files, adding, look."""
        from arsenal.desk.file_menu import FileMenu  # noqa: PLC0415 - when first asked for

        menu = FileMenu(
            self.shared, self, restore=self.restore_wanted.emit, other=self.other_wanted.emit,
            remove=self.removal_wanted.emit, keys=self.show_keys, take=self.take_over_wanted.emit,
            refresh=self.refresh_foot,
        )  # fmt: skip
        menu.aboutToHide.connect(menu.deleteLater)
        corner = self.foot.file.mapToGlobal(self.foot.file.rect().topRight())
        menu.popup(corner - QPoint(menu.sizeHint().width(), menu.sizeHint().height()))

    def show_keys(self) -> None:
        """What the keys do."""
        from arsenal.desk.dialogs.keys_help import open_keys  # noqa: PLC0415 - when first asked for

        open_keys(self, self._open, self._open.keys_help() if self._open is not None else ())

    def load_files(self) -> None:
        """Choose files and see what they hold."""
        from arsenal.desk.dialogs.load import open_load  # noqa: PLC0415 - when first asked for

        open_load(self.shared, self)

    def show_backups(self) -> None:
        """The list of backups."""
        from arsenal.desk.dialogs.backups import open_backups  # noqa: PLC0415 - when first asked for

        open_backups(self.shared, self, self.restore_wanted.emit)

    def _larger(self) -> None:
        put_size(self.shared.settings, next((s for s in SCALES if s > look().percent), SCALES[-1]))

    def _smaller(self) -> None:
        put_size(self.shared.settings, next((s for s in reversed(SCALES) if s < look().percent), SCALES[0]))

    def _kept(self, changes: Changes) -> None:
        self.refresh_foot()
        if changes.sentence:
            self.foot.done(changes.sentence, changes.sentence)
        if changes.changed and self._open is not None:
            self._open.refresh(changes)

    def _key(self, key: str) -> None:
        """A single key: a dialog's button, else a room digit, else a button of the room, else the room."""
        active = QApplication.activeModalWidget() or QApplication.activeWindow()
        if active is not None and active is not self:
            press(active, key)
            return
        room = self._open
        if key.isdigit() and not (room is not None and room.holds_digits()):
            self.open_room(int(key))
        elif room is not None and not press(room.button_scope(shifted=self.keys.shifted), key):
            room.letter(key)

    def _scan(self, text: str) -> None:
        if QApplication.activeModalWidget() is not None or self._open is None or not self._open.burst(text):
            self.scanning.take(text)

    def _rolled(self, keys: str) -> None:
        """Two or three keys at once: what a room takes together, else one after the other."""
        if self._open is None or not self._open.burst(keys):
            for key in keys.upper():
                self._key(key)

    def _stops(self) -> list[QWidget]:
        room = list(self._open.panes()) if self._open is not None else []
        return [self.top.tabs()[0], self.search.edit, *room, self.foot.undo] if self.top.tabs() else []

    def _next_pane(self) -> None:
        self._jump(1)

    def _last_pane(self) -> None:
        self._jump(-1)

    def _jump(self, by: int) -> None:
        stops = [w for w in self._stops() if w.isVisible() and w.isEnabled()]
        focus = QApplication.focusWidget()
        here = next((i for i, w in enumerate(stops) if w is focus or (focus is not None and w.isAncestorOf(focus))), -1)
        if stops:
            stops[(here + by) % len(stops)].setFocus(Qt.FocusReason.TabFocusReason)

    def sizeHint(self) -> QSize:
        """1366 × 768, what most laptops show."""
        return QSize(1366, 768)

    def restore_place(self) -> None:
        """The window where it was."""
        text = self.shared.settings.geometry
        if not text or not self.restoreGeometry(QByteArray(base64.b64decode(text))):
            self.resize(self.sizeHint())

    def come_forward(self) -> None:
        """A second start on the same file."""
        self.setWindowState((self.windowState() & ~Qt.WindowState.WindowMinimized) | Qt.WindowState.WindowActive)
        self.raise_()
        self.activateWindow()

    def closeEvent(self, event: QCloseEvent) -> None:
        """Keep what the room still holds, and remember where everything was."""
        if self._open is not None:
            self._open.leave()
        self.remember()
        self.closed.emit()
        super().closeEvent(event)

    def remember(self) -> None:
        """Window, bowler, lane and ball go into the settings."""
        kept = self.shared.settings
        kept.geometry = base64.b64encode(self.saveGeometry().data()).decode()
        kept.last_bowler_id, kept.last_lane_id = self.shared.bowler_id, self.shared.lane_id
        kept.last_ball_id = self.shared.ball_id

    def _fit_bar(self) -> None:
        bar = self.bars.currentWidget()
        high = bar.heightForWidth(self.width()) if isinstance(bar, Sentence | Bars) else 0
        self.bars.setFixedHeight(max(look().px(46), high))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """The sentence may need another row."""
        super().resizeEvent(event)
        self._fit_bar()

    def _dress(self) -> None:
        self._fit_bar()


def _undo(shop: Shop, progress: Progress) -> Changes:
    from arsenal.acts import undo  # noqa: PLC0415 - heavy, on the worker's thread

    return undo.undo(shop, tell=progress)


def press(within: QWidget, key: str) -> bool:
    """Press the visible, enabled button carrying that key. True where there was one."""
    for button in within.findChildren(KeyButton):
        if button.key.upper() == key and button.isVisible() and button.isEnabled():
            button.setFocus(Qt.FocusReason.ShortcutFocusReason)
            button.click()
            return True
    return False
