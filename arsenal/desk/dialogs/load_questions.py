"""Rows that may mean somebody or something that is there already: the same, or another one with an addition."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QGridLayout, QVBoxLayout, QWidget

from arsenal.desk.dialogs.form import Choice, Words
from arsenal.desk.parts.dialog import Facts
from arsenal.desk.parts.text import Plain
from arsenal.desk.theme import look
from arsenal.exchange.tables.likeness import Answer, Answers, Rest

if TYPE_CHECKING:
    from arsenal.acts.bring_in import Question

SHOWN = 12
OPEN, ANOTHER = "still open", "another one"
ALL = [
    ("asked one by one", Rest.ASK), ("the same as what is here", Rest.SAME), ("others, told apart", Rest.ANOTHER),
]  # fmt: skip
Key = tuple[str, int]


class QuestionRow:
    """One question, its answers, and what tells another one apart."""

    def __init__(self, question: Question) -> None:
        self.question = question
        where = f"{question.file}, row {question.row}"
        self.label = Plain(f"{where}: {question.sentence}", px=14, wrap=True)
        choices = [(OPEN, OPEN), *((f"the same: {c.words}", c.key) for c in question.candidates), (ANOTHER, ANOTHER)]
        self.answer = Choice(f"Answer to {where}", choices, OPEN)
        self.addition = Words(f"Addition to the name, {where}", question.addition, "what tells them apart", 40)
        self.answer.picked.connect(lambda _value: self.show_addition())
        self.show_addition()

    def show_addition(self) -> None:
        """Only another bowler needs one."""
        self.addition.setVisible(self.answer.value == ANOTHER and self.question.kind == "bowler")

    def said(self) -> Answer | None:
        """The answer; None while it is open."""
        if self.answer.value == OPEN:
            return None
        if self.answer.value == ANOTHER:
            return Answer(None, self.addition.words())
        return Answer(str(self.answer.value))


class QuestionsPart(QWidget):
    """The first questions one by one, and one word for all others."""

    said = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.rows: list[QuestionRow] = []
        self._answered: dict[Key, Answer] = {}
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(look().px(8))
        self.heading = Plain("", px=14, weight=600, wrap=True)
        column.addWidget(self.heading)
        facts = Facts()
        self.rest = Choice("All questions nobody answered are", ALL, Rest.ASK)
        facts.field("All others are", self.rest)
        column.addWidget(facts)
        self._grid = QGridLayout()
        self._grid.setColumnStretch(0, 3)
        self._grid.setColumnStretch(1, 2)
        self._grid.setHorizontalSpacing(look().px(16))
        column.addLayout(self._grid)
        self.rest.picked.connect(lambda _value: self.said.emit())
        self.hide()

    def answers(self) -> Answers:
        """Everything that was answered so far."""
        for row in self.rows:
            answer, key = row.said(), (row.question.file, row.question.row)
            if answer is not None:
                self._answered[key] = answer
            else:
                self._answered.pop(key, None)
        rest = self.rest.value if isinstance(self.rest.value, Rest) else Rest.ASK
        return Answers(dict(self._answered), rest)

    def show_open(self, questions: Sequence[Question]) -> None:
        """Those that are still open; what was answered stays where it is until the files are looked at anew."""
        have = {(row.question.file, row.question.row) for row in self.rows}
        fresh = [q for q in questions if (q.file, q.row) not in have]
        for question in fresh[: max(0, SHOWN - len(self.rows))]:
            self._add(QuestionRow(question))
        many = len(questions)
        rows = "1 row asks" if many == 1 else f"{many} rows ask"
        self.heading.setText(f"{rows} about somebody or something that is here already." if many else
                             "Every question is answered.")  # fmt: skip
        self.setVisible(bool(self.rows) or many > 0 or self.rest.value is not Rest.ASK)

    def _add(self, row: QuestionRow) -> None:
        at = self._grid.rowCount()
        self.rows.append(row)
        self._grid.addWidget(row.label, at, 0)
        self._grid.addWidget(row.answer, at, 1)
        self._grid.addWidget(row.addition, at + 1, 1)
        for widget in (row.label, row.answer):
            widget.show()
        row.show_addition()
        row.answer.picked.connect(lambda _value: self.said.emit())
        row.addition.textEdited.connect(lambda _text: self.said.emit())
