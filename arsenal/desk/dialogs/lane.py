"""Add or edit a lane condition: as a summary, a measured grid from a file, or a house that will not tell."""

from __future__ import annotations

import tempfile
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QWidget

from arsenal.desk import file_dialogs
from arsenal.desk.dialogs.form import Choice, Done, FormDialog, Measured, Words
from arsenal.desk.parts.sentence import TextButton
from arsenal.desk.parts.text import Plain
from arsenal.desk.rooms import Shared
from arsenal.trade.errors import KnownError
from arsenal.trade.lane import Film, FilmGrid, FilmSummary, Lane, LaneSurface, UnknownHouse
from arsenal.trade.units import FOOT_M, MILLILITRE_M3

if TYPE_CHECKING:
    from arsenal.acts.shop import Shop
    from arsenal.acts.views import Changes

HOW = (("length, volume and ratio", "summary"), ("a measured grid from a file", "grid"), ("nobody tells", "unknown"))
SURFACES = tuple((s.value, s) for s in LaneSurface)


class LaneDialog(FormDialog):
    """The form; what the chosen way does not need is hidden."""

    def __init__(self, shared: Shared, parent: QWidget, lane: Lane | None, done: Done | None) -> None:
        super().__init__(
            lane.name if lane else "Add a lane condition", shared, parent, done,
            keep="Keep" if lane else "Add condition", width=540,
        )  # fmt: skip
        self._lane = lane or Lane(0, "", FilmSummary(41 * FOOT_M, 25 * MILLILITRE_M3, 10.0))
        film, system = self._lane.film, shared.settings.units
        way = "grid" if isinstance(film, FilmGrid) else "unknown" if isinstance(film, UnknownHouse) else "summary"
        told = film if isinstance(film, FilmSummary) else FilmSummary(41 * FOOT_M, 25 * MILLILITRE_M3, 10.0)
        self._grid: FilmGrid | None = film if isinstance(film, FilmGrid) else None
        self._file: Path | None = None
        self.name = Words("Name", self._lane.name, "41 ft house, 25 mL, fresh")
        self.way = Choice("Known as", HOW, way)
        self.length = Measured("oil length", system, told.length_m, required=True)
        self.volume = Measured("oil volume", system, told.volume_m3 / MILLILITRE_M3, required=True)
        self.ratio = Measured("oil ratio", system, told.ratio, required=True)
        self.left = Measured("oil ratio", system, told.ratio_left, name="oil ratio on the left")
        self.file = TextButton("choose a file", px=15, token="ink")
        self.surface = Choice("Lane of", SURFACES, self._lane.surface)
        self.house = Words("House", self._lane.house)
        self._by_way: dict[str, list[QWidget]] = {"summary": [], "grid": [], "unknown": []}
        self._lay_out()
        self.way.picked.connect(self._show_way)
        self.file.clicked.connect(self._pick_file)
        self._show_way(way)
        self.name.setFocus()

    def _lay_out(self) -> None:
        for label, field, way in (
            ("Name", self.name, ""), ("Known as", self.way, ""), ("Oil length", self.length, "summary"),
            ("Volume, whole lane", self.volume, "summary"), ("Middle to outside", self.ratio, "summary"),
            ("… on the left, if other", self.left, "summary"), ("Grid file", self.file, "grid"),
            ("Lane of", self.surface, ""), ("House", self.house, ""),
        ):  # fmt: skip
            self.rows.field(label, field)
            if way:
                self._by_way[way] += [field, self.rows.label_of(field)]
        grid_note = Plain("A CSV file with the columns distance_ft, board (from the right gutter) and units:"
                          " every board at every distance.", px=13, token="ink2", wrap=True)  # fmt: skip
        unknown_note = Plain("Then a spread stands in: 38 to 44 ft, 18 to 30 mL, 6 to 12 to 1. Two or three benchmark"
                             " shots narrow it.", px=13, token="ink2", wrap=True)  # fmt: skip
        self._by_way["grid"].append(grid_note)
        self._by_way["unknown"].append(unknown_note)
        self.body.addWidget(grid_note)
        self.body.addWidget(unknown_note)

    def _show_way(self, way: str) -> None:
        for name, widgets in self._by_way.items():
            for widget in widgets:
                widget.setVisible(name == way)
        if self.isVisible():
            self.fit()

    def _pick_file(self) -> None:
        name = file_dialogs.open_file(self, "Grid of a lane", str(Path.home()), "Tables (*.csv);;All files (*)")
        if name:
            self.take_file(Path(name))

    def take_file(self, path: Path) -> None:
        """Use this grid file; it is read when the condition is kept."""
        self._file = path
        self.file.set_word(path.name)

    def film(self) -> Film | None:
        """The film of the fields; None where it must be read from the file first. Raises KnownError."""
        if self.way.value == "unknown":
            return self._lane.film if isinstance(self._lane.film, UnknownHouse) else UnknownHouse()
        if self.way.value == "grid":
            if self._file is None and self._grid is None:
                raise KnownError("No grid file is chosen.", next_step="Choose one, or tell length, volume and ratio.")
            return None if self._file is not None else self._grid
        volume = self.volume.si() or 0.0
        return FilmSummary(self.length.si() or 0.0, volume * MILLILITRE_M3, self.ratio.si() or 1.0, self.left.si())

    def act(self) -> Callable[[Shop], Changes]:
        """Add or edit."""
        film, path = self.film(), self._file
        name = self.name.words()
        if not name:
            raise KnownError("A condition needs a name.", next_step="Describe it: 41 ft house, 25 mL, fresh.")
        lane = replace(self._lane, name=name, surface=self.surface.value, house=self.house.words())

        def run(shop: Shop) -> Changes:
            from arsenal.acts import lanes  # noqa: PLC0415 - heavy, on the worker's thread

            told = film if film is not None or path is None else _read_grid(path, shop.today())
            whole = replace(lane, film=told) if told is not None else lane
            return lanes.edit_lane(shop, whole) if whole.id else lanes.add_lane(shop, whole)

        return run


def _read_grid(path: Path, today: date) -> FilmGrid:
    """Through the same door as anybody's tables: a one-row table of conditions beside a copy of the grid."""
    from arsenal.exchange import tables  # noqa: PLC0415 - heavy

    with tempfile.TemporaryDirectory(prefix="padbook-") as name:
        folder = Path(name)
        try:
            (folder / "grid.csv").write_bytes(path.read_bytes())
        except OSError as error:
            raise KnownError(f"{path.name} could not be read: {error.strerror or error}.") from error
        (folder / "lanes.csv").write_text("condition,grid\ngrid,grid.csv\n", "utf-8")
        found = tables.load([folder / "lanes.csv", folder / "grid.csv"], today=today)
    if found.problems:
        first = found.problems[0]
        raise KnownError(
            f"{path.name} is no film grid: {first.reason}", next_step="Its columns are distance_ft, board and units."
        )
    film = found.lanes[0].film if found.lanes else None
    if not isinstance(film, FilmGrid):
        raise KnownError(f"{path.name} holds no film grid.")
    return film


def open_lane(shared: Shared, parent: QWidget, lane: Lane | None = None, done: Done | None = None) -> LaneDialog:
    """Add a condition, or edit `lane`; `done` gets the changes (the new id is `changed[0].id`)."""
    dialog = LaneDialog(shared, parent, lane, done)
    dialog.open_()
    return dialog
