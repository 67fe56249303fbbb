"""Recipes: kept with undo, done with one action, printed, carried from file to file; jumps beside full sequences."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from made_shop import TODAY, Clock, opened

from arsenal import printed_pads
from arsenal.acts import files, logging, recipe_book, undo
from arsenal.acts.settings import Settings
from arsenal.acts.shop import Shop
from arsenal.ledger import NO_BACKUPS
from arsenal.order.sequence import full_sequence
from arsenal.trade.ball import Cover
from arsenal.trade.entries import Abrasive, Kind, Step, SurfaceWork, Tool
from arsenal.trade.errors import KnownError, NotFound
from arsenal.trade.pads import OPENERS, Recipe

SPUN = Step(tool=Tool.SPINNER, wet=True)
EARLY = Recipe("early Monday", (replace(SPUN, number=500.0), replace(SPUN, number=1000.0)))


def added(shop: Shop, recipe: Recipe = EARLY) -> int:
    return recipe_book.add_recipe(shop, recipe).changed[0].id


def test_a_recipe_is_kept_changed_removed_and_each_of_it_taken_back(shop: Shop) -> None:
    number = added(shop)
    assert shop.recipe(number) == replace(EARLY, id=number)
    recipe_book.edit_recipe(shop, replace(EARLY, id=number, name="late Monday"))
    assert shop.recipe(number).name == "late Monday"
    recipe_book.remove_recipe(shop, number)
    with pytest.raises(NotFound):
        shop.recipe(number)
    undo.undo(shop)
    undo.undo(shop)
    assert shop.recipe(number).name == "early Monday"
    undo.undo(shop)
    assert shop.recipes() == ()
    assert shop.ledger.verify().problems == ()


def test_the_same_again_is_no_act(shop: Shop) -> None:
    number, revision = added(shop), shop.revision
    assert recipe_book.edit_recipe(shop, replace(EARLY, id=number)).act_id is None
    assert shop.revision == revision + 0


def test_pads_are_left_out_of_a_kept_recipe_and_chosen_when_it_is_done(shop: Shop) -> None:
    number = added(shop, replace(EARLY, steps=tuple(replace(s, pad_id=1, uses_before=3.0) for s in EARLY.steps)))
    assert {step.pad_id for step in shop.recipe(number).steps} == {None}
    changes = recipe_book.apply_recipe(shop, 1, number)
    entry = shop.entries(1)[-1]
    assert isinstance(entry.payload, SurfaceWork)
    assert [step.pad_id for step in entry.payload.steps] == [1, 4]
    assert (shop.pad(1).uses_spinner, shop.pad(4).uses_spinner) == (1.0, 1.0)
    assert changes.sentence == "Sanded Rook Hollow, 500/1000 s (early Monday)"
    undo.undo(shop)
    assert (shop.pad(1).uses_spinner, shop.pad(4).uses_spinner) == (0.0, 0.0)


def test_doing_a_recipe_leaves_the_finish_that_was_told_before(shop: Shop) -> None:
    number = added(shop)
    told = recipe_book.leaves(shop, 1, shop.recipe(number))
    recipe_book.apply_recipe(shop, 1, number)
    kept = shop.state(1)
    assert kept.grit == pytest.approx(told.grit)
    assert kept.ln_ra_m.sd == pytest.approx(told.ln_ra_m.sd)
    assert told.grit_low < told.grit < told.grit_high


def test_a_recipe_may_be_done_on_a_past_day_but_not_before_the_ball_came(shop: Shop) -> None:
    number = added(shop)
    recipe_book.apply_recipe(shop, 1, number, date(2026, 11, 20))
    assert shop.entries(1)[-1].on == date(2026, 11, 20)
    for day in (date(2026, 1, 1), date(2026, 12, 1)):
        with pytest.raises(KnownError):
            recipe_book.apply_recipe(shop, 1, number, day)


def test_polish_alone_is_logged_as_polished(shop: Shop) -> None:
    recipe_book.apply_recipe(shop, 1, added(shop, Recipe("shine", (Step(Abrasive.POLISH, tool=Tool.SPINNER),))))
    assert shop.entries(1)[-1].kind == Kind.POLISHED


@pytest.mark.parametrize(
    "bad",
    [
        replace(EARLY, name=" "), replace(EARLY, steps=()), replace(EARLY, owner_id=77),
        replace(EARLY, steps=(replace(SPUN, number=500.0, sides=500),)),
        replace(EARLY, steps=(replace(SPUN, number=500.0, sides=1, seconds=0.0),)),
        replace(EARLY, steps=(Step(),)), replace(EARLY, steps=EARLY.steps * 20), replace(EARLY, note="n" * 5000),
    ],
)  # fmt: skip
def test_what_no_recipe_can_be_is_refused_and_nothing_is_kept(shop: Shop, bad: Recipe) -> None:
    revision = shop.revision
    with pytest.raises(KnownError):
        recipe_book.add_recipe(shop, bad)
    assert shop.revision == revision


def test_a_name_is_taken_once_a_book(shop: Shop) -> None:
    added(shop)
    with pytest.raises(KnownError, match="already"):
        added(shop, replace(EARLY, name="Early monday"))
    added(shop, replace(EARLY, owner_id=1))  # her own book
    assert len(shop.recipes(1)) == 2
    assert len(shop.recipes(2)) == 1


def test_recipes_go_with_the_tables_and_with_the_lines(shop: Shop, tmp_path: Path) -> None:
    added(shop)
    added(shop, Recipe("hers", (Step(number=3000.0), Step(Abrasive.POLISH, tool=Tool.SPINNER, wet=True)), 0, 1, "dry"))
    files.dump(shop, tmp_path / "out")
    with opened(tmp_path / "twin.padbook", Clock()) as twin:
        report = files.load(twin, [tmp_path / "out"])
        assert (report.kept, report.recipes) == (True, 2)
        assert twin.recipes() == shop.recipes()
        assert not files.load(twin, [tmp_path / "out"]).kept  # known already
    files.rebuild(tmp_path / "out" / files.LINES, tmp_path / "again.padbook", clock=Clock())
    with Shop.open(tmp_path / "again.padbook", settings=Settings(), backups=NO_BACKUPS) as again:
        assert again.recipes() == shop.recipes()


@pytest.mark.parametrize("steps", ["500/", "rook", "500/1000 track only", "", "9999999 h", "500 s 2 kg"])
def test_a_row_whose_steps_cannot_be_read_is_a_bad_row(shop: Shop, tmp_path: Path, steps: str) -> None:
    (tmp_path / "r.csv").write_text(f"recipe,steps\nodd,{steps}\n")
    report = files.load(shop, [tmp_path / "r.csv"])
    assert not report.kept
    assert [bad.field for bad in report.bad_rows] == ["steps"]


@pytest.mark.common_practice
def test_the_full_sequence_puts_in_every_common_grit_that_was_jumped() -> None:
    """Step by step, one common grit at a time (common practice, no source)."""

    def grits(numbers: tuple[float, ...], now: float) -> list[float | None] | None:
        full = full_sequence([replace(SPUN, number=n) for n in numbers], now)
        return [step.number for step in full] if full else None

    assert grits((500.0,), 4000.0) == [3000.0, 2000.0, 1000.0, 500.0]
    assert grits((500.0, 4000.0), 520.0) == [500.0, 1000.0, 2000.0, 3000.0, 4000.0]
    assert grits((2000.0,), 3000.0) is None
    assert grits((500.0, 1000.0), 550.0) is None


def test_a_jump_stands_beside_the_full_sequence(shop: Shop) -> None:
    """500 → 4000 is not 500 → 1000 → 2000 → 4000; the full sequence takes more cover, more minutes and ends finer."""
    logging.keep(shop, logging.read_line(shop, "rook 500 m").drafts)
    both = recipe_book.side_by_side(shop, 1, Recipe("4000 m", (Step(number=4000.0, tool=Tool.MACHINE, wet=True),)))
    assert both.full is not None
    assert both.full_leaves is not None
    assert both.full_minutes is not None
    assert both.full_cover_off_m is not None
    assert both.full.steps[-1] == both.jump.steps[-1]
    assert both.full_leaves.grit > both.jump_leaves.grit
    assert both.full_minutes > both.jump_minutes
    assert both.full_cover_off_m.mean > both.jump_cover_off_m.mean
    alone = recipe_book.side_by_side(shop, 1, Recipe("500 m", (Step(number=500.0, tool=Tool.MACHINE, wet=True),)))
    assert alone.full is None


@pytest.mark.common_practice
def test_every_cover_has_its_usual_opener_marked_as_common_practice(shop: Shop) -> None:
    """A solid is opened with a dull finish, a pearl and plastic end shiny (common practice, no source)."""
    assert set(OPENERS) == set(Cover)
    assert all("common practice" in recipe.note for recipe in OPENERS.values())
    shiny = {cover for cover, recipe in OPENERS.items() if recipe.steps[-1].abrasive is Abrasive.POLISH}
    assert shiny == {Cover.PEARL, Cover.POLYESTER}
    for cover, recipe in OPENERS.items():
        numbers = [step.number for step in recipe.steps if step.number is not None]
        assert numbers == sorted(numbers), cover
        assert recipe_book.opener(cover) is recipe
        shop.recipe(added(shop, recipe))  # an opener can be kept and then changed


def test_a_printed_recipe_has_a_box_for_each_step_its_pads_and_what_it_leaves(shop: Shop) -> None:
    number = added(shop)
    plain = printed_pads.recipe_text(recipe_book.sheet(shop, shop.recipe(number)))
    assert plain.splitlines()[0] == "early Monday (the shop’s)"
    assert "[ ] 1. 500, on the spinner, wet" in plain
    told = printed_pads.recipe_text(recipe_book.sheet(shop, shop.recipe(number), 1))
    assert "for Rook Hollow" in told
    assert "pad #4" in told
    assert "would play about" in told
    assert "by the model; a reading afterwards teaches better" in told.replace("\n  ", " ")
    assert "Spinner: hair, sleeves" in told
    assert max(map(len, told.splitlines())) <= 100
    logging.keep(shop, logging.read_line(shop, "rook r 2400").drafts)
    assert "the readings of this ball" in recipe_book.sheet(shop, shop.recipe(number), 1).learned


def test_what_a_recipe_would_log_is_told_in_words_first(shop: Shop) -> None:
    number = added(shop)
    said = recipe_book.meaning_of_recipe(shop, 1, shop.recipe(number))
    assert "sanded" in "".join(text for text, _ in said.parts)
    assert said.after.startswith("Would play about")
    assert said.drafts[0].on == TODAY


def test_a_line_names_a_kept_recipe(shop: Shop) -> None:
    added(shop)
    for line in ("rook recipe early monday", "rook recipe early", "Rook Hollow recipe Early Monday yesterday"):
        said = logging.read_line(shop, line)
        assert not said.problem, said.problem
        (draft,) = said.drafts
        assert isinstance(draft.payload, SurfaceWork)
        assert [(step.number, step.pad_id) for step in draft.payload.steps] == [(500.0, 1), (1000.0, 4)]
        assert "500" in "".join(text for text, _ in said.parts)


def test_a_bowlers_own_recipe_comes_before_the_shops_of_the_same_name(shop: Shop) -> None:
    added(shop)
    added(shop, replace(EARLY, owner_id=1, steps=(replace(SPUN, number=2000.0),)))
    numbers = {}
    for name in ("rook", "lantern"):
        (draft,) = logging.read_line(shop, f"{name} recipe early monday").drafts
        assert isinstance(draft.payload, SurfaceWork)
        numbers[name] = [step.number for step in draft.payload.steps]
    assert numbers == {"rook": [2000.0], "lantern": [500.0, 1000.0]}


@pytest.mark.parametrize("line", ["rook recipe", "rook recipe late", "lantern recipe hers", "rook recipe \x00"])
def test_a_recipe_nobody_has_is_told_with_the_choices(shop: Shop, line: str) -> None:
    added(shop)
    added(shop, replace(EARLY, name="hers", owner_id=1))
    said = logging.read_line(shop, line)
    assert said.drafts == ()
    assert "recipe" in said.problem.casefold()
