"""Which cheap reading would narrow the most, held to what the same reading narrows once it is logged."""

from __future__ import annotations

import math

import pytest
from surface_log import PRIORS, ball, hand, log, machine, new, played, sanded, scanner, used

from arsenal.surface import Estimate, SurfaceState, fold
from arsenal.surface.state import Worth
from arsenal.surface.worth import readings_worth
from arsenal.trade.ball import Cover
from arsenal.trade.entries import Kind, Quantity, Reading
from arsenal.trade.units import GRAM_KG


def worth(*told: tuple, cover: Cover = Cover.SOLID) -> dict[str, Worth]:
    found = readings_worth(ball(cover), fold(ball(cover), log(*told), PRIORS), PRIORS)
    assert [w.fall for w in found] == sorted((w.fall for w in found), reverse=True)
    return {w.when if w.what == "roughness" else "weigh": w for w in found}


def weigh(grams: float) -> tuple[Kind, Reading]:
    return Kind.READING, Reading(Quantity.MASS, grams * GRAM_KG, "scale")


def test_a_ball_nobody_has_read_is_best_read_now() -> None:
    found = worth(used())
    assert next(iter(found)) == "now"
    assert found["now"].sentence.startswith("Read Rook now: what it plays would be known to ±")
    assert 0.3 < found["now"].fall < 1.0


def test_a_rough_ball_just_read_is_best_read_after_some_games_or_about_its_next_sanding() -> None:
    found = worth(new(machine(500)), scanner(520), cover=Cover.URETHANE)
    assert "now" not in found
    assert found["after the next two games"].sentence.startswith("Read Rook after the next two games: ")


def test_what_is_promised_of_a_reading_is_what_it_brings() -> None:
    told = [new(machine(1000)), played(4)]
    state = fold(ball(), log(*told), PRIORS)
    promised = worth(*told)["now"]
    assert promised.grit_sd == pytest.approx(state.grit * state.ln_ra_m.sd / 0.75)
    read = fold(ball(), log(*told, scanner(round(state.grit))), PRIORS)
    assert promised.grit_sd_read == pytest.approx(read.grit * read.ln_ra_m.sd / 0.75, rel=0.01)


def test_what_is_promised_of_reading_about_a_sanding_is_what_it_brings() -> None:
    told = [new(machine(1000)), sanded(hand(1000)), scanner(1500), played(2)]
    promised = worth(*told)["before and after the next sanding"]
    more = [*told, played(6)]
    first = scanner(fold(ball(), log(*more), PRIORS).grit)
    second = fold(ball(), log(*more, first, sanded(hand(1000))), PRIORS).grit
    both = fold(ball(), log(*more, first, sanded(hand(1000)), scanner(second)), PRIORS)
    assert promised.grit_sd_read == pytest.approx(both.grit * both.ln_ra_m.sd / 0.75, rel=0.1)


def test_a_ball_read_by_six_scanners_is_not_worth_a_seventh() -> None:
    told = [new(machine(1000)), played(4), *[scanner(1800, by=f"scanner {n}") for n in range(6)]]
    assert "now" not in worth(*told)


def test_a_first_weighing_tells_nothing_and_a_second_is_told_with_its_figure() -> None:
    base = [new(machine(1000)), weigh(6793), played(30)]
    read = [scanner(4000, by=f"scanner {n}") for n in range(8)]
    assert "weigh" not in worth(new(machine(1000)), played(30), *read)
    state = fold(ball(), log(*base, *read), PRIORS)
    found = worth(*base, *read)["weigh"]
    weighed = fold(ball(), log(*base, *read, weigh(6793 + state.oil_kg.mean / GRAM_KG)), PRIORS)
    assert found.grit_sd == pytest.approx(state.oil_kg.sd / GRAM_KG)
    assert found.grit_sd_read == pytest.approx(weighed.oil_kg.sd / GRAM_KG, rel=0.01)
    assert "instead of ±" in found.sentence


def test_a_state_nobody_kept_the_memory_of_can_be_asked_too() -> None:
    bare = SurfaceState(1, Cover.SOLID, None, Estimate(math.log(0.4e-6), 0.3), 2000, 1500, 2600, 4500, (), None, 2000)
    assert readings_worth(ball(), bare, PRIORS)[0].when == "now"
