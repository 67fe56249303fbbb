"""A form in a dialog: rows of fields, one act when it is kept, sentences where something is wrong."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any

from PySide6.QtWidgets import QLineEdit, QSizePolicy, QWidget

from arsenal.desk.parts.dialog import Dialog, Facts
from arsenal.desk.parts.number import NumberField
from arsenal.desk.parts.sentence import SentenceWord
from arsenal.desk.rooms import Shared
from arsenal.desk.theme import look
from arsenal.desk.units import Measure, measure
from arsenal.trade.errors import KnownError

if TYPE_CHECKING:
    from arsenal.acts.shop import Shop
    from arsenal.acts.views import Changes

Done = Callable[["Changes"], None]


class Words(QLineEdit):
    """A line of text in a form."""

    def __init__(self, name: str, text: str = "", hint: str = "", most: int = 120) -> None:
        super().__init__(text)
        self.setAccessibleName(name)
        self.setPlaceholderText(hint)
        self.setMaxLength(most)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setFixedHeight(look().px(34))
        self.setMinimumWidth(look().px(220))

    def words(self) -> str:
        """What is typed, without blanks around it."""
        return self.text().strip()


class Choice(SentenceWord):
    """One of several values as a sentence word."""

    def __init__(self, name: str, choices: Sequence[tuple[str, Any]], current: Any) -> None:
        super().__init__(name, "", px=15)
        self._choices, self.value = list(choices), current
        self.setMinimumHeight(look().px(34))
        self.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Fixed)
        self.picked.connect(self.put)
        self.put(current)

    def offer(self, choices: Sequence[tuple[str, Any]], current: Any) -> None:
        """Other values to choose from."""
        self._choices = list(choices)
        self.put(current)

    def put(self, value: Any) -> None:
        """Take a value."""
        self.value = value
        self.set_word(next((label for label, v in self._choices if v == value), "choose"))
        self.set_choices(self._choices, value)


class Measured(NumberField):
    """A number in the unit of the setting; `si` is what is stored."""

    def __init__(
        self, field: str, system: str, si: float | None = None, *, name: str = "", required: bool = False
    ) -> None:
        self._measure: Measure = measure(field, system)
        super().__init__(
            self._measure.limit, self._measure.show(si), digits=self._measure.digits, units=self._measure.units,
            required=required, name=name,
        )  # fmt: skip
        self._before = (self.text(), si)

    def put_si(self, si: float) -> None:
        """Write an SI value."""
        self.set_value(self._measure.show(si))
        self._before = (self.text(), si)

    def si(self) -> float | None:
        """The value in SI; a value nobody touched comes back exactly as it was."""
        if self.text() == self._before[0]:
            return self._before[1]
        return self._measure.store(self.value())


class FormDialog(Dialog):
    """Subclasses add rows to `rows` and say in `act` what to run on the shop."""

    def __init__(
        self,
        title: str,
        shared: Shared,
        parent: QWidget,
        done: Done | None = None,
        *,
        keep: str = "Keep",
        width: float = 500,
    ) -> None:
        super().__init__(title, parent, width=width)
        self.shared, self._kept = shared, done
        self.rows = Facts()
        self.body.addWidget(self.rows)
        self.offer("Not now", "Esc", self.reject)
        self.keep_button = self.offer(keep, "↵", self.keep, primary=True)

    def act(self) -> Callable[[Shop], Changes]:
        """What to do, from the fields; raises KnownError for what they cannot mean."""
        raise NotImplementedError

    def keep(self) -> None:
        """Check every field, then run the act; the dialog stays open where it fails."""
        numbers = [n for n in self.findChildren(NumberField) if n.isVisible()]
        wrong = [n for n in numbers if not n.check()]
        if wrong:
            wrong[0].setFocus()
            self.fit()
            self.into_sight(wrong[0])
            return
        try:
            run = self.act()
        except KnownError as error:
            self.complain(str(error))
            return
        self.keep_button.setEnabled(False)
        self.shared.keep(run, self._finish, failed=self._failed)

    def _finish(self, changes: Changes) -> None:
        self.accept()
        if self._kept is not None:
            self._kept(changes)

    def _failed(self, error: KnownError) -> None:
        self.keep_button.setEnabled(True)
        self.complain(str(error))
