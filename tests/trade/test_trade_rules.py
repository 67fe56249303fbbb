"""The rule rows at their edges: dates, weights, who they speak to, and what memory may not do.

Dates and limits: USBC equipment manual and playing rules as the rows' own `source` says; each is checked on the day
before and the day of its change.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from arsenal.trade.ball import Ball, Cover
from arsenal.trade.findings import Weight
from arsenal.trade.rule_check import BallFacts, facts_of, findings
from arsenal.trade.rules import Means, Rule, Stage, Verified, allowed_now, in_force, read_rules, rule, shipped_rules
from arsenal.trade.units import INCH_M, MICROINCH_M, OUNCE_KG, POUND_KG

TODAY = date(2026, 11, 25)
days = st.dates(date(1990, 1, 1), date(2060, 12, 31))

EDGES = [
    ("cleaner-in-competition", date(2019, 8, 1), None),
    ("cleaner-in-competition-earlier", None, date(2019, 7, 31)),
    ("static-no-balance-hole", date(2018, 8, 1), date(2020, 7, 31)),
    ("static", date(2020, 8, 1), None),
    ("balance-hole", date(2020, 8, 1), None),
    ("balance-hole-earlier", None, date(2020, 7, 31)),
    ("gripping-holes", date(2020, 8, 1), None),
    ("holes-used", date(2020, 8, 1), None),
    ("palm-mark", date(2020, 8, 1), None),
    ("ball-rg", date(2010, 7, 1), None),
    ("ball-rg-earlier", None, date(2010, 6, 30)),
    ("ball-differential", date(2005, 2, 1), None),
    ("ball-differential-earlier", None, date(2005, 1, 31)),
    ("ball-hardness-72", None, date(2020, 12, 31)),
    ("ball-hardness-73", date(2021, 1, 1), None),
    ("ball-hardness-made", date(2022, 8, 1), None),
    ("ball-hardness-slow", date(2025, 12, 31), None),
    ("event-hardness-slow", date(2026, 1, 1), None),
    ("tour-hardness-urethane", date(2024, 1, 6), None),
    ("ball-ra-average", date(2009, 4, 1), None),
    ("ball-absorption", date(2020, 8, 1), None),
]
DAY = timedelta(days=1)


@pytest.mark.parametrize(("rule_id", "first", "last"), EDGES)
def test_a_row_is_in_force_from_its_first_day_through_its_last(
    rule_id: str, first: date | None, last: date | None
) -> None:
    row = rule(rule_id)
    if first:
        assert (row.in_force(first - DAY), row.in_force(first)) == (False, True)
    else:
        assert row.in_force(date(1990, 1, 1))
    if last:
        assert (row.in_force(last), row.in_force(last + DAY)) == (True, False)
    else:
        assert row.in_force(date(2060, 1, 1))


def test_every_dated_row_is_among_the_edges() -> None:
    dated = {r.id for r in shipped_rules() if r.effective_from or r.effective_to}
    assert dated - {i for i, _, _ in EDGES} == {
        "static-light", "ball-ra-single", "ball-ra-retest", "tour-hardness-urethane-made",
    }  # fmt: skip


def test_no_two_rows_have_one_name_and_each_states_its_source() -> None:
    assert len({r.id for r in shipped_rules()}) == len(shipped_rules())
    for row in shipped_rules():
        assert row.text.endswith(".")
        assert row.source
        assert row.applies_to
        assert set(row.applies_to) <= {"maker", "bowler", "shop", "event"}
        assert row.low is None or row.high is None or row.low <= row.high
        assert not row.extra, row.extra


# ---- altering the surface -------------------------------------------------------------------------------------------

SURFACE = [
    (Stage.BEFORE, date(2026, 3, 1), True, True, True),
    (Stage.DURING, date(2019, 7, 31), False, True, True),
    (Stage.DURING, date(2019, 8, 1), False, False, True),
    (Stage.DURING, date(2026, 3, 1), False, False, True),
    (Stage.BETWEEN, date(2026, 3, 1), False, False, True),
    (Stage.BETWEEN, date(2019, 7, 31), False, True, True),
    (Stage.AFTER, date(2026, 3, 1), True, True, True),
    (Stage.AFTER, date(2019, 7, 31), True, True, True),
]


@pytest.mark.parametrize(("stage", "on", "abrasive", "cleaner", "towel"), SURFACE)
def test_what_may_touch_the_surface(stage: Stage, on: date, abrasive: bool, cleaner: bool, towel: bool) -> None:
    now = allowed_now(stage, on)
    assert (now.abrasive, now.cleaner, now.towel) == (abrasive, cleaner, towel)
    assert now.pads_allowed is abrasive
    assert now.sentence.endswith(".")
    assert "tournament director" in now.hover


def test_between_rounds_pads_are_allowed_where_the_event_says_so() -> None:
    now = allowed_now(Stage.BETWEEN, TODAY, between_allowed=True)
    assert (now.abrasive, now.cleaner, now.towel) == (True, True, True)
    assert now.sentence == "Between rounds: this event allows pads."
    assert [r.id for r in now.rules] == ["surface-between"]


def test_the_event_allowing_work_between_rounds_changes_nothing_during_them() -> None:
    assert not allowed_now(Stage.DURING, TODAY, between_allowed=True).abrasive


@given(on=days)
def test_a_dry_towel_is_always_allowed_and_pads_never_during_competition(on: date) -> None:
    for stage in Stage:
        assert allowed_now(stage, on).towel
    assert not allowed_now(Stage.DURING, on).abrasive
    assert allowed_now(Stage.BEFORE, on).abrasive


def test_the_sentence_names_the_row_and_its_date_on_hover() -> None:
    now = allowed_now(Stage.DURING, TODAY)
    assert now.sentence == "Competition has started: no pads. A dry towel only."
    assert "since 1 August 2019" in now.hover
    assert {"surface-in-competition", "cleaner-in-competition"} <= {r.id for r in now.rules}


def test_a_row_from_memory_forbids_nothing() -> None:
    before = rule("surface-before")
    recalled = replace(before, id="x", verified=Verified.MEMORY, allowed=False, means=(Means.ABRASIVE,))
    assert allowed_now(Stage.BEFORE, TODAY, rules=[before, recalled]).abrasive
    assert allowed_now(Stage.BEFORE, TODAY, rules=[recalled]).abrasive


def test_without_any_row_competition_is_still_no_time_for_pads() -> None:
    assert not allowed_now(Stage.DURING, TODAY, rules=[]).abrasive
    assert allowed_now(Stage.AFTER, TODAY, rules=[]).abrasive


# ---- a ball ---------------------------------------------------------------------------------------------------------


def flagged(facts: BallFacts, on: date = TODAY, **how: object) -> dict[str | None, Weight]:
    return {f.rule_id: f.weight for f in findings(facts, on, **how)}  # type: ignore[arg-type]


def ball(**known: object) -> BallFacts:
    return replace(BallFacts(mass_kg=15.0 * POUND_KG), **known)  # type: ignore[arg-type]


def test_a_balance_hole_is_legal_on_31_july_2020_and_not_the_day_after() -> None:
    assert flagged(ball(balance_holes=1), date(2020, 7, 31)) == {}
    assert flagged(ball(balance_holes=1), date(2020, 8, 1)) == {"balance-hole": Weight.BAD}
    assert flagged(ball(balance_holes=0), date(2020, 8, 1)) == {}


@pytest.mark.parametrize(
    ("pounds", "ounces", "broken"),
    [
        (15.0, 3.0, {}), (15.0, 3.01, {"static": Weight.BAD}), (10.01, 3.01, {"static": Weight.BAD}),
        (10.00, 3.01, {"static-light": Weight.NOTE}), (10.00, 0.75, {}), (10.00, 0.76, {"static-light": Weight.NOTE}),
        (10.01, 0.76, {}), (8.0, 1.0, {"static-light": Weight.NOTE}),
    ],
)  # fmt: skip
def test_ten_pounds_exactly_is_not_over_ten_pounds(
    pounds: float, ounces: float, broken: dict[str | None, Weight]
) -> None:
    """The 3 oz limit is for balls over 10 lb; at 10.00 lb and under a figure from memory only advises."""
    facts = BallFacts(mass_kg=pounds * POUND_KG, static_kg=ounces * OUNCE_KG, balance_holes=0)
    assert flagged(facts) == broken


def test_ten_pounds_weighed_in_grams_is_ten_pounds() -> None:
    """1 lb = 453.59237 g exactly (international pound, 1959)."""
    for mass_kg in (4535.9237 * 1e-3, 4.5359237, 160.0 * OUNCE_KG):
        assert not rule("static").covers(mass_kg)
        assert rule("static-light").covers(mass_kg)
    assert rule("static").covers(4.536)


def test_another_federation_sets_the_boundary_at_eight_pounds() -> None:
    facts = BallFacts(mass_kg=9.0 * POUND_KG, static_kg=3.5 * OUNCE_KG)
    assert "static-other-federation" not in flagged(facts)
    assert flagged(facts, adopted=["another federation"])["static-other-federation"] is Weight.BAD
    eight = replace(facts, mass_kg=8.0 * POUND_KG)
    assert "static-other-federation" not in flagged(eight, adopted=["another federation"])


def test_from_2018_to_2020_the_static_limit_is_for_balls_without_a_balance_hole() -> None:
    heavy = ball(static_kg=4.0 * OUNCE_KG)
    assert flagged(replace(heavy, balance_holes=0), date(2018, 7, 31)) == {}
    assert flagged(replace(heavy, balance_holes=0), date(2018, 8, 1)) == {"static-no-balance-hole": Weight.BAD}
    assert flagged(replace(heavy, balance_holes=1), date(2020, 7, 31)) == {}
    assert flagged(heavy, date(2019, 1, 1)) == {}  # nobody said whether it has one
    assert flagged(heavy, date(2020, 8, 1)) == {"static": Weight.BAD}


def test_a_bowlers_sanding_is_never_flagged_by_the_makers_limit_of_roughness() -> None:
    """Ra 50 μin binds makers at approval; a ball freshly sanded at a coarse grit reads more and breaks nothing."""
    for row_id in ("ball-ra-average", "ball-ra-single", "ball-ra-retest", "ball-friction", "ball-absorption"):
        assert not rule(row_id).may_flag
        assert rule(row_id).for_makers
    assert rule("ball-ra-average").high == 50.0
    assert rule("ball-ra-average").high * MICROINCH_M == pytest.approx(1.27e-6)


@given(
    on=days,
    facts=st.builds(
        BallFacts,
        mass_kg=st.none() | st.floats(2.0, 9.0),
        radius_m=st.none() | st.floats(0.09, 0.12),
        rg_m=st.none() | st.floats(0.05, 0.08),
        differential_m=st.none() | st.floats(0.0, 0.003),
        holes=st.none() | st.integers(0, 7),
        holes_used=st.none() | st.integers(0, 7),
        static_kg=st.none() | st.floats(0.0, 0.3),
        hardness_d=st.none() | st.floats(60.0, 90.0),
        serial=st.none() | st.sampled_from(["", "7KD1"]),
    ),
)
def test_nothing_speaks_against_a_bowler_from_memory_or_for_makers(on: date, facts: BallFacts) -> None:
    for finding in findings(facts, on, adopted=["event", "national events", "professional tour", "sport"]):
        row = rule(finding.rule_id or "")
        assert not row.for_makers
        if row.verified is Verified.MEMORY:
            assert finding.weight is Weight.NOTE
        assert "check yours" in finding.sentence


def test_nothing_known_of_a_ball_breaks_nothing() -> None:
    assert findings(BallFacts(), TODAY) == ()


@pytest.mark.parametrize(
    ("facts", "broken"),
    [
        (ball(mass_kg=16.0 * POUND_KG), {}),
        (ball(mass_kg=16.01 * POUND_KG), {"ball-weight"}),
        (ball(radius_m=8.5 / 2 * INCH_M), {}),
        (ball(radius_m=8.595 / 2 * INCH_M), {}),
        (ball(radius_m=8.4995 / 2 * INCH_M), {"ball-diameter"}),
        (ball(radius_m=8.5955 / 2 * INCH_M), {"ball-diameter"}),
        (ball(mass_kg=12.9 * POUND_KG, radius_m=8.4 / 2 * INCH_M), set()),
        (ball(mass_kg=13.0 * POUND_KG, radius_m=8.4 / 2 * INCH_M), {"ball-diameter"}),
        (ball(rg_m=2.46 * INCH_M), {}),
        (ball(rg_m=2.8 * INCH_M), {}),
        (ball(rg_m=2.81 * INCH_M), {"ball-rg"}),
        (ball(differential_m=0.06 * INCH_M), {}),
        (ball(differential_m=0.081 * INCH_M), {"ball-differential"}),
        (ball(holes=5, holes_used=5), {}),
        (ball(holes=6, holes_used=6), {"gripping-holes"}),
        (ball(holes=3, holes_used=2), {"holes-used"}),
        (ball(thumb_used=False, palm_mark=False), {"palm-mark"}),
        (ball(thumb_used=False, palm_mark=True), {}),
        (ball(serial=""), {"serial-number"}),
    ],
)
def test_each_limit_holds_at_its_edge_and_breaks_beyond(facts: BallFacts, broken: set[str]) -> None:
    assert set(flagged(facts)) == set(broken)


def test_a_circumference_follows_from_the_diameter() -> None:
    """26.704 to 27.002 in around is 8.500 to 8.595 in across (USBC states both)."""
    row = rule("ball-diameter")
    assert row.low is not None
    assert row.high is not None
    assert row.low * 3.14159265358979 == pytest.approx(26.704, abs=5e-4)
    assert row.high * 3.14159265358979 == pytest.approx(27.002, abs=5e-4)


def test_an_earlier_approval_stands() -> None:
    low = ball(rg_m=2.44 * INCH_M)
    assert flagged(replace(low, approved_on=date(2010, 6, 30))) == {}
    assert flagged(replace(low, approved_on=date(2010, 7, 1))) == {"ball-rg": Weight.BAD}
    assert flagged(low) == {"ball-rg": Weight.NOTE}  # nobody knows when it was approved
    wide = ball(differential_m=0.07 * INCH_M)
    assert flagged(replace(wide, approved_on=date(2005, 1, 31))) == {}
    assert flagged(replace(wide, approved_on=date(2005, 2, 1))) == {"ball-differential": Weight.BAD}


def test_a_house_ball_may_have_a_hole_nobody_uses() -> None:
    house = ball(cover=Cover.POLYESTER, differential_m=0.02 * INCH_M, fitted=False, holes=3, holes_used=2)
    assert flagged(house) == {}
    assert flagged(replace(house, fitted=True)) == {"holes-used": Weight.BAD}
    assert flagged(replace(house, differential_m=0.025 * INCH_M)) == {"holes-used": Weight.BAD}


def test_hardness_classes_bind_only_where_adopted() -> None:
    slow = ball(cover=Cover.URETHANE, hardness_d=77.0, slow_absorbing=True)
    assert flagged(slow) == {}
    assert flagged(slow, date(2025, 12, 31), adopted=["national events"]) == {}
    assert flagged(slow, date(2026, 1, 1), adopted=["national events"]) == {"event-hardness-slow": Weight.BAD}
    soft = ball(cover=Cover.URETHANE, hardness_d=72.9)
    assert flagged(soft, adopted=["professional tour"]) == {"tour-hardness-urethane": Weight.BAD}
    assert flagged(soft, date(2024, 1, 5), adopted=["professional tour"]) == {}
    assert flagged(replace(soft, cover=Cover.SOLID), adopted=["professional tour"]) == {}


def test_a_model_year_may_be_barred_by_the_beginning_of_its_serial() -> None:
    text = """[[rule]]
id = "barred-year"
body = "event"
what = "serial"
serial_prefix = "7K"
applies_to = ["event"]
source = "an invented row"
verified = "read"
effective_from = 2025-01-01
text = "Balls whose serial begins with 7K are barred."
"""
    rows = read_rules(text)
    assert flagged(ball(serial="7kd-14.5"), rules=rows) == {"barred-year": Weight.BAD}
    assert flagged(ball(serial="17K"), rules=rows) == {}
    assert flagged(ball(serial="7K"), date(2024, 12, 31), rules=rows) == {}


def test_a_record_with_taken_values_says_nothing_of_them() -> None:
    made_up = Ball(1, "Umber Kestrel", "rook", 1, Cover.SOLID, rg_m=2.9 * INCH_M, spec_known=False)
    assert findings(facts_of(made_up), TODAY) == ()
    assert flagged(facts_of(replace(made_up, spec_known=True))) == {"ball-rg": Weight.BAD}


def test_rows_are_chosen_by_subject_weight_and_what_was_adopted() -> None:
    assert [r.id for r in in_force(TODAY, what="static weight", mass_kg=10.0 * POUND_KG)] == ["static-light"]
    assert [r.id for r in in_force(TODAY, what="static weight", mass_kg=15.0 * POUND_KG)] == ["static"]
    assert not in_force(TODAY, what="balls allowed")
    assert [r.high for r in in_force(TODAY, what="balls allowed", adopted=["event"])] == [6.0]


def test_rows_that_contradict_the_form_are_refused() -> None:
    good = '[[rule]]\nid = "a"\nbody = "b"\nwhat = "c"\napplies_to = ["event"]\nsource = "d"\n'
    good += 'verified = "read"\ntext = "e."\n'
    assert read_rules(good)[0] == Rule("a", "b", "c", ("event",), "d", Verified.READ, "e.")
    with pytest.raises(ValueError, match="two rules"):
        read_rules(good + good)
    with pytest.raises(ValueError, match="heard"):
        read_rules(good.replace('"read"', '"heard"'))
    with pytest.raises(KeyError):
        rule("no such row")


def test_dates_are_spoken_alike_in_every_locale() -> None:
    assert rule("static-no-balance-hole").dated == "since 1 August 2018 until 31 July 2020"
    assert rule("surface-whole").dated == ""
