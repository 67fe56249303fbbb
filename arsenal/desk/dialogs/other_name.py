"""Two people of one name: the form offers the name with an addition instead of only refusing it."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QVBoxLayout

from arsenal.desk.dialogs.form import FormDialog, Words
from arsenal.desk.parts.sentence import TextButton
from arsenal.trade.errors import KnownError, NameTaken

MOST = 70


class OtherName(TextButton):
    """“Keep as Ilse Varga, 0117”; hidden while no name is taken. `heard` takes what a form was refused with."""

    def __init__(self, form: FormDialog, name: Words) -> None:
        super().__init__("", px=15, token="ink")
        self._form, self._name, self._offered = form, name, ""
        self.clicked.connect(self._take)
        outer = form.layout()
        assert isinstance(outer, QVBoxLayout)  # noqa: S101 - as every dialog is made
        outer.insertWidget(outer.indexOf(form.trouble) + 1, self, 0, Qt.AlignmentFlag.AlignLeft)
        self.hide()
        name.textEdited.connect(lambda _text: self.hide())

    def heard(self, error: KnownError) -> None:
        """Offer the addition where a name is taken."""
        self._offered = error.offered if isinstance(error, NameTaken) else ""
        shown = self._offered if len(self._offered) < MOST else f"…{self._offered[1 - MOST :]}"
        self.set_word(f"Keep as “{shown}”")
        self.setVisible(bool(self._offered))
        self._form.fit()
        if self._offered:
            self.setFocus()

    def _take(self) -> None:
        self._name.setText(self._offered)
        self.hide()
        self._form.complain("")
        self._form.keep()
