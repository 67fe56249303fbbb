"""What the command line and a printer are given of pads and recipes, in the trade's units."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from arsenal.acts import words
from arsenal.acts.pads import Stocked
from arsenal.acts.recipe_book import RecipeSheet
from arsenal.acts.whatif import WhatIf
from arsenal.order import words as say
from arsenal.order.asked import Answer
from arsenal.order.records import PadResult
from arsenal.printed import feet, number, table, wrapped
from arsenal.surface import minutes
from arsenal.surface.state import Estimate
from arsenal.trade.pads import Recipe, label
from arsenal.trade.units import FOOT_M, INCH_M

Row = dict[str, Any]


def pad_row(result: PadResult, sheet: WhatIf | None = None) -> Row:
    """What one recipe would do, for JSON."""
    names = {r.ball.id: r.ball.name for r in sheet.side.order.rows} if sheet else {}
    pads = [step.pad_id for step in result.recipe.steps if step.pad_id is not None]
    return {
        "recipe": result.recipe.name,
        "kept": result.recipe.id > 0,
        "pads": pads,
        "boards_change": number(result.boards_change.mean), "boards_change_sd": number(result.boards_change.sd),
        "first_read_change_ft": feet(result.first_read_change_m.mean),
        "first_read_change_sd_ft": feet(result.first_read_change_m.sd),
        "rolls_change_ft": feet(result.rolls_change_m.mean), "rolls_change_sd_ft": feet(result.rolls_change_m.sd),
        "rolls_ft": feet(result.trace.rolls_m), "rolls_sd_ft": feet(result.rolls_sd_m),
        "shape": result.shape_word or None,
        "shape_change_ft": feet(result.shape_change_m.mean), "shape_change_sd_ft": feet(result.shape_change_m.sd),
        "place": result.place or None, "place_before": result.place_before or None,
        "place_low": result.place_low or None, "place_high": result.place_high or None,
        "room": number(result.room), "room_sd": number(result.room_sd), "room_before": number(result.room_before),
        "room_in_boards": number(result.room_in_boards), "room_out_boards": number(result.room_out_boards),
        "rolls_out": result.rolls_out, "rolls_out_share": number(result.rolls_out_share),
        "finish_grit": number(result.state.grit, 1), "finish_grit_low": number(result.state.grit_low, 1),
        "finish_grit_high": number(result.state.grit_high, 1),
        "minutes": number(result.minutes),
        "pad_uses": number(result.pad_uses), "cuts": number(result.cuts), **_left(result.uses_left),
        "reversible": result.reversible, "cover_off_in": number(result.cover_off_m.mean / INCH_M, 7),
        "way_back": result.way_back,
        "try_first": result.gentler.name if result.gentler else None,
        "unsure": list(result.unsure),
        "overlaps_with": [names[i] for i in result.overlaps_with if i in names],
        "sentence": result.sentence,
        "warnings": list(result.warnings),
    }  # fmt: skip


def _left(left: Estimate | None) -> Row:
    return {"uses_left": number(left.mean, 1) if left else None, "uses_left_sd": number(left.sd, 1) if left else None}


def whatif_text(sheet: WhatIf) -> str:
    """Every pad and recipe as a table, with what to mind under it."""
    state = next(r.state for r in (*sheet.side.order.rows, *sheet.side.order.spares) if r.ball.id == sheet.ball.id)
    head = (
        f"What one pad or recipe would do to {sheet.ball.name}, which plays about {words.grit_words(state)} now, on "
        f"{sheet.side.lane.name}. Rule: {sheet.rule.sentence}."
    )
    if not sheet.results:
        return "\n".join([*wrapped(head), "", "There is no pad in stock and no recipe yet."])
    heads = ("Recipe", "Pad", "Boards", "First read", "Rolls", "Place", "Room", "Min", "Left", "")
    rows: list[tuple[str, ...]] = [heads, *(_cells(result) for result in sheet.results)]
    lines = [*wrapped(head), "", *table(rows, right=(2, 3, 4, 5, 6, 7, 8))]
    if any(r.unsure for r in sheet.results):
        lines += ["", "? the doubt is as large as the change"]
    for warning in dict.fromkeys(w for r in sheet.results for w in r.warnings):
        whom = [r.recipe.name for r in sheet.results if warning in r.warnings]
        lines += ["", *wrapped(f"{', '.join(dict.fromkeys(whom))}: {warning}")]
    return "\n".join(lines)


def _cells(result: PadResult) -> tuple[str, ...]:
    boards, read = result.boards_change, result.first_read_change_m
    read_ft = Estimate(read.mean / FOOT_M, read.sd / FOOT_M)
    rolls = "" if result.trace.rolls_m is None else f"{say.feet(result.trace.rolls_m)} ± {_doubt_ft(result.rolls_sd_m)}"
    room = "no line" if result.room is None else f"{100 * result.room:.0f} %"
    left = "" if result.uses_left is None else f"{result.uses_left.mean:.0f} ± {result.uses_left.sd:.0f}"
    span = f" ({result.place_low}–{result.place_high})" if result.place_low != result.place_high else ""
    flag = "rolls out" if result.rolls_out else "no longer cuts" if result.pad_done else ""
    place = f"{result.place}{span}" if result.place else ""
    boards_words = _change(boards, unsure="boards" in result.unsure)
    read_words = _change(read_ft, unsure="first read" in result.unsure)
    took = f"{max(result.minutes, 1.0):.0f}"
    return (result.recipe.name, _pads(result), boards_words, read_words, rolls, place, room, took, left, flag)


def _pads(result: PadResult) -> str:
    if result.recipe.id:
        return "recipe"
    ids = [step.pad_id for step in result.recipe.steps if step.pad_id is not None]
    return ", ".join(f"#{i}" for i in ids) if ids else ""


def _doubt_ft(sd_m: float) -> str:
    return say.doubt(sd_m / FOOT_M) if math.isfinite(sd_m) else "?"


def _change(by: Estimate, *, unsure: bool) -> str:
    return f"{say.signed(by.mean, by.sd)} ± {say.doubt(by.sd)}{'?' if unsure else ''}"


def stock_row(stocked: Stocked, owners: Mapping[int, str]) -> Row:
    """A pad in stock for JSON; the number is what a line names it by."""
    pad = stocked.pad
    return {
        "name": stocked.words, "pad": pad.id, "owner": owners.get(pad.owner_id) if pad.owner_id else None,
        "bought": pad.bought_on.isoformat() if pad.bought_on else None,
        "uses_hand": number(pad.uses_hand), "uses_spinner": number(pad.uses_spinner), "cuts": number(stocked.cuts, 2),
        "left_hand": number(stocked.left_hand.mean, 1), "left_spinner": number(stocked.left_spinner.mean, 1),
        "used_up": stocked.done,
    }  # fmt: skip


def recipe_row(recipe: Recipe, owners: Mapping[int, str]) -> Row:
    """A kept recipe for JSON."""
    owner = owners.get(recipe.owner_id) if recipe.owner_id else None
    return {
        "name": recipe.name, "steps": label(recipe.steps), "owner": owner, "minutes": number(minutes(recipe.steps)),
        "note": recipe.note,
    }  # fmt: skip


def answer_row(found: Answer) -> Row:
    """What was asked, for JSON."""
    return {
        "sentence": found.sentence,
        "does": pad_row(found.does) if found.does else None,
        "nearest": pad_row(found.nearest) if found.nearest else None,
        "others": [pad_row(other) for other in found.others],
        "tried": found.tried,
    }


def answer_text(found: Answer) -> str:
    """What was asked, in words."""
    chosen = found.does or found.nearest
    lines = wrapped(found.sentence)
    if chosen:
        lines += ["", *wrapped(chosen.sentence), *wrapped(chosen.way_back)]
        lines += [line for warning in chosen.warnings for line in wrapped(f"Mind: {warning}")]
    if found.others:
        lines += [
            "",
            *wrapped(
                f"Others that do it, less gentle: {'; '.join(dict.fromkeys(o.recipe.name for o in found.others))}."
            ),
        ]
    return "\n".join(lines)


def recipe_text(sheet: RecipeSheet) -> str:
    """A recipe as it is printed: title, steps to tick off, minutes, what it leaves, cautions."""
    title = f"{sheet.title} ({sheet.whose})" + (f", for {sheet.ball}" if sheet.ball else "")
    lines = [title, "", *(f"[ ] {step}" for step in sheet.steps), "", f"About {max(sheet.minutes, 1.0):.0f} min."]
    if sheet.leaves:
        lines += wrapped(f"Afterwards it {sheet.leaves}, {sheet.learned}.")
    if sheet.note:
        lines += wrapped(sheet.note)
    return "\n".join([*lines, "", *(line for caution in sheet.cautions for line in wrapped(caution))])


__all__ = ["answer_row", "answer_text", "pad_row", "recipe_text", "whatif_text"]
