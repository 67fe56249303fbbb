"""A sensor’s table: which header holds what is said once by hand, then seen in shots, then kept."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QGridLayout, QWidget

from arsenal.desk import file_dialogs
from arsenal.desk.dialogs.form import Choice
from arsenal.desk.dialogs.load import BadRowPainter
from arsenal.desk.dialogs.load import said as said_of_row
from arsenal.desk.parts.dialog import Dialog, Facts
from arsenal.desk.parts.lists import RowsModel, RowsView
from arsenal.desk.parts.text import Plain
from arsenal.desk.rooms import Shared
from arsenal.desk.theme import look
from arsenal.exchange.sensor_fields import UNITS, Field, Gutter, Mapped, SensorTable, plain_header
from arsenal.trade.errors import KnownError
from arsenal.trade.person import ReadAt

if TYPE_CHECKING:
    from arsenal.acts.sensor import SensorHead, SensorReport
    from arsenal.acts.shop import Shop

LEAVE = "left in the file"
PAUSE_MS = 120
MOST_HEADERS = 60


@dataclass(frozen=True, slots=True)
class InHand:
    """What a row means that does not say it."""

    bowler_id: int | None
    ball_id: int | None
    lane_id: int | None


class HeaderRow:
    """One header: an example from the file, what it holds, in which unit."""

    def __init__(self, header: str, example: str) -> None:
        self.header = header
        self.label, self.example = Plain(header, px=14, elide=True), Plain(example, px=13, token="ink2", elide=True)
        fields = [(LEAVE, None), *((field.value, field) for field in Field)]
        self.field = Choice(f"What “{header}” holds", fields, None)
        self.unit = Choice(f"Unit of “{header}”", [("", "")], "")
        self.field.picked.connect(lambda _value: self.show_units())
        self.show_units()

    def put(self, mapped: Mapped) -> None:
        """As it was mapped before."""
        self.field.put(mapped.field)
        self.show_units()
        if mapped.units:
            self.unit.put(mapped.units)

    def show_units(self) -> None:
        """The units of the field chosen; the usual one first."""
        units = UNITS[self.field.value] if self.field.value is not None else ()
        self.unit.offer([(unit, unit) for unit in units], units[0] if units else "")
        self.unit.setVisible(len(units) > 1)

    def mapped(self) -> Mapped | None:
        """What is said of it; None where it is left in the file."""
        if self.field.value is None:
            return None
        return Mapped(self.field.value, self.header, str(self.unit.value) if self.unit.value else "")


class SensorDialog(Dialog):
    """Headers on the left, what they hold on the right; below what would be kept. Nothing is kept before a button."""

    def __init__(
        self, shared: Shared, parent: QWidget, path: Path, bowler_id: int | None, ball_id: int | None,
        lane_id: int | None,
    ) -> None:  # fmt: skip
        super().__init__("A sensor’s table", parent, width=760)
        self.shared, self._path = shared, path
        self._about = InHand(bowler_id, ball_id, lane_id)
        self.report: SensorReport | None = None
        self.headers: list[HeaderRow] = []
        self.facts = Facts([("File", path.name)])
        self.found = self.facts.add("Found", "reading …")
        self.gutter = Choice("Boards count from", [(g.value, g) for g in Gutter], Gutter.OWN)
        self.speed_at = Choice("Speed was read", [(at.value, at) for at in ReadAt], ReadAt.HAND)
        self.facts.field("Boards count from", self.gutter)
        self.facts.field("Speed was read", self.speed_at)
        self.body.addWidget(self.facts)
        self.body.addWidget(Plain(
            "Say once what each column holds; the next table with these headers is read the same way. A row that names "
            "no bowler, ball, condition or day means what is in hand today.", px=13, token="ink2", wrap=True,
        ))  # fmt: skip
        self._grid = QGridLayout()
        for column, (stretch, least) in enumerate(((2, 0), (2, 0), (0, 190), (0, 110))):
            self._grid.setColumnStretch(column, stretch)
            self._grid.setColumnMinimumWidth(column, look().px(least))
        self._grid.setHorizontalSpacing(look().px(16))
        self.body.addLayout(self._grid)
        self.model = RowsModel(said_of_row)
        self.bad = RowsView("Rows that cannot be loaded, and rows nothing is learned from", self.model, BadRowPainter())
        self.bad.setMinimumHeight(look().px(150))
        self.bad.hide()
        self.body.addWidget(self.bad)
        self.offer("Not now", "Esc", self.reject)
        self.good = self.offer("Keep the good rows", "", lambda: self._load(keep_good=True))
        self.all = self.offer("Load all", "↵", lambda: self._load(keep_good=False), primary=True)
        self.good.hide()
        self.all.setEnabled(False)
        self._listen()
        shared.ask("sensor", lambda shop: _preview(shop, path, None, self._about), self._first, failed=self._failed)

    def _listen(self) -> None:
        """A choice is looked at a moment after the last one."""
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(PAUSE_MS)
        self._timer.timeout.connect(self._look)
        for choice in (self.gutter, self.speed_at):
            choice.picked.connect(lambda _value: self._timer.start())

    def table(self) -> SensorTable | None:
        """What the words say; None where nothing is mapped yet."""
        columns = tuple(one for row in self.headers if (one := row.mapped()) is not None)
        return SensorTable(columns, self.gutter.value, self.speed_at.value) if columns else None

    def _first(self, report: SensorReport) -> None:
        """The file’s headers, with what was said of them before."""
        self._fill(report.head)
        if report.table is not None:
            self.gutter.put(report.table.counted_from)
            self.speed_at.put(report.table.speed_at)
            by_header = {plain_header(one.header): one for one in report.table.columns}
        else:
            names = {field.value: field for field in Field}
            by_header = {
                plain_header(h): Mapped(names[plain_header(h)], h) for h in report.head.headers
                if plain_header(h) in names
            }  # fmt: skip
        for row in self.headers:
            if plain_header(row.header) in by_header:
                row.put(by_header[plain_header(row.header)])
        self._look()
        self.fit()

    def _fill(self, head: SensorHead) -> None:
        self.found.setText(f"{head.rows} rows")
        for at, header in enumerate(head.headers[:MOST_HEADERS]):
            if not header.strip():
                continue
            shown = ", ".join(row[at] for row in head.first_rows[:3] if at < len(row) and row[at].strip())
            row = HeaderRow(header, shown)
            self.headers.append(row)
            for column, widget in enumerate((row.label, row.example, row.field, row.unit)):
                self._grid.addWidget(widget, len(self.headers), column)
                widget.show()
            row.show_units()
            row.field.picked.connect(lambda _value: self._timer.start())
            row.unit.picked.connect(lambda _value: self._timer.start())

    def _look(self) -> None:
        table = self.table()
        if table is None:
            self.found.setText("Nothing is mapped yet: say what each column holds.")
            self.all.setEnabled(False)
            return
        job = lambda shop: _preview(shop, self._path, table, self._about)  # noqa: E731 - one call
        self.shared.ask("sensor", job, self._show, failed=self._refused)

    def _show(self, report: SensorReport) -> None:
        self.report = report
        self.complain("")
        told = [f"{report.shots} shots" if report.shots != 1 else "1 shot"]
        told += [f"{report.known} known already"] if report.known else []
        told += [f"{len(report.odd_rows)} kept and not learned from"] if report.odd_rows else []
        rows = "1 row" if len(report.bad_rows) == 1 else f"{len(report.bad_rows)} rows"
        told += [f"{rows} that cannot be loaded"] if report.bad_rows else []
        self.found.setText(", ".join(told))
        named = (*report.bad_rows, *report.odd_rows)
        self.model.set_rows(named)
        self.bad.setVisible(bool(named))
        self.all.setEnabled(report.shots > 0 and not report.bad_rows)
        self.good.setVisible(report.shots > 0 and bool(report.bad_rows))
        self.fit()

    def _refused(self, error: KnownError) -> None:
        """The mapping does not fit the file."""
        self.all.setEnabled(False)
        self.good.hide()
        self.complain(str(error))

    def _load(self, *, keep_good: bool) -> None:
        table = self.table()
        self.all.setEnabled(False)
        self.good.setEnabled(False)
        self.shared.worker.act(
            lambda shop: _load(shop, self._path, table, self._about, keep_good=keep_good), self._loaded,
            failed=self._failed, title="Loading shots",
        )  # fmt: skip

    def _loaded(self, report: SensorReport) -> None:
        self.shared.kept.emit(report.changes)
        self.accept()

    def _failed(self, error: KnownError) -> None:
        self.found.setText("nothing")
        self.good.setEnabled(True)
        self.complain(str(error))
        self.fit()


def _preview(shop: Shop, path: Path, table: SensorTable | None, about: InHand) -> SensorReport:
    from arsenal.acts import sensor  # noqa: PLC0415 - heavy

    return sensor.preview(shop, path, table, bowler_id=about.bowler_id, ball_id=about.ball_id, lane_id=about.lane_id)


def _load(
    shop: Shop, path: Path, table: SensorTable | None, about: InHand, *, keep_good: bool
) -> SensorReport:  # fmt: skip
    from arsenal.acts import sensor  # noqa: PLC0415 - heavy

    return sensor.load(
        shop, path, table, bowler_id=about.bowler_id, ball_id=about.ball_id, lane_id=about.lane_id, keep_good=keep_good
    )


def open_sensor(shared: Shared, parent: QWidget, path: Path | None = None) -> SensorDialog | None:
    """Ask which file, where none is given, and show what its headers could hold."""
    if path is None:
        name = file_dialogs.open_file(parent, "A sensor’s table", str(Path.home()), "Tables (*.csv *.txt)")
        path = Path(name) if name else None
    if path is None:
        return None
    dialog = SensorDialog(shared, parent, path, shared.bowler_id, shared.ball_id, shared.lane_id)
    dialog.open_()
    return dialog
