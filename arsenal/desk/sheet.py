"""The short style sheet: what the palette alone cannot say. Swapped together with the palette."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from arsenal.desk.theme import Look


def style_sheet(now: Look) -> str:
    """About ten rules, written for the present colours and text size."""
    t, px = now.tokens, now.px
    return f"""
QToolTip {{ background: {t.sheet}; color: {t.ink}; border: 1px solid {t.edge}; padding: {px(4)}px {px(8)}px; }}
QMenu {{ background: {t.sheet}; border: 1px solid {t.edge}; padding: {px(4)}px 0; }}
QMenu::item {{ padding: {px(6)}px {px(20)}px {px(6)}px {px(16)}px; color: {t.ink}; }}
QMenu::item:selected {{ background: {t.sel}; border-left: 4px solid {t.hand}; }}
QMenu::item:disabled {{ color: {t.ink3}; }}
QMenu::separator {{ height: 1px; background: {t.rule}; margin: {px(4)}px 0; }}
QLineEdit, QPlainTextEdit, QDateTimeEdit {{ background: {t.sheet}; border: 1px solid {t.edge}; border-radius: 4px;
  padding: 0 {px(8)}px; selection-background-color: {t.hand}; selection-color: {t.on_hand}; }}
QLineEdit:focus, QPlainTextEdit:focus, QDateTimeEdit:focus {{ border: 2px solid {t.hand}; padding: 0 {px(8) - 1}px; }}
QScrollArea, RowsView, EventTable {{ border: none; background: transparent; }}
QSplitter::handle {{ background: {t.rule}; }}
QScrollBar:vertical {{ width: 12px; background: transparent; }}
QScrollBar:horizontal {{ height: 12px; background: transparent; }}
QScrollBar::handle {{ background: {t.edge}; border: 3px solid {t.sheet}; min-height: 32px; min-width: 32px; }}
QScrollBar::add-line, QScrollBar::sub-line {{ width: 0; height: 0; }}
"""
