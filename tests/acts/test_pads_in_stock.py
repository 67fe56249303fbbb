"""Pads as stock: uses counted and given back, entered on the spot, warned of before they are chosen, what to buy."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from made_shop import TODAY, Clock

from arsenal.acts import logging, pads, undo
from arsenal.acts.shop import Shop
from arsenal.surface import after_work
from arsenal.trade.entries import Abrasive, Scale, Step, SurfaceWork, Tool
from arsenal.trade.errors import KnownError
from arsenal.trade.pads import Pad, grain_words


def keep(shop: Shop, line: str) -> None:
    said = logging.read_line(shop, line)
    assert not said.problem, said.problem
    logging.keep(shop, said.drafts)


def uses(shop: Shop, pad_id: int) -> tuple[float, float]:
    pad = shop.pad(pad_id)
    return pad.uses_hand, pad.uses_spinner


def test_a_sanding_counts_the_use_of_each_of_its_pads_by_what_drove_it(shop: Shop) -> None:
    keep(shop, "rook 1000 h")
    keep(shop, "rook 500/2000 m")
    assert uses(shop, 4) == (1.0, 0.0)  # her own 1000 before the shop's
    assert uses(shop, 1) == uses(shop, 3) == (0.0, 1.0)
    assert uses(shop, 2) == (0.0, 0.0)


def test_a_use_is_given_back_with_the_act_and_with_the_entry_alone_and_comes_again(shop: Shop) -> None:
    keep(shop, "rook 1000 h")
    undo.undo(shop)
    assert uses(shop, 4) == (0.0, 0.0)
    undo.redo(shop)
    assert uses(shop, 4) == (1.0, 0.0)
    seq = max(e.seq for e in shop.entries(1) if isinstance(e.payload, SurfaceWork))
    undo.undo_entry(shop, seq)
    assert uses(shop, 4) == (0.0, 0.0)
    undo.undo(shop)
    assert uses(shop, 4) == (1.0, 0.0)


def test_a_pad_nobody_entered_can_be_put_into_stock_as_it_is_used(shop: Shop) -> None:
    before = len(shop.pads())
    said = logging.read_line(shop, "rook p800 h new pad")
    assert "a new pad goes into stock" in "".join(text for text, _ in said.parts)
    logging.keep(shop, said.drafts)
    new = shop.pads()[-1]
    assert len(shop.pads()) == before + 1
    assert (new.number, new.scale, new.owner_id, new.bought_on) == (800.0, Scale.P, 1, TODAY)
    assert uses(shop, new.id) == (1.0, 0.0)
    assert shop.entries(1)[-1].payload.steps[0].pad_id == new.id  # type: ignore[union-attr]
    undo.undo(shop)
    assert len(shop.pads()) == before


def test_one_new_pad_serves_both_balls_of_a_line(shop: Shop) -> None:
    before = len(shop.pads())
    keep(shop, "rook, jay 800 h new pad")
    assert len(shop.pads()) == before + 1
    assert uses(shop, shop.pads()[-1].id) == (2.0, 0.0)


def test_a_grain_nobody_has_is_kept_without_a_pad_and_says_how_to_enter_one(shop: Shop) -> None:
    said = logging.read_line(shop, "rook 800 h")
    assert any(c.startswith("No 800 pad in stock") for c in said.cautions)
    logging.keep(shop, said.drafts)
    assert shop.entries(1)[-1].payload.steps[0].pad_id is None  # type: ignore[union-attr]


def test_where_nobody_keeps_a_stock_nobody_is_told_of_missing_pads(empty: Shop, shop: Shop) -> None:
    for pad in shop.pads():
        pads.mark_used_up(shop, pad.id)
    assert not any("in stock" in c for c in logging.read_line(shop, "rook 800 h").cautions)


@pytest.mark.common_practice
def test_a_pad_that_no_longer_cuts_says_so_before_it_is_used(shop: Shop) -> None:
    """A pad does 8 to 15 balls by hand, 20 to 30 on a spinner (common practice, no source)."""
    for hand, spinner, warned in ((8.0, 0.0, False), (15.0, 0.0, True), (0.0, 20.0, False), (0.0, 30.0, True)):
        pads.edit_pad(shop, Pad(4, 1000, owner_id=1, uses_hand=hand, uses_spinner=spinner))
        cautions = logging.read_line(shop, "rook 1000 h").cautions
        assert any("hardly cuts any more" in c for c in cautions) is warned, (hand, spinner)


def test_pads_are_numbered_on_any_scale_and_a_grain_needs_its_number(shop: Shop) -> None:
    for pad in (
        Pad(0, 16.0, Scale.MICRON), Pad(0, 1000.0, Scale.JIS), Pad(0, 3000.0, Scale.P), Pad(0, 600.0, Scale.CAMI),
        Pad(0, None, abrasive=Abrasive.NONWOVEN, kind="sheet"),
    ):  # fmt: skip
        assert shop.pad(pads.add_pad(shop, pad).changed[0].id).number == pad.number
    keep(shop, "rook 16um s")
    assert [grain_words(p) for p in shop.pads()[-5:]] == ["16 µm", "JIS 1000", "P3000", "CAMI 600", "non-woven"]
    for bad in (Pad(0, None), Pad(0, 0.0), Pad(0, float("nan")), Pad(0, 5000.0, Scale.MICRON), Pad(0, 20.0)):
        with pytest.raises(KnownError):
            pads.add_pad(shop, bad)


def test_a_pad_bought_after_today_is_refused(shop: Shop, clock: Clock) -> None:
    pads.add_pad(shop, Pad(0, 800.0, bought_on=clock.at.date()))
    with pytest.raises(KnownError, match="bought"):
        pads.add_pad(shop, Pad(0, 800.0, bought_on=date(2027, 1, 1)))


def test_the_stock_is_listed_roughest_first_whatever_the_scale_with_what_is_left(shop: Shop) -> None:
    for pad in (Pad(0, 12.6, Scale.MICRON), Pad(0, None, abrasive=Abrasive.POLISH), Pad(0, 360.0, used_up=True)):
        pads.add_pad(shop, pad)
    keep(shop, "rook 1000 h")
    found = pads.stock(shop, 1)
    assert [s.words for s in found] == ["360 foam", "500 foam", "1000 foam", "1000 foam", "12.6 µm foam", "2000 foam",
                                        "polish"]  # fmt: skip
    assert [s.done for s in found] == [True, False, False, False, False, False, False]
    assert found[0].left_hand.mean == 0.0
    assert found[2].cuts < found[3].cuts == 1.0
    assert found[2].left_hand.mean == pytest.approx(found[3].left_hand.mean - 1.0)
    assert found[3].left_spinner.mean > found[3].left_hand.mean


@pytest.mark.common_practice
def test_a_long_jump_is_told_before_it_is_kept_and_old_work_is_not_nagged_about(shop: Shop) -> None:
    """3000, then 2000, then 1000: a jump from 4000 to 500 risks over-surfacing (common practice, no source)."""
    assert any("try 3000 first" in c for c in logging.read_line(shop, "moth 500 s").cautions)
    assert not any("long jump" in c for c in logging.read_line(shop, "moth 3000 s").cautions)
    assert not any("long jump" in c for c in logging.read_line(shop, "moth 500/1000/2000/4000 s").cautions)
    assert not any("long jump" in c for c in logging.read_line(shop, "moth 500 s 12 nov").cautions)


def test_a_pad_sold_by_a_number_alone_leaves_more_doubt_than_one_on_the_p_scale(shop: Shop) -> None:
    spun = Step(number=1000.0, tool=Tool.SPINNER, wet=True)
    plain, on_p = (
        after_work(shop.ball(1), shop.state(1), (replace(spun, scale=scale),), shop.priors)
        for scale in (Scale.PLAIN, Scale.P)
    )
    assert plain.grit == pytest.approx(on_p.grit)
    assert plain.ln_ra_m.sd > on_p.ln_ra_m.sd
