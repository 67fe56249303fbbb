"""Prep sheet, registration sheet and stage cards of an event as pages to see, print or keep."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QWidget

from arsenal.desk import print_card, print_page
from arsenal.desk.dialogs.paper import Page, Paper, PaperDialog, Preview, open_paper
from arsenal.desk.event import print_sheets, print_stages, rows
from arsenal.desk.rooms import Shared
from arsenal.trade.errors import KnownError

if TYPE_CHECKING:
    from arsenal.acts.event_views import EventPlan, StageCard

__all__ = ["Page", "Paper", "PaperDialog", "Preview", "open_cards", "open_sheets", "sheets", "stage_cards"]


def sheets(plan: EventPlan) -> Paper:
    """Prep sheet and registration sheet."""
    told = ". ".join(rows.spoken_prep(row) for row in rows.prep_rows(plan.prep))
    balls = ". ".join(
        ", ".join(
            part for part in (r.name, r.serial, r.weight, r.cover, r.hardness, r.hardness_when, r.missing) if part
        )
        for r in plan.registration.rows
    )
    pages = tuple(
        Page(which, f"{which} of {plan.title}: {words}", partial(_draw_sheet, plan, which))
        for which, words in ((print_sheets.PREP, told), (print_sheets.REGISTRATION, balls))
    )
    size = print_page.sheet_size().name()
    return Paper(
        f"Sheets of {plan.title}", f"the sheets of {plan.title}", f"event-{plan.event.first_on:%Y-%m-%d}.pdf",
        f"{size}, black only, one page each.", print_page.sheet_layout(), pages,
        lambda path: print_sheets.write_pdf(path, plan),
    )  # fmt: skip


def _draw_sheet(plan: EventPlan, which: str, painter: QPainter, per_mm: float) -> None:
    print_sheets.draw(painter, plan, which, per_mm)


def stage_cards(plan: EventPlan) -> Paper:
    """A card for each stage."""
    pages = tuple(_card_page(plan, card) for card in plan.cards)
    return Paper(
        f"Bag cards of {plan.title}", f"the bag cards of {plan.title}", f"cards-{plan.event.first_on:%Y-%m-%d}.pdf",
        "85 × 120 mm, black only; print at 100 % and cut along the dots. One page a stage.", print_card.layout(), pages,
        lambda path: print_stages.write_pdf(path, plan, plan.cards),
    )  # fmt: skip


def _card_page(plan: EventPlan, card: StageCard) -> Page:
    told = "; ".join(f"{r.name}, {r.finish}, {r.words}" + (f", line {r.line}" if r.line else "") for r in card.rows)
    spoken = f"Bag card of {card.title}: {told}. {card.then}".strip()
    return Page(card.title, spoken, lambda painter, per: print_stages.draw(painter, plan, card, per, outline=True))


def open_sheets(shared: Shared, parent: QWidget, plan: EventPlan) -> PaperDialog:
    """Prep sheet and registration sheet."""
    return open_paper(shared, parent, sheets(plan))


def open_cards(shared: Shared, parent: QWidget, plan: EventPlan) -> PaperDialog | None:
    """A card for each stage; says so where there is none."""
    paper = stage_cards(plan)
    if not paper.pages:
        shared.trouble(KnownError("There is no stage to print a card for.", next_step="See what the plan asks for."))
        return None
    return open_paper(shared, parent, paper)
