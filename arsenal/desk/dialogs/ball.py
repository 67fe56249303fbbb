"""Add or edit a ball: what it is, and for a new one how it came."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QWidget

from arsenal.desk.dialogs.form import Choice, Done, FormDialog, Measured, Words
from arsenal.desk.dialogs.serial import scanned_into
from arsenal.desk.parts.text import Plain
from arsenal.desk.rooms import Shared
from arsenal.trade.ball import Ball, Cover
from arsenal.trade.entries import Draft, Kind, New, Step
from arsenal.trade.errors import KnownError

if TYPE_CHECKING:
    from arsenal.acts.shop import Shop
    from arsenal.acts.views import Changes

COVERS = tuple((cover.value, cover) for cover in Cover)
USES = (("strikes", False), ("spares only", True))
CAME = (("new", True), ("used, history unknown", False))


class BallDialog(FormDialog):
    """The form. RG and differential may stay empty: defaults with more doubt are taken."""

    def __init__(self, shared: Shared, parent: QWidget, owner_id: int, ball: Ball | None, done: Done | None) -> None:
        super().__init__(ball.name if ball else "Add a ball", shared, parent, done, keep="Keep" if ball else "Add ball")
        self._new = ball is None
        self._ball = ball or Ball(0, "", "", owner_id, Cover.SOLID)
        known = self._ball.spec_known and not self._new
        system = shared.settings.units
        self.name = Words("Name", self._ball.name)
        self.nickname = Words("Called", self._ball.nickname, "short name for typed lines")
        self.cover = Choice("Cover", COVERS, self._ball.cover)
        self.use = Choice("Thrown for", USES, self._ball.spare)
        self.mass = Measured("weight", system, self._ball.mass_kg, required=True)
        self.rg = Measured("RG", system, self._ball.rg_m if known else None)
        self.differential = Measured("differential", system, self._ball.differential_m if known else None)
        self.intermediate = Measured(
            "intermediate differential", system, (self._ball.intermediate_m or None) if known else None
        )  # fmt: skip
        self.serial = Words("Serial", self._ball.serial, most=40)
        self.came = Choice("It came", CAME, True)
        self.finish = Words("Box finish", "", "as stated: 500/2000 m, polish")
        for label, field in (
            ("Name", self.name), ("Called", self.nickname), ("Cover", self.cover), ("Thrown for", self.use),
            ("Weight", self.mass), ("RG", self.rg), ("Differential", self.differential),
            ("Intermediate", self.intermediate), ("Serial", self.serial),
        ):  # fmt: skip
            self.rows.field(label, field)
        if self._new:
            self.rows.field("It came", self.came)
            self.rows.field("Box finish", self.finish)
        self.body.addWidget(
            Plain("Leave RG and differential empty where nobody knows: the order then says ± a little more.",
                  px=13, token="ink2", wrap=True)
        )  # fmt: skip
        self.name.setFocus()

    def scanned(self, text: str) -> None:
        """A maker's code is the serial; a label of ours is none."""
        scanned_into(self, self.serial, text)

    def ball(self) -> Ball:
        """The record the fields say. Raises KnownError without a name."""
        if not self.name.words():
            raise KnownError("A ball needs a name.", next_step="Type what you call it.")
        rg, differential = self.rg.si(), self.differential.si()
        typed = self._ball.differential_m if differential is None else differential
        return replace(
            self._ball, name=self.name.words(), nickname=self.nickname.words(), cover=self.cover.value,
            spare=bool(self.use.value), mass_kg=self.mass.si() or self._ball.mass_kg,
            rg_m=rg or self._ball.rg_m, differential_m=typed,
            intermediate_m=self.intermediate.si() or 0.0, serial=self.serial.words(),
            spec_known=rg is not None and differential is not None,
        )  # fmt: skip

    def act(self) -> Callable[[Shop], Changes]:
        """Add with its first entry, or edit."""
        ball, came, finish = self.ball(), bool(self.came.value), self.finish.words()
        new = self._new

        def run(shop: Shop) -> Changes:
            from arsenal.acts import balls  # noqa: PLC0415 - heavy, on the worker's thread

            if not new:
                return balls.edit_ball(shop, ball)
            steps = finish_steps(shop, finish, ball) if finish else ()
            first = Draft(0, Kind.NEW, shop.today(), New(finish=steps, history_known=came), typed=finish)
            return balls.add_ball(shop, ball, [first])

        return run


def finish_steps(shop: Shop, finish: str, ball: Ball) -> tuple[Step, ...]:
    """The steps a typed finish means. Raises KnownError."""
    from arsenal.exchange import one_line  # noqa: PLC0415 - heavy

    named = replace(ball, id=1, nickname="ball")
    try:
        drafts = one_line.read(f"ball {finish}", balls=[named], today=shop.today()).drafts
    except KnownError:  # its next step speaks of whole lines
        drafts = ()
    for draft in drafts:
        steps = getattr(draft.payload, "steps", ())
        if steps:
            return tuple(steps)
    raise KnownError(f"“{finish}” is no finish.", next_step="Write it like 500/2000 m, 1000 h or polish.")


def open_ball(
    shared: Shared, parent: QWidget, owner_id: int, ball: Ball | None = None, done: Done | None = None,
    *, serial: str = "",
) -> BallDialog:  # fmt: skip
    """Add a ball for `owner_id`, or edit `ball`; `done` gets the changes (the new id is `changed[0].id`). `serial` is
    filled in.
    """
    dialog = BallDialog(shared, parent, owner_id, ball, done)
    if serial:
        dialog.serial.setText(serial)
    dialog.open_()
    return dialog
