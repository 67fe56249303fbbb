"""Load files: how foreign headers are read, what would come in, which rows are bad or asked about and why, then all,
the good ones, or nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QRect, QTimer
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QSizePolicy, QWidget

from arsenal.desk import file_dialogs
from arsenal.desk.dialogs.load_mapping import MappingPart
from arsenal.desk.dialogs.load_questions import QuestionsPart
from arsenal.desk.parts.dialog import Dialog, Facts
from arsenal.desk.parts.lists import RowPainter, RowsModel, RowsView, write
from arsenal.desk.parts.sentence import TextButton
from arsenal.desk.parts.text import Plain
from arsenal.desk.rooms import Shared
from arsenal.desk.theme import look
from arsenal.exchange.tables.likeness import Answers
from arsenal.trade.errors import KnownError

if TYPE_CHECKING:
    from arsenal.acts.bring_in import Renaming, SheetHead
    from arsenal.acts.shop import Shop
    from arsenal.acts.views import BadRow, LoadReport
    from arsenal.desk.worker import Progress

COUNTS = (
    ("people", "bowler", "bowlers"),
    ("balls", "ball", "balls"),
    ("lanes", "lane condition", "lane conditions"),
    ("pads", "pad", "pads"),
    ("recipes", "recipe", "recipes"),
    ("entries", "log entry", "log entries"),
)
PAUSE_MS = 250
LOADING = "Loading files"
SHOWN = 300
"""Rows listed; the file of errors holds all of them."""
FILES = "Tables (*.csv *.xlsx *.txt);;All files (*)"


def said(row: BadRow) -> str:
    """File, row, field and reason as one sentence."""
    where = f"{row.file}, row {row.row}" if row.row is not None else row.file
    return f"{where}, {row.field}: {row.reason}" if row.field else f"{where}: {row.reason}"


class BadRowPainter(RowPainter):
    """One bad row: where, then why."""

    height = 44

    def paint_row(self, painter: QPainter, box: QRect, row: BadRow, *, chosen: bool) -> None:
        """File, row and field above, the reason below."""
        where = f"{row.file}, row {row.row}" if row.row is not None else row.file
        half = box.height() // 2
        inner = box.adjusted(look().px(8), look().px(3), -look().px(8), -look().px(3))
        top = QRect(inner.left(), inner.top(), inner.width(), half - look().px(3))
        write(painter, top, f"{where}, {row.field}" if row.field else where, look().font(13, 600), "ink")
        low = QRect(inner.left(), inner.top() + half - look().px(3), inner.width(), half - look().px(3))
        write(painter, low, row.reason, look().font(13), "bad")


class ShownPainter(RowPainter):
    """One thing that would come in: what it is, then its words."""

    height = 30

    def paint_row(self, painter: QPainter, box: QRect, row: tuple[str, str], *, chosen: bool) -> None:
        """Left to right."""
        inner, wide = box.adjusted(look().px(8), 0, -look().px(8), 0), look().px(130)
        write(painter, QRect(inner.left(), box.top(), wide, box.height()), row[0], look().font(13), "ink2")
        write(painter, inner.adjusted(wide, 0, 0, 0), row[1], look().font(14), "ink")


@dataclass(frozen=True)
class Found:
    """What the files hold, and how they are read."""

    report: LoadReport
    heads: tuple[SheetHead, ...] = ()


@dataclass(frozen=True)
class Wanted:
    """What was said of the files so far."""

    renamings: Mapping[str, Renaming] = field(default_factory=dict)
    answers: Answers = field(default_factory=Answers)


class LoadDialog(Dialog):
    """Preview first; nothing is kept before a button is pressed."""

    def __init__(self, shared: Shared, parent: QWidget, paths: Sequence[Path]) -> None:
        super().__init__("Load files", parent, width=760)
        self.shared, self._paths = shared, list(paths)
        self.report: LoadReport | None = None
        self.mapping: MappingPart | None = None
        self._heads: tuple[SheetHead, ...] = ()
        self.facts = Facts([("Files", ", ".join(p.name for p in self._paths))])
        self._found = self.facts.add("Found", "reading …")
        self.body.addWidget(self.facts)
        self.columns = self._word("Say what the columns hold", self._map_all)
        self.note = Plain("", px=14, weight=500, token="bad", wrap=True)
        self.note.hide()
        self.body.addWidget(self.note)
        self.questions = QuestionsPart()
        self.body.addWidget(self.questions)
        self.model = RowsModel(said)
        self.errors = self._word("Write errors to a file", self._write_errors)
        name = "Rows that cannot be loaded, and what stays as it is here"
        self.bad = self._list(name, self.model, BadRowPainter())
        self.coming = RowsModel(lambda row: f"{row[0]}: {row[1]}")
        self.shown = self._list("The first of what would come in", self.coming, ShownPainter())
        self._offers()
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(PAUSE_MS)
        self._timer.timeout.connect(self._look)
        self.questions.said.connect(self._timer.start)
        shared.worker.busy.connect(self._busy)
        shared.worker.slow.connect(self._slow)
        self._ask(lambda shop, tell: _first(shop, self._paths, tell))

    def _word(self, text: str, call: Callable[[], object]) -> TextButton:
        """Something to do that belongs to what stands there."""
        made = TextButton(text)
        made.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Fixed)
        made.clicked.connect(lambda _=False: call())
        made.hide()
        self.body.addWidget(made)
        return made

    def _list(self, name: str, model: RowsModel, painter: RowPainter) -> RowsView:
        made = RowsView(name, model, painter)
        made.hide()
        self.body.addWidget(made)
        return made

    def _offers(self) -> None:
        self.offer("Not now", "Esc", self.reject)
        self.stop = self.offer("Stop", "S", self.shared.worker.cancel)
        self.good = self.offer("Keep the good rows", "G", lambda: self._load(keep_good=True))
        self.all = self.offer("Load all", "↵", lambda: self._load(keep_good=False), primary=True)
        self.stop.hide()
        self.good.hide()
        self.all.setEnabled(False)

    def wanted(self) -> Wanted:
        """What is said of the files now."""
        renamings = self.mapping.renamings() if self.mapping is not None else {}
        return Wanted(renamings, self.questions.answers())

    def _ask(self, job: Callable[[Shop, Progress], Found]) -> None:
        self.shared.worker.ask(
            "load preview", job, self._show, failed=self._failed, title="Reading the files", progress=True
        )

    def _look(self) -> None:
        """Read the files anew as they are said to be."""
        wanted = self.wanted()
        self.all.setEnabled(False)
        self._ask(lambda shop, tell: Found(_preview(shop, self._paths, wanted, tell)))

    def _map_all(self) -> None:
        """Look at how every table is read, those that need it not too."""
        self._map([head for head in self._heads if not head.fixed])

    def _map(self, heads: Sequence[SheetHead]) -> None:
        if not heads:
            return
        if self.mapping is not None:
            self.mapping.deleteLater()
        self.mapping = MappingPart(heads)
        self.mapping.said.connect(self._timer.start)
        self.body.insertWidget(1, self.mapping)
        self.columns.hide()
        self.mapping.table.setFocus()
        self._look()
        self.fit()

    def _show(self, found: Found) -> None:
        report = self.report = found.report
        self.complain("")
        if found.heads:
            self._heads = found.heads
            self.columns.setVisible(any(not head.fixed for head in found.heads))
            if unsure := [head for head in found.heads if not head.sure]:
                self._map(unsure)
                return
        self._found.setText(_counted(report))
        self.questions.show_open(report.questions)
        _fill(self.coming, self.shown, report.shown, ShownPainter.height)
        _fill(self.model, self.bad, (*report.bad_rows, *report.remarks), BadRowPainter.height)
        wrong, asked = len(report.bad_rows), len(report.questions)
        self.errors.setVisible(wrong + asked > 0)
        self.good.setVisible(wrong + asked > 0 and report.rows > 0)
        self.good.setEnabled(True)
        self.all.setEnabled(wrong + asked == 0 and report.rows > 0)
        self.note.setText(_trouble(report))
        self.note.setVisible(wrong + asked > 0)
        self.fit()

    def _load(self, *, keep_good: bool) -> None:
        self.all.setEnabled(False)
        self.good.setEnabled(False)
        wanted = self.wanted()
        self.shared.worker.act(
            lambda shop, tell: _load(shop, self._paths, wanted, tell, keep_good=keep_good), self._loaded,
            failed=self._failed, title=LOADING, progress=True,
        )  # fmt: skip

    def _loaded(self, report: LoadReport) -> None:
        if not report.kept:  # something changed underneath
            self._show(Found(report))
            return
        self.shared.kept.emit(report.changes)
        self.accept()

    def _write_errors(self) -> None:
        start = self._paths[0].with_name(f"{self._paths[0].stem}-errors.csv")
        name = file_dialogs.save_file(self, "Write errors to", str(start), "Tables (*.csv)")
        if name and self.report is not None:
            report = self.report
            self.shared.worker.act(
                lambda _shop: _write(report, Path(name)), self._written, failed=self._failed, title="Writing the errors"
            )

    def _written(self, path: Path) -> None:
        self.shared.say(f"Wrote what did not come in to {path}")

    def _busy(self, title: str) -> None:
        """What takes over a second can be stopped."""
        self.stop.setVisible(bool(title))

    def _slow(self, title: str, share: float) -> None:
        if share >= 0:
            self._found.setText(f"{'loading' if title == LOADING else 'reading'} … {share:.0%}")

    def _failed(self, error: KnownError) -> None:
        """What was found before stands, and may be loaded after all."""
        if self.report is not None:
            self._show(Found(self.report))
        else:
            self._found.setText("nothing")
        self.complain(str(error))
        self.fit()


def _fill(model: RowsModel, view: RowsView, rows: Sequence[object], height: float) -> None:
    """As high as the rows, five at most; none at all hides it."""
    model.set_rows(rows[:SHOWN])
    view.setFixedHeight(look().px(height * min(5, max(1, len(rows))) + 4))
    view.setVisible(bool(rows))


def _counted(report: LoadReport) -> str:
    counts = [f"{n} {one if n == 1 else many}" for name, one, many in COUNTS if (n := getattr(report, name))]
    counts += [f"{'1 row' if report.known == 1 else f'{report.known} rows'} known already"] if report.known else []
    left = f"; left in the file: {', '.join(report.left)}" if report.left else ""
    return (", ".join(counts) or "nothing to load") + left


def _trouble(report: LoadReport) -> str:
    tables = len({bad.file for bad in report.bad_rows if (bad.row or 0) <= 1})
    rows, asked = sum((bad.row or 0) > 1 for bad in report.bad_rows), len(report.questions)
    told = []
    if tables:
        told.append(f"{'1 table' if tables == 1 else f'{tables} tables'} cannot be read.")
    if rows:
        told.append(f"{'1 row' if rows == 1 else f'{rows} rows'} cannot be loaded.")
    if asked:
        told.append(f"{'1 row waits' if asked == 1 else f'{asked} rows wait'} for an answer.")
    if tables + rows > SHOWN:
        told.append(f"The first {SHOWN} are listed; the file of errors holds all.")
    if tables + rows:
        way = ", or keep the good rows only" if report.rows else ""
        told.append(f"Put {'it' if tables + rows == 1 else 'them'} right and load again{way}.")
    return " ".join(told)


def _first(shop: Shop, paths: Sequence[Path], tell: Progress) -> Found:
    """Headers and preview at once; a file that cannot be read at all is told by the preview."""
    from arsenal.acts import bring_in  # noqa: PLC0415 - heavy

    heads: list[SheetHead] = []
    for path in paths:
        try:
            heads += [] if path.is_dir() else bring_in.head(shop, path)
        except KnownError:
            continue
    return Found(bring_in.preview(shop, paths, tell=tell), tuple(heads))


def _preview(shop: Shop, paths: Sequence[Path], wanted: Wanted, tell: Progress) -> LoadReport:
    from arsenal.acts import bring_in  # noqa: PLC0415 - heavy

    return bring_in.preview(shop, paths, wanted.renamings, answers=wanted.answers, tell=tell)


def _load(shop: Shop, paths: Sequence[Path], wanted: Wanted, tell: Progress, *, keep_good: bool) -> LoadReport:
    from arsenal.acts import bring_in  # noqa: PLC0415 - heavy

    return bring_in.load(shop, paths, wanted.renamings, answers=wanted.answers, keep_good=keep_good, tell=tell)


def _write(report: LoadReport, path: Path) -> Path:
    from arsenal.acts import bring_in  # noqa: PLC0415 - heavy

    return bring_in.write_errors(report, path)


def open_load(shared: Shared, parent: QWidget, paths: Sequence[Path] | None = None) -> LoadDialog | None:
    """Ask which files, where none are given, and show what they hold."""
    if paths is None:
        names = file_dialogs.open_files(parent, "Load files", str(Path.home()), FILES)
        paths = [Path(name) for name in names]
    if not paths:
        return None
    dialog = LoadDialog(shared, parent, paths)
    dialog.open_()
    return dialog
