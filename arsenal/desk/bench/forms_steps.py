"""Steps of surface work in a form: what each was done with, by what, wet or dry, sides and seconds; add and remove."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from arsenal.desk.dialogs.form import Choice
from arsenal.desk.dialogs.pad import SCALES
from arsenal.desk.parts.marks import Told
from arsenal.desk.parts.number import NumberField, read_number
from arsenal.desk.parts.sentence import TextButton
from arsenal.desk.parts.text import Plain
from arsenal.desk.theme import look
from arsenal.trade.entries import Abrasive, Scale, Step, Tool
from arsenal.trade.limits import LIMITS
from arsenal.trade.pads import Pad

MOST_STEPS = 12
TOOLS = (("by hand", Tool.HAND), ("on a spinner", Tool.SPINNER), ("by machine", Tool.MACHINE))
WETS = (("dry", False), ("wet", True))
MACHINE_SIDES, MACHINE_SECONDS = 4.0, 30.0
"""The usual time on a closed machine (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Material:
    """What a step is done with: a pad in stock, a number, or a stuff without one."""

    abrasive: Abrasive
    pad: Pad | None = None

    @property
    def numbered(self) -> bool:
        """Asks for a number of its own."""
        return self.pad is None and self.abrasive in (Abrasive.GRIT, Abrasive.NONWOVEN)


def pad_words(pad: Pad) -> str:
    """“1000 foam, used 6 times”, “polish bottle”."""
    scale = "" if pad.scale is Scale.PLAIN else f"{pad.scale.value} "
    number = f"{scale}{pad.number:g}" if pad.number is not None else pad.abrasive.value
    stuff = f"{pad.abrasive.value} " if pad.number is not None and pad.abrasive is not Abrasive.GRIT else ""
    uses = round(pad.uses_hand + pad.uses_spinner)
    times = "not used yet" if uses == 0 else "used once" if uses == 1 else f"used {uses} times"
    return f"{stuff}{number} {pad.kind}, {times}"


def materials(pads: Sequence[Pad], *, shine: bool) -> list[tuple[str, Material]]:
    """What may be chosen: pads in stock first, finest last, then the ways without stock."""
    shiny = (Abrasive.POLISH, Abrasive.COMPOUND)
    held = [pad for pad in pads if not pad.used_up and (not shine or pad.abrasive in shiny)]
    held.sort(key=lambda pad: (pad.abrasive in shiny, pad.number is None, pad.number or 0.0, -pad.id))
    stock = [(pad_words(pad), Material(pad.abrasive, pad)) for pad in held]
    polish, compound = ("polish", Material(Abrasive.POLISH)), ("compound", Material(Abrasive.COMPOUND))
    if shine:
        return [*stock, polish, compound]
    return [
        *stock, ("a number, no pad of mine", Material(Abrasive.GRIT)), ("non-woven", Material(Abrasive.NONWOVEN)),
        polish, compound,
    ]  # fmt: skip


class StepNumber(NumberField):
    """A narrow number whose sentence stands below the whole step."""

    told = Signal()

    def __init__(self, field: str, *, whole: bool = False) -> None:
        self._whole = whole
        super().__init__(LIMITS[field], digits=0)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        look().changed.connect(self._narrow)
        self._narrow()

    def call(self, name: str) -> None:
        """Another name, when steps move up."""
        self._name = name
        self.edit.setAccessibleName(name)

    def called(self) -> str:
        """Its name as a sentence begins with it."""
        return f"{self._name[:1].upper()}{self._name[1:]}"

    def problem(self) -> str:
        """What is wrong: sides are counted."""
        found = super().problem()
        if not found and self._whole and self.text().strip():
            value = read_number(self.text(), self._units)
            if value != int(value):
                return f"{self.called()} is a whole number. Nothing was saved."
        return found

    def _edited(self) -> None:
        if self.box.wrong:
            self._tell(self.problem())
        self.changed.emit()

    def _tell(self, problem: str) -> None:
        self.box.wrong = bool(problem)
        self.box.update()
        self.edit.setAccessibleDescription(problem)
        self.told.emit()

    def _narrow(self) -> None:
        self.box.setFixedWidth(look().px(88))


class StepRow(QWidget):
    """One step in two lines."""

    changed = Signal()
    removed = Signal(object)

    def __init__(self, choices: Sequence[tuple[str, Material]], *, shine: bool) -> None:
        super().__init__()
        self.material = Choice("With", choices, None)
        self.number, self.scale = StepNumber("grain number"), Choice("Number counts on", SCALES, Scale.PLAIN)
        tool = Tool.SPINNER if shine else Tool.HAND
        self.tool, self.wet = Choice("By", TOOLS, tool), Choice("Wet or dry", WETS, shine)
        self.sides, self.seconds = StepNumber("sides", whole=True), StepNumber("seconds")
        self.title = Plain("", px=13, weight=600, token="ink2")
        self.remove, self.told = TextButton("Remove"), Told()
        self._lay_out()
        for choice in (self.material, self.scale, self.tool, self.wet):
            choice.picked.connect(lambda _value: self.refit())
        self.tool.picked.connect(self._usual_way)
        for field in (self.number, self.sides, self.seconds):
            field.changed.connect(self.changed)
            field.told.connect(self._tell)
        self.remove.clicked.connect(lambda: self.removed.emit(self))
        self.refit()

    def _lay_out(self) -> None:
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, look().px(4))
        column.setSpacing(look().px(2))
        sides = Plain("sides ×", token="ink2")
        for widgets in (
            (self.title, self.material, self.number, self.scale, None, self.remove),
            (self.tool, self.wet, self.sides, sides, self.seconds, None),
        ):
            row = QHBoxLayout()
            row.setSpacing(look().px(10))
            for widget in widgets:
                if widget is None:
                    row.addStretch(1)
                else:
                    row.addWidget(widget, 0, Qt.AlignmentFlag.AlignVCenter)
            column.addLayout(row)
        column.addWidget(self.told)

    def call(self, number: int, *, alone: bool) -> None:
        """Its place in the order."""
        self.title.setText(f"{number}.")
        self.title.setAccessibleName(f"Step {number}")
        for field, name in ((self.number, "grain number"), (self.sides, "sides"), (self.seconds, "seconds")):
            field.call(f"{name} of step {number}")
        for choice, what in ((self.material, "with"), (self.scale, "number counts on"), (self.tool, "by"),
                             (self.wet, "wet or dry")):  # fmt: skip
            choice.setAccessibleDescription(f"step {number}, {what}")
        self.remove.setAccessibleName(f"Remove step {number}")
        self.remove.setVisible(not alone)

    def refit(self) -> None:
        """Show what the chosen material asks for."""
        what: Material | None = self.material.value
        bare = what is not None and what.numbered
        self.number.setVisible(bare)
        self.scale.setVisible(bare)
        self._tell()
        self.changed.emit()

    def _usual_way(self, tool: Tool) -> None:
        self.wet.put(tool is not Tool.HAND)
        if tool is Tool.MACHINE and not self.sides.text() and not self.seconds.text():
            self.sides.set_value(MACHINE_SIDES)
            self.seconds.set_value(MACHINE_SECONDS)
        elif tool is not Tool.MACHINE and self._time() == (MACHINE_SIDES, MACHINE_SECONDS):
            self.sides.set_value(None)
            self.seconds.set_value(None)
        self.changed.emit()

    def _time(self) -> tuple[float | None, float | None]:
        return self.sides.value(), self.seconds.value()

    def put(self, step: Step) -> None:
        """Write a step that names no pad."""
        self.material.put(Material(step.abrasive))
        self.number.set_value(step.number)
        self.scale.put(step.scale)
        self.tool.put(step.tool)
        self.wet.put(step.wet)
        self.sides.set_value(float(step.sides) if step.sides is not None else None)
        self.seconds.set_value(step.seconds)
        self.refit()

    def step(self) -> Step:
        """The step, with nothing for what is wrong or empty."""
        what: Material = self.material.value
        sides, seconds = self._time()
        number, scale, pad_id = None, Scale.PLAIN, None
        if what.pad is not None:
            number, scale, pad_id = what.pad.number, what.pad.scale, what.pad.id
        elif what.numbered and self.number.value() is not None:
            number, scale = self.number.value(), self.scale.value
        count = int(sides) if sides is not None else None
        return Step(what.abrasive, number, scale, self.tool.value, self.wet.value, count, seconds, pad_id)

    def wrong(self) -> tuple[QWidget, str] | None:
        """The first field that is wrong, with its sentence."""
        what: Material | None = self.material.value
        if what is None:
            return self.material, f"{self.title.accessibleName()}: choose what it was done with."
        fields = [self.sides, self.seconds]
        if what.numbered:
            fields.insert(0, self.number)
            if what.abrasive is Abrasive.GRIT and not self.number.text().strip():
                return self.number, f"{self.number.called()} is needed: {LIMITS['grain number'].allowed}."
        return next(((field, field.problem()) for field in fields if field.problem()), None)

    def _tell(self) -> None:
        shown = [field for field in (self.number, self.sides, self.seconds) if field.box.wrong and not field.isHidden()]
        self.told.setText(next((field.problem() for field in shown if field.problem()), ""))

    def check(self) -> bool:
        """Show what is wrong."""
        found = self.wrong()
        for field in (self.number, self.sides, self.seconds):
            field.box.wrong = found is not None and field is found[0]
            field.box.update()
            field.edit.setAccessibleDescription(found[1] if found and field is found[0] else "")
        self.told.setText(found[1] if found else "")
        return found is None


class StepsField(QWidget):
    """The steps in order; at least one stays."""

    changed = Signal()

    def __init__(
        self, pads: Sequence[Pad], *, shine: bool = False, choices: Sequence[tuple[str, Material]] = ()
    ) -> None:  # fmt: skip
        super().__init__()
        self._choices, self._shine = choices or materials(pads, shine=shine), shine
        self.rows: list[StepRow] = []
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(look().px(6))
        self.more = TextButton("Add a step")
        self.more.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Fixed)
        self.more.clicked.connect(self._again)
        self._column.addWidget(self.more)
        said = "Sides and seconds left empty: one light pass by hand, the usual full time otherwise."
        self._column.addWidget(Plain(said, px=12, token="ink3", wrap=True))
        self.add()

    def add(self) -> StepRow:
        """One more step, done as the last one was."""
        row = StepRow(self._choices, shine=self._shine)
        if self.rows:
            last = self.rows[-1]
            row.tool.put(last.tool.value)
            row.wet.put(last.wet.value)
            row.sides.set_value(last.sides.value())
            row.seconds.set_value(last.seconds.value())
            row.refit()
        row.changed.connect(self.changed)
        row.removed.connect(self.drop)
        self._column.insertWidget(len(self.rows), row)
        self.rows.append(row)
        self._renumber()
        return row

    def _again(self) -> None:
        self.add().material.setFocus(Qt.FocusReason.TabFocusReason)

    def drop(self, row: StepRow) -> None:
        """Without that step."""
        if len(self.rows) > 1:
            self.rows.remove(row)
            self._column.removeWidget(row)
            row.hide()
            row.deleteLater()
            self._renumber()
            self.rows[-1].material.setFocus(Qt.FocusReason.TabFocusReason)

    def _renumber(self) -> None:
        for number, row in enumerate(self.rows, 1):
            row.call(number, alone=len(self.rows) == 1)
        self.more.setEnabled(len(self.rows) < MOST_STEPS)
        self.setFocusProxy(self.rows[0].material)
        self.changed.emit()

    def put(self, steps: Sequence[Step]) -> None:
        """Write steps that name no pad."""
        while len(self.rows) < len(steps):
            self.add()
        while len(self.rows) > len(steps) > 0:
            self.drop(self.rows[-1])
        for row, step in zip(self.rows, steps, strict=False):
            row.put(step)

    def read(self) -> tuple[Step, ...]:
        """The steps in order."""
        return tuple(row.step() for row in self.rows)

    def problem(self) -> str:
        """The first thing wrong with any step."""
        wrong = [row.wrong() for row in self.rows]
        return next((found[1] for found in wrong if found), "")

    def check(self) -> bool:
        """Show what is wrong with every step."""
        checked = [row.check() for row in self.rows]
        return all(checked)
