"""File dialogs: the toolkit's own, looking at names only. Nothing else in the desk asks for a file.

The system's dialogs are not heard, so that a scan would be typed into them and its Enter would keep a file. The
toolkit's, and those of some desktops, open every file of a folder they show to tell what it is: closing such a handle
drops all POSIX locks this process holds on that file (fcntl(2)), those of an open shop and of its wal index too, so
that another program that only reads would clear the index away underneath.
"""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QFileInfo
from PySide6.QtGui import QIcon
from PySide6.QtWidgets import QFileDialog, QFileIconProvider, QWidget

NOWHERE = "/"
"""Shown until the dialog has been told to look at names only."""


class ByName(QFileIconProvider):
    """What a file is, told by its name."""

    def icon(self, what: QFileInfo | QFileIconProvider.IconType) -> QIcon:
        """Of a folder or a file."""
        if isinstance(what, QFileInfo):
            what = QFileIconProvider.IconType.Folder if what.isDir() else QFileIconProvider.IconType.File
        return super().icon(what)

    def type(self, info: QFileInfo) -> str:
        """“Folder”, “csv file”."""
        return "Folder" if info.isDir() else f"{info.suffix()} file".strip()


def open_file(parent: QWidget | None, title: str, start: str = "", kinds: str = "") -> str:
    """A file that is there; empty where none was chosen. `kinds` as “Tables (*.csv);;All files (*)”."""
    asked = dialog(parent, title, start, kinds)
    asked.setFileMode(QFileDialog.FileMode.ExistingFile)
    return "".join(_answer(asked)[:1])


def open_files(parent: QWidget | None, title: str, start: str = "", kinds: str = "") -> list[str]:
    """Files that are there, several at once."""
    asked = dialog(parent, title, start, kinds)
    asked.setFileMode(QFileDialog.FileMode.ExistingFiles)
    return _answer(asked)


def save_file(parent: QWidget | None, title: str, start: str = "", kinds: str = "") -> str:
    """Where to keep a file; one that is there already is asked about. `start` is a folder, or a name to offer."""
    asked = dialog(parent, title, start, kinds)
    asked.setFileMode(QFileDialog.FileMode.AnyFile)
    asked.setAcceptMode(QFileDialog.AcceptMode.AcceptSave)
    return "".join(_answer(asked)[:1])


def folder(parent: QWidget | None, title: str, start: str = "") -> str:
    """A folder that is there."""
    asked = dialog(parent, title, start)
    asked.setFileMode(QFileDialog.FileMode.Directory)
    asked.setOption(QFileDialog.Option.ShowDirsOnly)
    return "".join(_answer(asked)[:1])


def dialog(parent: QWidget | None, title: str, start: str, kinds: str = "") -> QFileDialog:
    """A dialog that has not opened anything."""
    made = QFileDialog(parent, title, NOWHERE, kinds)
    made.setOption(QFileDialog.Option.DontUseNativeDialog)
    made.setIconProvider(_by_name())
    where = Path(start or Path.home())
    if where.is_dir():
        made.setDirectory(str(where))
    else:
        made.setDirectory(str(where.parent))
        made.selectFile(where.name)
    return made


_provider: list[ByName] = []


def _by_name() -> ByName:
    """One for all dialogs: they ask it from threads of their own."""
    if not _provider:
        _provider.append(ByName())
    return _provider[0]


def _answer(asked: QFileDialog) -> list[str]:
    try:
        return asked.selectedFiles() if asked.exec() else []
    finally:
        asked.deleteLater()
