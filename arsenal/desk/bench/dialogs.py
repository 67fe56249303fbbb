"""The dialogs the Bench opens, each loaded when it is first wanted."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QWidget

from arsenal.desk.rooms import Shared
from arsenal.trade.pads import Recipe

if TYPE_CHECKING:
    from arsenal.acts.views import Changes
    from arsenal.trade.ball import Ball
    from arsenal.trade.pads import Pad
    from arsenal.trade.person import Person

# ruff: noqa: PLC0415 - loaded when first wanted


def something_else(shared: Shared, parent: QWidget, ball_id: int) -> None:
    """Every kind of entry."""
    from arsenal.desk.bench.something_else import open_something_else

    open_something_else(shared, parent, ball_id)


def history(shared: Shared, parent: QWidget, ball_id: int) -> None:
    """Every entry of the ball."""
    from arsenal.desk.bench.history import open_history

    open_history(shared, parent, ball_id)


def known(shared: Shared, parent: QWidget, ball_id: int) -> None:
    """All that is known of the ball."""
    from arsenal.desk.bench.known import open_known

    open_known(shared, parent, ball_id)


def ball(
    shared: Shared, parent: QWidget, owner_id: int, old: Ball | None = None,
    done: Callable[[Changes], None] | None = None,
) -> None:  # fmt: skip
    """A new ball, or what an old one is."""
    from arsenal.desk.dialogs.ball import open_ball

    open_ball(shared, parent, owner_id, old, done)


def trial(shared: Shared, parent: QWidget, bowler_id: int) -> None:
    """A ball not owned yet, in the order."""
    from arsenal.desk.bench.trial import open_trial

    open_trial(shared, parent, bowler_id)


def pad(shared: Shared, parent: QWidget, owner_id: int, old: Pad | None = None) -> None:
    """A new pad, or what an old one is."""
    from arsenal.desk.dialogs.pad import open_pad

    open_pad(shared, parent, owner_id, old)


def recipe(shared: Shared, parent: QWidget, owner_id: int, ball_id: int, old: Recipe | None = None) -> None:
    """A new recipe, or what an old one is."""
    from arsenal.desk.dialogs.recipe import open_recipe

    open_recipe(shared, parent, owner_id, ball_id, old)


def paper(shared: Shared, parent: QWidget, ball_id: int, chosen: Recipe) -> None:
    """A recipe as it is printed."""
    from arsenal.desk.bench.paper import open_paper

    open_paper(shared, parent, ball_id, chosen)


def in_full(
    shared: Shared, parent: QWidget, ball_id: int, chosen: Recipe, take: Callable[[Recipe], None]
) -> None:  # fmt: skip
    """What a pad or recipe would do, beside the full sequence; `take` gets the one that is taken."""
    from arsenal.desk.bench.in_full import open_in_full

    open_in_full(shared, parent, ball_id, chosen, take)


def fits(shared: Shared, parent: QWidget, ball_id: int) -> None:
    """Drillings of the ball, fit sheets of its owner."""
    from arsenal.desk.dialogs.fit_list import open_fits

    open_fits(shared, parent, ball_id=ball_id)


def hand_over(shared: Shared, parent: QWidget, ball_id: int) -> None:
    """Lend, take back or sell the ball."""
    from arsenal.desk.dialogs.hand_over import open_hand_over

    open_hand_over(shared, parent, ball_id)


def print_history(shared: Shared, parent: QWidget, ball_id: int) -> None:
    """The ball's history as it is printed."""
    from arsenal.desk.print_history import open_history_print

    open_history_print(shared, parent, ball_id)


def owner(shared: Shared, parent: QWidget, person: Person) -> None:
    """Who owns it: name, throw, how to reach them."""
    from arsenal.desk.dialogs.bowler import open_bowler

    open_bowler(shared, parent, person)


def records(shared: Shared, parent: QWidget, person: Person) -> None:
    """Everything the file holds of a person."""
    from arsenal.desk.dialogs.records import open_records

    open_records(shared, parent, person.id)
