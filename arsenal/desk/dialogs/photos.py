"""Photographs of a ball or a ticket: look through them, say what they show, add one from a file, take one away."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QRect, QSize, Qt
from PySide6.QtGui import QImage, QKeyEvent, QPainter, QPaintEvent, QPixmap
from PySide6.QtWidgets import QSizePolicy, QWidget
from shiboken6 import isValid

from arsenal.desk import file_dialogs, photo_file
from arsenal.desk.aside import aside
from arsenal.desk.dialogs.form import Choice, Words
from arsenal.desk.parts import paint
from arsenal.desk.parts.dialog import Dialog, Facts
from arsenal.desk.parts.text import Plain
from arsenal.desk.rooms import Shared
from arsenal.desk.theme import look
from arsenal.trade import days
from arsenal.trade.errors import KnownError

if TYPE_CHECKING:
    from arsenal.acts.shop import Shop
    from arsenal.acts.views import Changes
    from arsenal.desk.photo_file import Picture
    from arsenal.trade.ticket import Photo

WIDE, HIGH = 560, 400
NOTHING = "No photograph yet. A crack, a plug, a serial that cannot be read: show it."


@dataclass(frozen=True, slots=True)
class Album:
    """What the dialog shows: a name, its photographs, and on a ticket its balls to choose from."""

    name: str
    photos: tuple[Photo, ...]
    balls: tuple[str, ...] = ()


class Shown(QWidget):
    """One photograph, as large as its place; or a sentence where there is none."""

    def __init__(self) -> None:
        super().__init__()
        self._picture: QPixmap | None = None
        self._said = ""
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setFixedHeight(self.sizeHint().height())
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)

    def sizeHint(self) -> QSize:
        """A place of one size, so that nothing jumps."""
        return QSize(look().px(WIDE), min(look().px(HIGH), round(0.42 * self.screen().availableSize().height())))

    def show_image(self, image: QImage | None, said: str) -> None:
        """Another photograph, or only words."""
        self._picture = QPixmap.fromImage(image) if image is not None and not image.isNull() else None
        self._said = said
        self.setAccessibleName(said)
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw it within its place."""
        painter, now = QPainter(self), look()
        painter.fillRect(self.rect(), now.color("well"))
        if self._picture is None:
            painter.setFont(now.font(14))
            painter.setPen(now.color("ink2"))
            inner = self.rect().adjusted(now.px(24), 0, -now.px(24), 0)
            painter.drawText(inner, Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap, self._said)
        else:
            ratio = self.devicePixelRatioF()
            room = QSize(round(self.width() * ratio), round(self.height() * ratio))
            size = self._picture.size().scaled(room, Qt.AspectRatioMode.KeepAspectRatio) / ratio
            place = QRect((self.width() - size.width()) // 2, (self.height() - size.height()) // 2, *size.toTuple())
            painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
            painter.drawPixmap(place, self._picture)
        if self.hasFocus():
            paint.focus_ring(painter, self.rect(), 4)
        painter.end()


class PhotosDialog(Dialog):
    """`ball_id`, or the number of a ticket."""

    def __init__(
        self, shared: Shared, parent: QWidget, *, ball_id: int | None = None, ticket_id: int | None = None
    ) -> None:  # fmt: skip
        super().__init__("Photographs", parent, width=WIDE + 60)
        self.shared, self._ball_id, self._ticket_id = shared, ball_id, ticket_id
        self.photos: tuple[Photo, ...] = ()
        self._at, self._wanted, self._balls = 0, 0, 0
        self.picture, self.which = Shown(), Plain("", px=13, token="ink2")
        self.picture.show_image(None, NOTHING)
        self.words = Words("What it shows", "", "what it shows")
        self.words.editingFinished.connect(self._describe)
        self.ball = Choice("Of which ball", [], 0)
        self.body.addWidget(self.picture)
        self.body.addWidget(self.which)
        facts = Facts()
        facts.field("It shows", self.words)
        facts.field("A new one is of", self.ball)
        self._ball_label = facts.label_of(self.ball)
        self.body.addWidget(facts)
        self.offer("Close", "Esc", self.reject)
        self.away = self.offer("Remove", "", self.remove)
        self.add_button = self.offer("Add a photograph", "A", self.choose, primary=True)
        self.ball.hide()
        self._ball_label.hide()
        self.picture.setFocus()
        self.load()

    # reading

    def load(self) -> None:
        """Ask for the photographs there are."""
        ball_id, ticket_id = self._ball_id, self._ticket_id
        self.shared.ask("photos", lambda shop: _album(shop, ball_id, ticket_id), self._arrived, failed=self._failed)

    def _arrived(self, album: Album) -> None:
        self.photos = album.photos
        self.heading.setText(f"Photographs of {album.name}")
        self._balls, several = len(album.balls), len(album.balls) > 1
        if several and not self.ball.isVisible():
            self.ball.offer([(name, n) for n, name in enumerate(album.balls)], 0)
        self.ball.setVisible(several)
        self._ball_label.setVisible(several)
        kept = next((n for n, photo in enumerate(self.photos) if photo.id == self._wanted), None)
        self.show_photo(min(self._at, len(self.photos) - 1) if kept is None else kept)
        self.fit()

    def show_photo(self, number: int) -> None:
        """One of them; the picture comes when it is read."""
        self._at = max(0, number)
        photo = self.photo()
        self.words.setEnabled(photo is not None)
        self.away.setEnabled(photo is not None)
        self.words.setText(photo.words if photo is not None else "")
        if photo is None:
            self.which.setText("")
            self.picture.show_image(None, NOTHING)
            return
        self._wanted = photo.id
        turn = ", ← → turns the page" if len(self.photos) > 1 else ""
        on = days.day_and_year(photo.taken_on)
        self.which.setText(f"{self._at + 1} of {len(self.photos)}, {on}{turn}")
        self.shared.ask("photo", lambda shop: _image(shop, photo.id), self._show, failed=self._failed)

    def _show(self, image: QImage) -> None:
        photo = self.photo()
        words = photo.words if photo is not None else ""
        said = f"Photograph {self._at + 1} of {len(self.photos)}" + (f": {words}" if words else "")
        self.picture.show_image(image, said)

    def photo(self) -> Photo | None:
        """The one that is shown."""
        return self.photos[self._at] if self._at < len(self.photos) else None

    # doing

    def choose(self) -> None:
        """Choose a file."""
        name = file_dialogs.open_file(self, "Choose a photograph", str(Path.home()), photo_file.NAMES)
        if name:
            self.add(Path(name))

    def add(self, path: Path) -> None:
        """Read it beside the worker, where scans and searches go on, and keep it, though this is closed meanwhile."""
        self.complain("")
        self.add_button.setEnabled(False)
        self.which.setText("Reading the photograph …")
        shared, ball_id, ticket_id = self.shared, self._ball_id, self._ticket_id
        place = int(self.ball.value) if ticket_id is not None and self._balls else None

        def keep(made: Picture) -> None:
            def run(shop: Shop) -> Changes:
                from arsenal.acts import photos  # noqa: PLC0415 - heavy, on the worker's thread

                size = (made.width, made.height)
                return photos.keep(shop, made.jpeg, size, ball_id=ball_id, ticket_id=ticket_id, place=place)

            shared.keep(run, self._added, failed=self._failed)

        def refused(error: KnownError) -> None:
            self._failed(error) if isValid(self) else shared.trouble(error)

        aside(lambda: photo_file.read(path), keep, failed=refused)

    def _added(self, changes: Changes) -> None:
        self.add_button.setEnabled(True)
        self._wanted = changes.changed[0].id if changes.changed else 0
        self.load()

    def remove(self) -> None:
        """Take the shown one away; Undo brings it back."""
        photo = self.photo()
        if photo is not None:
            self.shared.keep(lambda shop: _remove(shop, photo.id), lambda _c: self.load(), failed=self._failed)

    def _describe(self) -> None:
        photo, words = self.photo(), self.words.words()
        if photo is not None and words != photo.words:
            self.shared.keep(lambda shop: _words(shop, photo.id, words), lambda _c: self.load(), failed=self._failed)

    def _failed(self, error: KnownError) -> None:
        self.add_button.setEnabled(True)
        self.show_photo(self._at)
        self.complain(str(error))
        self.fit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """← → turn."""
        by = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1}.get(Qt.Key(event.key()), 0)
        if by and self.photos:
            self.show_photo(min(len(self.photos) - 1, max(0, self._at + by)))
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.words.hasFocus():
            self.picture.setFocus()  # Enter in the words keeps them and adds nothing
        else:
            super().keyPressEvent(event)


def _album(shop: Shop, ball_id: int | None, ticket_id: int | None) -> Album:
    from arsenal.acts import photos, tickets  # noqa: PLC0415 - heavy, on the worker's thread

    if ticket_id is None:
        return Album(shop.ball(ball_id or 0).name, photos.of_ball(shop, ball_id or 0))
    ticket = tickets.ticket(shop, ticket_id)
    balls = tuple(tickets.ball_words(shop, taken) for taken in ticket.balls)
    return Album(f"ticket {ticket.id}", photos.of_ticket(shop, ticket.id), balls)


def _image(shop: Shop, photo_id: int) -> QImage:
    from arsenal.acts import photos  # noqa: PLC0415 - heavy, on the worker's thread

    return QImage.fromData(photos.taken(shop, photo_id))


def _remove(shop: Shop, photo_id: int) -> Changes:
    from arsenal.acts import photos  # noqa: PLC0415 - heavy, on the worker's thread

    return photos.remove(shop, photo_id)


def _words(shop: Shop, photo_id: int, words: str) -> Changes:
    from arsenal.acts import photos  # noqa: PLC0415 - heavy, on the worker's thread

    return photos.describe(shop, photo_id, words)


def open_ball_photos(shared: Shared, parent: QWidget, ball_id: int) -> None:
    """Photographs of a ball."""
    PhotosDialog(shared, parent, ball_id=ball_id).open_()


def open_ticket_photos(shared: Shared, parent: QWidget, number: int) -> None:
    """Photographs taken at a ticket."""
    PhotosDialog(shared, parent, ticket_id=number).open_()
