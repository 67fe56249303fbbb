"""Photographs from files: upright, small, without the place they were taken at; bad files refused in words."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import photo_files
import pytest
from PySide6.QtCore import QCoreApplication, QEvent
from PySide6.QtGui import QColor, QColorSpace, QImage
from PySide6.QtWidgets import QWidget

from arsenal.acts import photos, tickets, undo
from arsenal.acts.settings import Settings
from arsenal.acts.shop import Shop
from arsenal.desk import photo_file
from arsenal.desk.dialogs.photos import PhotosDialog
from arsenal.desk.rooms import Shared
from arsenal.desk.worker import Worker
from arsenal.trade.errors import KnownError
from arsenal.trade.ticket import TakenIn

RED, BLUE = QColor("#D02010"), QColor("#2040C0")


def near(image: QImage, x: float, y: float, colour: QColor) -> bool:
    found = image.pixelColor(round(x * (image.width() - 1)), round(y * (image.height() - 1)))
    return all(abs(a - b) < 24 for a, b in zip(found.getRgb()[:3], colour.getRgb()[:3], strict=True))


@pytest.mark.parametrize("kind", [b"jpeg", b"png", b"webp"])
def test_a_photograph_is_kept_as_it_looks(qapp, tmp_path: Path, kind: bytes) -> None:
    path = photo_files.kept(tmp_path / "ball.img", photo_files.encoded(photo_files.picture(120, 80), kind))
    made = photo_file.read(path)
    image = QImage.fromData(made.jpeg, "JPEG")
    assert (made.width, made.height) == (image.width(), image.height()) == (120, 80)
    assert near(image, 0.1, 0.1, RED)
    assert near(image, 0.9, 0.9, BLUE)


RED_CORNER = {1: (0, 0), 2: (1, 0), 3: (1, 1), 4: (0, 1), 5: (0, 0), 6: (1, 0), 7: (1, 1), 8: (0, 1)}
"""Where the stored top left corner is shown, by the EXIF orientation tag (EXIF 2.3, 4.6.4): 6 is turned clockwise."""


@pytest.mark.parametrize("orientation", range(1, 9))
def test_a_photograph_is_turned_upright(qapp, tmp_path: Path, orientation: int) -> None:
    plain = photo_files.encoded(photo_files.picture(120, 80), b"jpeg")
    made = photo_file.read(photo_files.kept(tmp_path / "b.jpg", photo_files.with_exif(plain, orientation)))
    image = QImage.fromData(made.jpeg, "JPEG")
    assert (made.width, made.height) == ((80, 120) if orientation >= 5 else (120, 80))
    right, down = RED_CORNER[orientation]
    for x in (0, 1):
        for y in (0, 1):
            expected = RED if (x, y) == (right, down) else BLUE
            assert near(image, 0.1 + 0.8 * x, 0.1 + 0.8 * y, expected)


def test_nothing_a_camera_wrote_beside_the_picture_is_kept(qapp, tmp_path: Path) -> None:
    raw = photo_files.with_exif(photo_files.encoded(photo_files.picture(64, 64), b"jpeg"), 1)
    assert photo_files.PLACE in raw
    made = photo_file.read(photo_files.kept(tmp_path / "b.jpg", raw))
    assert photo_files.PLACE.rstrip(b"\x00") not in made.jpeg
    assert b"Exif" not in made.jpeg
    assert set(photo_files.segments(made.jpeg)) <= {0xE0, 0xDB, 0xC0, 0xC2, 0xC4, 0xDD}
    """JFIF, tables, frame: no APP1 or higher, no comment (ISO/IEC 10918-1, table B.1)."""


def test_words_and_colours_of_a_png_do_not_come_along(qapp, tmp_path: Path) -> None:
    image = photo_files.picture(64, 64)
    image.setText("Location", "by the river")
    image.setColorSpace(QColorSpace(QColorSpace.NamedColorSpace.DisplayP3))
    path = photo_files.kept(tmp_path / "b.png", photo_files.encoded(image, b"png"))
    made = photo_file.read(path)
    assert b"river" not in made.jpeg
    assert b"ICC_PROFILE" not in made.jpeg
    again = QImage.fromData(made.jpeg, "JPEG")
    wide, srgb = QImage(path.as_posix()), QColorSpace(QColorSpace.NamedColorSpace.SRgb)
    assert near(again, 0.1, 0.1, wide.convertedToColorSpace(srgb).pixelColor(6, 6))


@pytest.mark.parametrize(("size", "expected"), [((4000, 3000), (1600, 1200)), ((900, 3600), (400, 1600))])
@pytest.mark.parametrize("kind", [b"jpeg", b"png"])
def test_a_large_photograph_becomes_1600_dots_at_most(qapp, tmp_path: Path, size, expected, kind: bytes) -> None:
    path = photo_files.kept(tmp_path / "b.img", photo_files.encoded(photo_files.picture(*size), kind, 60))
    made = photo_file.read(path)
    assert (made.width, made.height) == expected


def test_what_can_be_seen_through_stands_on_white(qapp, tmp_path: Path) -> None:
    image = QImage(40, 40, QImage.Format.Format_ARGB32)
    image.fill(QColor(0, 0, 0, 0))
    made = photo_file.read(photo_files.kept(tmp_path / "b.png", photo_files.encoded(image, b"png")))
    assert near(QImage.fromData(made.jpeg, "JPEG"), 0.5, 0.5, QColor("#FFFFFF"))


def bad(name: str) -> tuple[bytes, str]:
    jpeg = photo_files.encoded(photo_files.picture(200, 200), b"jpeg")
    png = photo_files.encoded(photo_files.picture(200, 200), b"png")
    webp = photo_files.encoded(photo_files.picture(200, 200), b"webp")
    return {
        "empty": (b"", "is empty"),
        "text": (b"not a picture at all", "no photograph"),
        "drawing": (b"<svg xmlns='http://www.w3.org/2000/svg' width='9' height='9'><image href='/etc/passwd'/></svg>",
                    "no photograph"),
        "gif": (b"GIF89a\x01\x00\x01\x00\x80\x00\x00\xff\xff\xff\x00\x00\x00,\x00\x00\x00\x00\x01\x00\x01\x00\x00\x02"
                b"\x02D\x01\x00;", "no photograph"),
        "telephone": (b"\x00\x00\x00\x18ftypheic\x00\x00\x00\x00mif1heic" + b"\x00" * 64, "HEIC"),
        "cut jpeg": (jpeg[: len(jpeg) * 2 // 3], "damaged"),
        "cut jpeg with exif": (photo_files.with_exif(jpeg, 6)[: len(jpeg) // 2], "damaged"),
        "cut png": (png[: len(png) // 2], "damaged"),
        "cut webp": (webp[: len(webp) // 2], "damaged"),
        "head only": (jpeg[:30], "damaged"),
        "bomb": (photo_files.bomb(100_000, 100_000), "more than a photograph"),
        "wide bomb": (photo_files.bomb(900_000, 70), "more than a photograph"),
    }[name]  # fmt: skip


@pytest.mark.parametrize(
    "name",
    ["empty", "text", "drawing", "gif", "telephone", "cut jpeg", "cut jpeg with exif", "cut png", "cut webp",
     "head only", "bomb", "wide bomb"],
)  # fmt: skip
def test_a_file_that_is_no_whole_photograph_is_refused_in_words(qapp, tmp_path: Path, name: str) -> None:
    raw, said = bad(name)
    with pytest.raises(KnownError, match=said) as told:
        photo_file.read(photo_files.kept(tmp_path / "<b>ball & x.jpg", raw))
    assert told.value.next_step


def test_a_file_over_50_mb_is_not_even_read(qapp, tmp_path: Path) -> None:
    path = tmp_path / "large.jpg"
    with path.open("wb") as file:
        file.truncate(50_000_001)
    with pytest.raises(KnownError, match="larger than 50 MB"):
        photo_file.read(path)
    with pytest.raises(KnownError, match="no file"):
        photo_file.read(tmp_path)
    with pytest.raises(KnownError, match="no file"):
        photo_file.read(tmp_path / "gone.jpg")


# keeping


@pytest.fixture
def shop(shop_file: Path, settings: Settings) -> Iterator[Shop]:
    with Shop.open(shop_file, settings=settings) as opened:
        yield opened


JPEG = photo_file.Picture(b"\xff\xd8\xff\xe0 as it is", 120, 80)


def kept(shop: Shop, **of: object) -> int:
    return photos.keep(shop, JPEG.jpeg, (120, 80), **of).changed[0].id


def test_a_photograph_of_a_ball_is_kept_described_removed_and_brought_back(shop: Shop) -> None:
    number = kept(shop, ball_id=2, words=" crack <b>near</b>\nthe thumb ")
    (photo,) = photos.of_ball(shop, 2)
    assert (photo.id, photo.words, photo.width, photo.height) == (number, "crack <b>near</b> the thumb", 120, 80)
    assert photos.taken(shop, number) == JPEG.jpeg
    photos.describe(shop, number, "plug")
    assert photos.of_ball(shop, 2)[0].words == "plug"
    photos.remove(shop, number)
    assert photos.of_ball(shop, 2) == ()
    undo.undo(shop)
    assert photos.of_ball(shop, 2)[0].words == "plug"
    assert photos.taken(shop, number) == JPEG.jpeg
    assert shop.ledger.verify().ok


def test_a_photograph_of_a_ball_on_a_ticket_stands_on_both_and_comes_off_both(shop: Shop) -> None:
    draft = replace(
        tickets.blank(shop), name="Ana", balls=(TakenIn(words="blue one"), TakenIn(2, serial_missing="worn"))
    )
    ticket = tickets.take_in(shop, draft).changed[0].id
    number = kept(shop, ticket_id=ticket, place=1)
    assert tickets.ticket(shop, ticket).balls[1].photo_ids == (number,)
    assert [photo.id for photo in photos.of_ball(shop, 2)] == [number]
    assert [photo.id for photo in photos.of_ticket(shop, ticket)] == [number]
    photos.remove(shop, number)
    assert tickets.ticket(shop, ticket).balls[1].photo_ids == ()
    undo.undo(shop)
    assert tickets.ticket(shop, ticket).balls[1].photo_ids == (number,)
    assert kept(shop, ticket_id=ticket, place=0) == number + 1
    assert tickets.ticket(shop, ticket).balls[0].photo_ids == (number + 1,)


@pytest.mark.parametrize(
    ("jpeg", "size"),
    [(b"GIF89a", (10, 10)), (b"\xff\xd8\xff" + b"x" * 4_000_001, (10, 10)), (b"\xff\xd8\xff", (5000, 10)),
     (b"\xff\xd8\xff", (0, 10))],
)  # fmt: skip
def test_what_was_not_made_small_first_is_not_kept(shop: Shop, jpeg: bytes, size: tuple[int, int]) -> None:
    with pytest.raises(KnownError, match="no photograph"):
        photos.keep(shop, jpeg, size, ball_id=2)


def test_a_photograph_of_nothing_of_no_ball_and_one_too_many_are_refused(shop: Shop) -> None:
    with pytest.raises(KnownError, match="of a ball or of a ticket"):
        kept(shop)
    with pytest.raises(KnownError, match="no such ball"):
        kept(shop, ball_id=99)
    for _ in range(photos.MOST):
        kept(shop, ball_id=1)
    with pytest.raises(KnownError, match="24 photographs of Quarry Song already"):
        kept(shop, ball_id=1)
    assert len(photos.of_ball(shop, 1)) == photos.MOST


# the dialog


@pytest.fixture
def ground(qtbot, shop_file: Path, settings: Settings, window: QWidget) -> Iterator[Shared]:
    worker = Worker(lambda: Shop.open(shop_file, settings=settings))
    shared = Shared(worker, settings)
    window.show()
    yield shared
    worker.close()
    shared.deleteLater()


def test_the_dialog_adds_shows_describes_and_removes(qtbot, ground: Shared, window: QWidget, tmp_path: Path) -> None:
    raw = photo_files.with_exif(photo_files.encoded(photo_files.picture(120, 80), b"jpeg"), 6)
    path = photo_files.kept(tmp_path / "b.jpg", raw)
    dialog = PhotosDialog(ground, window, ball_id=2)
    dialog.open_()
    qtbot.waitUntil(lambda: "Rook Hollow" in dialog.heading.text())
    assert "No photograph yet" in dialog.picture.accessibleName()
    assert not dialog.away.isEnabled()
    dialog.add(path)
    qtbot.waitUntil(lambda: dialog.picture.accessibleName() == "Photograph 1 of 1")
    dialog.words.setText("crack by the <b>thumb</b>")
    dialog.words.editingFinished.emit()
    qtbot.waitUntil(lambda: dialog.picture.accessibleName() == "Photograph 1 of 1: crack by the <b>thumb</b>")
    dialog.add(path)
    qtbot.waitUntil(lambda: len(dialog.photos) == 2 and dialog.picture.accessibleName() == "Photograph 1 of 2")
    dialog.show_photo(1)
    qtbot.waitUntil(lambda: "crack" in dialog.picture.accessibleName())
    dialog.remove()
    qtbot.waitUntil(lambda: len(dialog.photos) == 1 and dialog.add_button.isEnabled())
    dialog.reject()


def test_the_dialog_says_what_is_wrong_with_a_file_and_keeps_what_there_is(
    qtbot, ground: Shared, window: QWidget, tmp_path: Path
) -> None:  # fmt: skip
    dialog = PhotosDialog(ground, window, ball_id=2)
    dialog.open_()
    dialog.add(photo_files.kept(tmp_path / "<i>x & y.jpg", b"not a picture"))
    qtbot.waitUntil(lambda: "<i>x & y.jpg is no photograph" in dialog.trouble.text())
    assert dialog.add_button.isEnabled()
    assert dialog.photos == ()
    dialog.reject()


def test_while_a_photograph_is_read_the_shop_answers_and_one_chosen_before_closing_is_kept(
    qtbot, ground: Shared, window: QWidget, tmp_path: Path, monkeypatch
) -> None:  # fmt: skip
    path = photo_files.kept(tmp_path / "b.jpg", photo_files.encoded(photo_files.picture(120, 80), b"jpeg"))
    gate, read = threading.Event(), photo_file.read
    monkeypatch.setattr(photo_file, "read", lambda of: (gate.wait(20.0), read(of))[1])
    dialog = PhotosDialog(ground, window, ball_id=2)
    dialog.open_()
    qtbot.waitUntil(lambda: "Rook Hollow" in dialog.heading.text())
    dialog.add(path)
    answered: list[str] = []
    ground.ask("scan", lambda shop: shop.ball(1).name, answered.append)
    qtbot.waitUntil(lambda: answered == ["Quarry Song"])
    assert dialog.which.text() == "Reading the photograph …"
    dialog.reject()
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    with qtbot.waitSignal(ground.kept):
        gate.set()
    ground.ask("kept", lambda shop: str(len(photos.of_ball(shop, 2))), answered.append)
    qtbot.waitUntil(lambda: answered[-1] == "1")


def test_a_bad_file_is_told_even_when_the_dialog_is_closed_by_then(
    qtbot, ground: Shared, window: QWidget, tmp_path: Path
) -> None:  # fmt: skip
    dialog = PhotosDialog(ground, window, ball_id=2)
    dialog.open_()
    dialog.add(photo_files.kept(tmp_path / "x.jpg", b"not a picture"))
    with qtbot.waitSignal(ground.troubled) as told:
        dialog.reject()
        QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    assert "is no photograph" in str(told.args[0])


def test_a_ticket_without_a_ball_takes_a_photograph_of_its_own(
    qtbot, ground: Shared, window: QWidget, tmp_path: Path
) -> None:  # fmt: skip
    path = photo_files.kept(tmp_path / "b.jpg", photo_files.encoded(photo_files.picture(120, 80), b"jpeg"))
    numbers: list[int] = []
    ground.keep(
        lambda shop: tickets.park(shop, replace(tickets.blank(shop), name="Ana")),
        lambda changes: numbers.append(changes.changed[0].id),
    )
    qtbot.waitUntil(lambda: bool(numbers))
    dialog = PhotosDialog(ground, window, ticket_id=numbers[0])
    dialog.open_()
    qtbot.waitUntil(lambda: f"ticket {numbers[0]}" in dialog.heading.text())
    dialog.add(path)
    qtbot.waitUntil(lambda: dialog.picture.accessibleName() == "Photograph 1 of 1")
    dialog.reject()
