"""From a start to an open shop: first page or window, the worker, the rooms once they are loaded, another file."""

from __future__ import annotations

import contextlib
import importlib
import importlib.util
import shutil
import sys
import threading
import time
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QCoreApplication, QObject, QTimer, Signal, SignalInstance
from PySide6.QtWidgets import QWidget

from arsenal.acts import places
from arsenal.acts.settings import Settings
from arsenal.desk.aside import aside
from arsenal.desk.bugs import Catcher
from arsenal.desk.first_run import FirstRun
from arsenal.desk.frame import Window
from arsenal.desk.reminders import Reminders
from arsenal.desk.reminding import remind
from arsenal.desk.rooms import Room, Shared
from arsenal.desk.single import Doorbell
from arsenal.desk.worker import Worker
from arsenal.trade.errors import KnownError

if TYPE_CHECKING:
    from arsenal.acts.shop import Shop

ROOMS = (
    (1, "Lane-side", "arsenal.desk.coach.front"),
    (2, "Bench", "arsenal.desk.bench.room"),
    (3, "Practice", "arsenal.desk.practice.room"),
    (4, "Event", "arsenal.desk.event.room"),
    (5, "Upkeep", "arsenal.desk.upkeep.room"),
    (6, "Counter", "arsenal.desk.counter.room"),
)
"""Digit, name, and the module whose `make(shared)` makes the room."""
HEAVY = ("numpy", "pyqtgraph")
ENGINE_WAIT_S, REST_S = 1.0, 1.0
"""Rooms made while the engine is fetched hold the window up; where it must be compiled first, they go ahead."""


def existing_rooms() -> list[tuple[int, str, str]]:
    """The rooms this program has, without importing them."""
    return [row for row in ROOMS if _there(row[2])]


def _there(module: str) -> bool:
    try:
        return importlib.util.find_spec(module) is not None
    except ModuleNotFoundError:
        return False


def open_shop(path: Path, settings: Settings, *, create: bool) -> Shop:
    """Open the file; on the worker's thread, where what is heavy is loaded."""
    from arsenal.acts.shop import Shop  # noqa: PLC0415 - heavy

    if create:
        path.parent.mkdir(parents=True, exist_ok=True)
    return Shop.open(path, settings=settings, create=create)


class Loader(QObject):
    """Imports rooms and plots on a thread of its own while the window already answers: the first of `modules` at once,
    the others a moment later, so that they do not starve what the first one shows.
    """

    loaded = Signal(str)
    """One module is there, or will not be; see `maker`."""
    finished = Signal()
    """All of them are."""

    def __init__(self, modules: Sequence[str], parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._modules = modules
        self._warming: threading.Thread | None = None
        self._error: BaseException | None = None
        self._thread = threading.Thread(target=self._load, name="loading rooms", daemon=True)

    def start(self) -> None:
        """Begin, and fetch the engine meanwhile."""
        self._warming = warm_behind()
        self._thread.start()

    def maker(self, module: str) -> Callable[[Shared], Room]:
        """A room's maker, once loaded. Raises what loading raised."""
        if self._error is not None:
            raise self._error
        found: Callable[[Shared], Room] = sys.modules[module].make
        return found

    def _load(self) -> None:
        for number, name in enumerate(self._modules):
            if number == 1:
                time.sleep(REST_S)
            try:
                for module in (*HEAVY, name):
                    importlib.import_module(module)
            except BaseException as error:  # noqa: BLE001 - raised again where the window can tell it
                self._error = error
            if number == 0 and self._warming is not None:
                self._warming.join(ENGINE_WAIT_S)
            self._tell(self.loaded, name)
            if self._error is not None:
                return
        self._tell(self.finished)

    @staticmethod
    def _tell(signal: SignalInstance, *what: str) -> None:
        with contextlib.suppress(RuntimeError):  # the window was closed meanwhile, and this with it
            signal.emit(*what)


class Desk(QObject):
    """What is open now. `start` shows the first page or the window; everything else follows from signals."""

    def __init__(self, settings: Settings) -> None:
        super().__init__()
        self.settings = settings
        self.first: FirstRun | None = None
        self.window: Window | None = None
        self._bell: Doorbell | None = None
        self._loader: Loader | None = None
        self._reminders: Reminders | None = None
        self._catcher: Catcher | None = None
        self._file_closed = True
        self._had_one = False

    def target(self, path: Path | None) -> Path | None:
        """The file a start means: `path`, else the one used last, else the usual one; None where none is there."""
        last = Path(self.settings.last_file) if self.settings.last_file else places.shop_file()
        return path or (last if last.exists() else None)

    def start(self, path: Path | None) -> None:
        """Open the file a start means, or show the first page."""
        target = self.target(path)
        if target is None:
            self.show_first()
        else:
            self.open(target, create=path is not None)

    def show_first(self, complaint: str = "") -> None:
        """The first page, in the place of the window."""
        self._close_file()
        page = FirstRun(self.settings, places.shop_file())
        page.sample_wanted.connect(self.open_sample)
        page.empty_wanted.connect(self.open_empty)
        page.restore_wanted.connect(self.restore)
        page.complain(complaint)
        self._swap(page)
        self.first = page
        QTimer.singleShot(0, warm_behind)

    def open(self, path: Path, *, create: bool = True, ask_first: bool = False) -> None:
        """Open a file in the window; `ask_first` begins with the four questions of an empty shop."""
        self._close_file()
        self._file_closed = False
        worker = Worker(lambda: open_shop(path, self.settings, create=create), start=False)
        shared = Shared(worker, self.settings)
        shared.path = path
        shared.file_name = "Sample shop" if path.stem == places.sample_file().stem else path.stem
        window = Window(shared, existing_rooms())
        window.closed.connect(self.window_gone)
        window.other_wanted.connect(self.show_first)
        window.removal_wanted.connect(self.remove_sample)
        window.restore_wanted.connect(lambda backup: self.restore(backup, path))
        window.take_over_wanted.connect(self.take_over)
        self._swap(window)
        self.window = window
        if str(path.resolve()) != self.settings.last_file:
            shared.bowler_id = shared.lane_id = shared.ball_id = None
        self.settings.last_file = str(path.resolve())
        self._bell = Doorbell(path, window)
        self._bell.rung.connect(window.come_forward)
        QTimer.singleShot(0, lambda: self._go_on(window, ask_first=ask_first))

    def _go_on(self, window: Window, *, ask_first: bool) -> None:
        """After the window has been painted: open the file and load the rooms, both off this thread."""
        worker = window.shared.worker
        worker.begin()
        worker.ask("open", lambda shop: shop.revision, lambda _n: self._opened(window), failed=self._not_opened)
        digits = {module: digit for digit, _, module in sorted(window.known, key=lambda k: k[0] != window.first)}
        loader = Loader(tuple(digits))

        def loaded(name: str) -> None:
            if window is self.window:
                window.furnish_room(digits[name], loader.maker(name))

        def finished() -> None:
            if window is self.window and not self._file_closed:
                self._reminders = remind(window)

        loader.loaded.connect(loaded)
        loader.finished.connect(finished)
        if ask_first:
            QTimer.singleShot(0, lambda: window.ask_questions() if window is self.window else None)
        self._loader = loader
        loader.start()

    def _opened(self, window: Window) -> None:
        self._had_one = True
        window.file_open()

    def _not_opened(self, error: KnownError) -> None:
        if self._bell is not None and self._bell.other and not self._had_one:  # the window started first is raised
            self._close_file()
            QCoreApplication.quit()
            return
        self._close_file()
        self.settings.last_file = ""
        self.show_first(str(error))

    def open_sample(self) -> None:
        """The sample shop, written first where it is not there."""
        path = places.sample_file()
        if path.exists():
            self.open(path, create=False)
            return
        self._on_thread("sample", lambda: _write_sample(path), lambda: self.open(path, create=False))

    def open_empty(self, path: Path) -> None:
        """A new shop with the four questions, or the one that is there."""
        self.open(path, create=True, ask_first=not path.exists())

    def restore(self, backup: Path, onto: Path) -> None:
        """Put a checked backup in place, then open it."""
        had_window = self.window is not None
        self._close_file()

        def failed(error: KnownError) -> None:
            if had_window:
                self.open(onto, create=False)
                if self.window is not None:
                    self.window.foot.trouble(error)
            else:
                self._complain(error)

        self._put_in_place("restore", lambda: _restore(backup, onto), onto, failed)

    def take_over(self, copy: Path, onto: Path, who: str, anyway: bool) -> None:
        """Put a copy that was handed over in a file's place, then open it; where that fails, what was open is again."""
        before = self.window.shared.path if self.window is not None else onto
        self._close_file()

        def failed(error: KnownError) -> None:
            self.open(before, create=False)
            if self.window is not None:
                self.window.foot.trouble(error)

        self._put_in_place("take over", lambda: _take_over(copy, onto, who, anyway), onto, failed)

    def _put_in_place(
        self, title: str, run: Callable[[], str], onto: Path, failed: Callable[[KnownError], None]
    ) -> None:  # fmt: skip
        """Put a file in the place of another, open it and say what became of the other."""
        said: list[str] = []

        def then() -> None:
            self.open(onto, create=False)
            if self.window is not None:
                self.window.shared.say(" ".join(said))

        self._on_thread(title, lambda: said.append(run()), then, failed)

    def remove_sample(self) -> None:
        """Take the sample shop away, file and backups, and show the first page."""
        self._close_file()
        _remove(places.sample_file())
        self.settings.last_file = ""
        self.show_first()

    def _on_thread(
        self,
        title: str,
        run: Callable[[], object],
        then: Callable[[], None],
        failed: Callable[[KnownError], None] | None = None,
    ) -> None:
        """Something without an open shop, off the window's thread."""
        if self.first is not None:
            self.first.busy(title)
        aside(run, lambda _result: then(), failed=failed or self._complain)

    def _complain(self, error: KnownError) -> None:
        if self.first is None:
            self.show_first(str(error))
        else:
            self.first.busy("")
            self.first.complain(str(error))

    def _swap(self, page: QWidget) -> None:
        old = self.window if self.window is not None else self.first
        if old is not None:
            page.setGeometry(old.geometry())
        elif isinstance(page, Window):
            page.restore_place()
        else:
            page.resize(page.sizeHint())
        page.show()
        if self._catcher is None:
            self._catcher = Catcher(page)
            self._catcher.install()
        self._catcher.move_to(page)
        self.window = self.first = None
        if old is not None:
            old.hide()
            old.deleteLater()

    def _close_file(self) -> None:
        if self._reminders is not None:
            self._reminders.stop()
            self._reminders = None
        if self.window is not None and not self._file_closed:
            self._file_closed = True
            self.window.remember()
            self.window.shared.worker.close()
        if self._bell is not None:
            self._bell.close()
            self._bell = None

    def window_gone(self) -> None:
        """The last window was closed: finish what is queued."""
        self._close_file()


def warm_behind() -> threading.Thread:
    """Fetch the engine on a thread of its own, while rooms load or the first page is read."""

    def fetch() -> None:
        from arsenal.acts import warming  # noqa: PLC0415 - heavy

        warming.warm()

    thread = threading.Thread(target=fetch, name="warming", daemon=True)
    thread.start()
    return thread


def _write_sample(path: Path) -> None:
    from arsenal.acts import files  # noqa: PLC0415 - heavy

    path.parent.mkdir(parents=True, exist_ok=True)
    files.write_sample(path)


def _restore(backup: Path, onto: Path) -> str:
    from arsenal.acts import files, take_over  # noqa: PLC0415 - heavy

    onto.parent.mkdir(parents=True, exist_ok=True)
    if take_over.is_copy(backup, onto):  # on a new machine this is where somebody looks first
        return take_over.said(take_over.take_over(backup, onto))
    kept = files.restore(backup, onto)
    return f"Restored {backup.name}." + (f" What was here before is kept as {kept.name}." if kept else "")


def _take_over(copy: Path, onto: Path, who: str, anyway: bool) -> str:
    from arsenal.acts import take_over  # noqa: PLC0415 - heavy

    return take_over.said(take_over.take_over(copy, onto, who, anyway=anyway))


def _remove(path: Path) -> None:
    for ending in ("", "-wal", "-shm", ".lock"):
        path.with_name(path.name + ending).unlink(missing_ok=True)
    shutil.rmtree(path.with_name(path.name + ".backups"), ignore_errors=True)
