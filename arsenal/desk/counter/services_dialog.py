"""What the shop sells: names, prices, minutes at the bench and of waiting, steps, and whether it is offered now."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QRect
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QWidget

from arsenal.desk.bench.forms_steps import StepsField
from arsenal.desk.counter import asking, words
from arsenal.desk.dialogs.form import Choice, FormDialog, Words
from arsenal.desk.dialogs.recipe import WITH
from arsenal.desk.parts.dialog import Caution, Dialog
from arsenal.desk.parts.lists import RowPainter, RowsModel, RowsView, write
from arsenal.desk.parts.number import NumberField
from arsenal.desk.parts.text import Plain
from arsenal.desk.rooms import Shared
from arsenal.desk.theme import look
from arsenal.trade.errors import KnownError
from arsenal.trade.limits import Limit
from arsenal.trade.pads import label
from arsenal.trade.ticket import Service, Work

if TYPE_CHECKING:
    from arsenal.acts.shop import Shop
    from arsenal.acts.views import Changes

WORKS = (
    ("surface work", Work.SURFACE), ("cleaning", Work.CLEAN), ("oil out in a hot-water bath", Work.BATH),
    ("oil out in a heat cabinet", Work.HEAT), ("drilling", Work.DRILL), ("plugging", Work.PLUG),
    ("looking over", Work.INSPECT), ("something else", Work.OTHER),
)  # fmt: skip
ALWAYS = (("asked each time", False), ("always the same", True))
OFFERED = (("offered now", True), ("not offered now", False))
HEAT = ("Heat: the maker’s sheet comes first.", "Inserts and slugs out, plugs and cracks checked; never above 54 °C.")


def _price(service: Service) -> str:
    cents = service.price_cents
    return "asked each time" if cents is None else f"{cents // 100}.{cents % 100:02d}"


def _detail(service: Service) -> str:
    parts = [words.minutes(service.minutes)]
    if service.away_min:
        parts.append(f"and {words.minutes(service.away_min)} of waiting")
    if service.steps:
        parts.append(label(service.steps))
    return ", ".join(parts)


def _spoken(service: Service) -> str:
    shown = "" if service.offered else "not offered now"
    return ", ".join(part for part in (service.name, _detail(service), _price(service), shown) if part)


class ServicePainter(RowPainter):
    """Name, minutes and steps, price; 44 high."""

    height = 44

    def paint_row(self, painter: QPainter, box: QRect, row: Any, *, chosen: bool) -> None:
        """Draw one row."""
        px = look().px
        inner = box.adjusted(px(10), 0, -px(10), 0)
        token = "ink" if row.offered else "ink3"
        price = write(painter, inner, _price(row), look().font(14, 600), token, right=True)
        left = inner.adjusted(0, 0, -round(price) - px(12), 0)
        upper = QRect(left.left(), left.top() + px(4), left.width(), px(20))
        lower = QRect(left.left(), left.top() + px(23), left.width(), px(18))
        write(painter, upper, row.name[:120], look().font(14, 600), token)
        write(painter, lower, f"{_detail(row)}{'' if row.offered else ', not offered now'}", look().font(12), "ink2")


class ServicesDialog(Dialog):
    """The list; Enter changes one, A adds one."""

    def __init__(self, shared: Shared, parent: QWidget) -> None:
        super().__init__("Services and prices", parent, width=620)
        self.shared = shared
        told = "What a ticket offers, in this order. Minutes are learned from your own Begin and Done."
        self.body.addWidget(Plain(told, px=13, token="ink2", wrap=True))
        self.list = RowsView("Services", RowsModel(_spoken), ServicePainter())
        self.body.addWidget(self.list, 1)
        self.list.doubleClicked.connect(lambda _index: self._form(self.list.in_hand()))
        self.none = Plain("None yet.", px=14, token="ink2")
        self.body.addWidget(self.none)
        self.offer("Close", "Esc", self.reject)
        self.usual = self.offer("The usual ones", "U", self._usual)
        self.add = self.offer("Add a service", "A", lambda: self._form(Service(0, "")))
        self.change = self.offer("Change", "↵", lambda: self._form(self.list.in_hand()), primary=True)
        self.list.setFocus()
        self._ask()

    def _ask(self) -> None:
        self.shared.ask("counter services", asking.services_of, self._show)

    def _show(self, found: Sequence[Service]) -> None:
        at = self.list.currentIndex().row()
        self.list.rows_model.set_rows([])
        self.list.rows_model.set_rows(found)
        self.list.setMinimumHeight(min(max(1, len(found)), 9) * look().px(44) + 4)
        self.list.setVisible(bool(found))
        self.none.setVisible(not found)
        self.usual.setVisible(not found)
        self.usual.primary = not found
        self.change.setVisible(bool(found))
        self.change.setEnabled(bool(found))
        self.list.choose(max(0, min(at, len(found) - 1)))
        if self.isVisible():
            self.fit()

    def _usual(self) -> None:
        self.shared.keep(asking.begin_with_usual, lambda _changes: self._ask(), failed=lambda e: self.complain(str(e)))

    def _form(self, service: Service | None) -> None:
        if service is not None:
            ServiceForm(self.shared, self, service, lambda _changes: self._ask()).open_()


class ServiceForm(FormDialog):
    """One service."""

    def __init__(
        self, shared: Shared, parent: QWidget, service: Service, done: Callable[[Changes], None]
    ) -> None:  # fmt: skip
        super().__init__("Change a service" if service.id else "A new service", shared, parent, done, width=700)
        self._service = service
        cents = service.price_cents
        self.name = Words("Name", service.name, "as it stands on the ticket", 80)
        self.work = Choice("What it is", WORKS, service.work)
        price = "" if cents is None else f"{cents // 100}.{cents % 100:02d}"
        self.price = Words("Price", price, "24 or 24.50; empty: asked each time", 20)
        self.minutes = NumberField(
            Limit("minutes", 0.5, 480.0, "min"), service.minutes, digits=1, required=True, name="minutes at the bench"
        )  # fmt: skip
        self.away = NumberField(
            Limit("waiting", 0.0, 168.0, "h"), service.away_min / 60.0, digits=2, name="hours of cooling or waiting"
        )  # fmt: skip
        self.passes = NumberField(Limit("passes", 1, 20), float(service.passes), digits=0, name="passes")
        self.always = Choice("Steps", ALWAYS, bool(service.steps))
        self.steps = StepsField((), choices=WITH)
        self.steps.put(service.steps)
        self.offered = Choice("Offered", OFFERED, service.offered)
        for caption, field in (
            ("Name", self.name), ("What it is", self.work), ("Price", self.price),
            ("Minutes at the bench", self.minutes),
            ("Cooling or waiting", self.away), ("Passes", self.passes), ("Steps", self.always), ("… these", self.steps),
            ("Now", self.offered),
        ):  # fmt: skip
            self.rows.field(caption, field)
        self.heat = Caution(*HEAT)
        self.body.addWidget(self.heat)
        self.work.picked.connect(lambda _work: self._show())
        self.always.picked.connect(lambda _always: self._show())
        self._show()
        self.name.setFocus()

    def _show(self) -> None:
        warm, surface = self.work.value.warm, self.work.value is Work.SURFACE
        self.heat.setVisible(warm)
        always = surface and bool(self.always.value)
        for field, shown in ((self.passes, warm), (self.always, surface), (self.steps, always)):
            field.setVisible(shown)
            self.rows.label_of(field).setVisible(shown)
        if self.isVisible():
            self.fit()

    def act(self) -> Callable[[Shop], Changes]:
        """Add, or put in place of the old one."""
        from arsenal.acts import services  # noqa: PLC0415 - loaded with the rooms

        always = self.work.value is Work.SURFACE and bool(self.always.value)
        if always and self.steps.problem():
            self.steps.check()
            raise KnownError(self.steps.problem())
        steps = self.steps.read() if always else ()
        text = self.price.words()
        made = replace(
            self._service, name=self.name.words(), work=self.work.value,
            price_cents=services.cents(text) if text else None, minutes=self.minutes.value() or 10.0,
            away_min=(self.away.value() or 0.0) * 60.0, passes=round(self.passes.value() or 1), steps=steps,
            offered=bool(self.offered.value),
        )  # fmt: skip
        return lambda shop: services.keep_service(shop, made)


def open_services(shared: Shared, parent: QWidget) -> ServicesDialog:
    """Show them."""
    dialog = ServicesDialog(shared, parent)
    dialog.open_()
    return dialog
