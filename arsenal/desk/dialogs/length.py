"""A length as drillers write it, in inches or millimetres by the setting; what is wrong stands in one sentence."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from arsenal.desk.parts.number import NumberField
from arsenal.exchange import lengths
from arsenal.trade.errors import NotUnderstood
from arsenal.trade.limits import Limit
from arsenal.trade.units import INCH_M

MM_AN_INCH = 25.4
SHAKE_M = 1e-9


class LengthField(NumberField):
    """`limit` is in inches. `ways` are the letters for plus and minus of a direction and the words read for them;
    `tells` takes what is wrong where the sentence stands elsewhere.
    """

    def __init__(
        self, limit: Limit, system: str, si: float | None = None, *, name: str = "", wide: float = 120,
        ways: tuple[str, str, Mapping[str, float]] | None = None, tells: Callable[[], object] | None = None,
    ) -> None:  # fmt: skip
        self._metric = system == "metric"
        self._ways, self._tells, self._inches = ways, tells, limit
        unit = "" if ways or wide < 100 else "mm" if self._metric else "in"
        super().__init__(Limit(limit.field, limit.low, limit.high, unit), name=name, wide=wide)
        self.edit.setMaxLength(40)
        self.edit.setAccessibleName(f"{self._name} in {'millimetres' if self._metric else 'inches'}")
        self.put_si(si)

    def put_si(self, si: float | None) -> None:
        """Write a length in metres, or nothing."""
        self.edit.setText("" if si is None else self._say(si))
        self._before = (self.text(), si)
        self._tell("")

    def _say(self, si: float) -> str:
        if self._ways is None:
            return lengths.say(si, metric=self._metric)
        return lengths.say_way(si, self._ways[0], self._ways[1], metric=self._metric)

    def _read(self) -> float:
        return lengths.read(self.text(), metric=self._metric, ways=self._ways[2] if self._ways else None)

    def problem(self) -> str:
        """What is wrong with what is typed, as a sentence."""
        if not self.isEnabled() or not self.text().strip() or self.text() == self._before[0]:
            return ""
        try:
            value = self._read()
        except NotUnderstood as error:
            return f"{self._called()}: {error.sentence} {error.next_step}"
        low, high = self._inches.low * INCH_M, self._inches.high * INCH_M
        return "" if low - SHAKE_M <= value <= high + SHAKE_M else f"{self._called()} is {self._allowed()}."

    def _called(self) -> str:
        return f"{self._name[:1].upper()}{self._name[1:]}"

    def _allowed(self) -> str:
        low, high = self._inches.low, self._inches.high
        factor, unit = (MM_AN_INCH, "mm") if self._metric else (1.0, "in")
        if self._ways and low < 0:
            return f"{-low * factor:g} {unit} {self._ways[1]} to {high * factor:g} {unit} {self._ways[0]}"
        return f"{low * factor:g} to {high * factor:g} {unit}".replace("-", "−")

    def si(self) -> float | None:
        """The length in metres; None where it is empty or wrong; what nobody touched comes back as it was, and so does
        what cannot be typed in now.
        """
        if self.text() == self._before[0] or not self.isEnabled():
            return self._before[1]
        return None if not self.text().strip() or self.problem() else self._read()

    def value(self) -> float | None:
        """The same."""
        return self.si()

    def check(self) -> bool:
        """Show what is wrong, or the length as it is said. True where all is well."""
        fine = super().check()
        if fine and self.isEnabled() and self.text().strip() and self.text() != self._before[0]:
            value = self._read()
            self._before = (self._say(value), value)
            self.edit.setText(self._before[0])
        return fine

    def _tell(self, problem: str) -> None:
        super()._tell(problem)
        if self._tells is not None:
            self.sentence.hide()
            self._tells()
