"""The ticket being written, on the worker's side: every change in the order it was made, a step back, and what it looks
like now. Only the worker's thread touches it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from arsenal.acts.counter_views import TicketView
    from arsenal.acts.shop import Shop
    from arsenal.acts.views import Changes
    from arsenal.trade.ticket import Ticket

How = Callable[["Shop", "Ticket"], "Ticket"]
STEPS_BACK = 100


@dataclass(frozen=True, slots=True)
class OnPaper:
    """What the right pane shows: the ticket as it stands, and whether a step back is possible."""

    view: TicketView | None
    steps: int = 0
    number: int = 0
    """Of what was just kept; 0 where nothing was."""


class Written:
    """One ticket at a time; `before` is what it was, newest last."""

    def __init__(self, *, lasting: bool = False) -> None:
        self._lasting = lasting
        """Whether it outlives the program: kept beside the file after every change, and taken up again."""
        self._taken_up = not lasting
        self.draft: Ticket | None = None
        self._before: list[Ticket | None] = []
        self._kept: Ticket | None = None
        """The one taken in last as it was written, so that taking it back brings it back to the pane."""

    def show(self, shop: Shop) -> OnPaper:
        """As it stands."""
        from arsenal.acts import counter  # noqa: PLC0415 - heavy, on the worker's thread

        view = counter.view(shop, self.draft) if self.draft is not None else None
        return OnPaper(view, len(self._before))

    def change(self, shop: Shop, how: How) -> OnPaper:
        """Change it; a blank one is begun where none is there. Nothing where `how` raises."""
        from arsenal.acts import tickets  # noqa: PLC0415 - heavy, on the worker's thread

        made = how(shop, self.draft if self.draft is not None else tickets.blank(shop))
        if made != self.draft:
            self._before = [*self._before, self.draft][-STEPS_BACK:]
            self.draft = made
            self._remember(shop)
        return self.show(shop)

    def _remember(self, shop: Shop) -> None:
        if self._lasting:
            from arsenal.acts import counter_draft  # noqa: PLC0415 - heavy, on the worker's thread

            counter_draft.keep(shop, self.draft)

    def _take_up(self, shop: Shop) -> None:
        """What was being written when the program ended."""
        from arsenal.acts import counter_draft  # noqa: PLC0415 - heavy, on the worker's thread

        self._taken_up = True
        if self.draft is None:
            self.draft = counter_draft.kept(shop)

    def step_back(self, shop: Shop) -> OnPaper:
        """As it was before the last change."""
        if self._before:
            self.draft = self._before.pop()
            self._take_photos(shop)
            self._remember(shop)
        return self.show(shop)

    def begin(self, shop: Shop, draft: Ticket | None) -> OnPaper:
        """Another one in its place; the old one has to be parked before."""
        self.draft, self._before = draft, []
        self._remember(shop)
        return self.show(shop)

    def fits(self, person_id: int, name: str) -> bool:
        """Whether a ball of that customer belongs on this ticket."""
        draft = self.draft
        if draft is None:
            return False
        if draft.person_id is not None:
            return draft.person_id == person_id
        return draft.name.casefold() in ("", name.casefold())

    def written_on(self) -> bool:
        """Whether there is anything to keep."""
        found = self.draft
        return found is not None and bool(
            found.person_id is not None or found.name or found.phone or found.balls or found.note
        )

    def park(self, shop: Shop) -> Changes:
        """Keep it half written, and clear the pane. Raises KnownError where nothing is on it."""
        from arsenal.acts import tickets  # noqa: PLC0415 - heavy, on the worker's thread

        changes = tickets.park(shop, self.draft or tickets.blank(shop))
        self.draft, self._before = None, []
        self._remember(shop)
        return changes

    def keep_half(self, shop: Shop) -> Changes:
        """Keep it half written, and go on with it under its number."""
        from arsenal.acts import tickets  # noqa: PLC0415 - heavy, on the worker's thread

        assert self.draft is not None  # noqa: S101 - `written_on` was asked
        changes = tickets.park(shop, self.draft)
        if changes.changed:
            number = changes.changed[0].id
            self.draft = replace(self.draft, id=number)
            self._before = [before and replace(before, id=number) for before in self._before]
            self._remember(shop)
        return changes

    def take_in(self, shop: Shop) -> Changes:
        """Take it in for the time shown, and clear the pane. Raises KnownError, and then keeps it as it is."""
        from arsenal.acts import counter, tickets  # noqa: PLC0415 - heavy, on the worker's thread

        draft = self.draft or tickets.blank(shop)
        promised = draft.promised_at or counter.view(shop, draft).promise
        changes = tickets.take_in(shop, replace(draft, promised_at=promised))
        number = changes.changed[0].id if changes.changed else draft.id
        self._kept = replace(draft, id=number)
        self.draft, self._before = None, []
        self._remember(shop)
        return changes

    def settle(self, shop: Shop) -> OnPaper:
        """After anything was kept or taken back: a ticket taken in by mistake is back on the pane, and a parked one
        whose number was taken back has none.
        """
        from arsenal.trade.ticket import Standing, Ticket  # noqa: PLC0415 - beside the acts

        if not self._taken_up:
            self._take_up(shop)
        tickets = shop.by_id(Ticket)
        before = self.draft
        back = tickets.get(self._kept.id) if self._kept is not None else None
        if self._kept is not None and (back is None or back.standing is Standing.PARKED):
            if self.draft is None:
                self.draft, self._before = self._kept, []
            self._kept = None
        if self.draft is not None and self.draft.id:
            parked = tickets.get(self.draft.id)
            if parked is None:
                self.draft = replace(self.draft, id=0)
            elif parked.standing is not Standing.PARKED:
                self.draft = None
            else:
                self._take_photos(shop)
        if self.draft is not None:
            self._drop_gone(shop)
        if self.draft != before:
            self._remember(shop)
        return self.show(shop)

    def _take_photos(self, shop: Shop) -> None:
        """Photographs are kept with the parked ticket as they are taken; the one being written has the same."""
        from arsenal.trade.ticket import Ticket  # noqa: PLC0415 - beside the acts

        parked = shop.by_id(Ticket).get(self.draft.id) if self.draft is not None and self.draft.id else None
        if self.draft is None or parked is None:
            return
        balls = []
        for at, taken in enumerate(self.draft.balls):
            same = (
                of for n, of in enumerate(parked.balls)
                if of.ball_id == taken.ball_id and (taken.ball_id is not None or (n, of.words) == (at, taken.words))
            )  # fmt: skip
            found = next(same, taken)
            balls.append(replace(taken, photo_ids=found.photo_ids))
        self.draft = replace(self.draft, balls=tuple(balls))

    def _drop_gone(self, shop: Shop) -> None:
        """Balls and a customer that were removed meanwhile stay as words."""
        from arsenal.trade.ball import Ball  # noqa: PLC0415 - beside the acts
        from arsenal.trade.person import Person  # noqa: PLC0415 - beside the acts

        draft = self.draft
        assert draft is not None  # noqa: S101 - asked for just before
        there = shop.by_id(Ball)
        balls = tuple(
            taken if taken.ball_id is None or taken.ball_id in there
            else replace(taken, ball_id=None, words=taken.words or taken.serial or "a ball")
            for taken in draft.balls
        )  # fmt: skip
        person = draft.person_id if draft.person_id in shop.by_id(Person) else None
        self.draft = replace(draft, balls=balls, person_id=person)
