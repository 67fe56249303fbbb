"""File dialogs that look at names only.

The toolkit's own dialog, and the one of some desktops, open every file of a folder they show to tell what it is.
Closing such a handle drops all POSIX locks this process holds on that file (fcntl(2)), those of an open shop and of its
wal index too, so that another program that only reads would clear the index away underneath.
"""

from __future__ import annotations

import sys
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


def install() -> None:
    """Let every file dialog of this process be one of these, where the system's locks are such."""
    if sys.platform != "linux":
        return
    for name, ours in (
        ("getOpenFileName", open_file), ("getOpenFileNames", open_files), ("getSaveFileName", save_file),
        ("getExistingDirectory", folder),
    ):  # fmt: skip
        setattr(QFileDialog, name, staticmethod(ours))


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


def open_file(parent: QWidget | None, title: str, start: str = "", kinds: str = "") -> tuple[str, str]:
    """As QFileDialog.getOpenFileName."""
    names, kind = open_files(parent, title, start, kinds, QFileDialog.FileMode.ExistingFile)
    return (names[0] if names else ""), kind


def open_files(
    parent: QWidget | None, title: str, start: str = "", kinds: str = "",
    mode: QFileDialog.FileMode = QFileDialog.FileMode.ExistingFiles,
) -> tuple[list[str], str]:  # fmt: skip
    """As QFileDialog.getOpenFileNames."""
    asked = dialog(parent, title, start, kinds)
    asked.setFileMode(mode)
    return _answer(asked)


def save_file(parent: QWidget | None, title: str, start: str = "", kinds: str = "") -> tuple[str, str]:
    """As QFileDialog.getSaveFileName."""
    asked = dialog(parent, title, start, kinds)
    asked.setFileMode(QFileDialog.FileMode.AnyFile)
    asked.setAcceptMode(QFileDialog.AcceptMode.AcceptSave)
    names, kind = _answer(asked)
    return (names[0] if names else ""), kind


def folder(parent: QWidget | None, title: str, start: str = "") -> str:
    """As QFileDialog.getExistingDirectory."""
    asked = dialog(parent, title, start)
    asked.setFileMode(QFileDialog.FileMode.Directory)
    asked.setOption(QFileDialog.Option.ShowDirsOnly)
    return "".join(_answer(asked)[0][:1])


def _answer(asked: QFileDialog) -> tuple[list[str], str]:
    try:
        if not asked.exec():
            return [], ""
        return asked.selectedFiles(), asked.selectedNameFilter()
    finally:
        asked.deleteLater()
