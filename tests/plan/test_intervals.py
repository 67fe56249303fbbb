"""The table of upkeep intervals as the trade gives it (common practice, no source), read, changed and refused."""

from __future__ import annotations

import pytest

from arsenal.plan import DEFAULT_INTERVALS, Interval, intervals_of
from arsenal.plan.intervals import DEFAULT_ROWS, FinishClass
from arsenal.trade import Cover, NotUnderstood

SOLID, HYBRID, PEARL, URETHANE, POLYESTER = Cover
COARSE, MIDDLE, FINE = FinishClass


@pytest.mark.common_practice
@pytest.mark.parametrize(
    ("cover", "coarse", "middle", "fine"),
    [
        (SOLID, (3, 6), (6, 10), (10, 20)),
        (HYBRID, (4, 6), (8, 12), (12, 20)),
        (PEARL, (6, 6), (10, 12), (15, 30)),
        (URETHANE, (3, 3), (6, 6), None),
        (POLYESTER, None, None, (60, 60)),
    ],
)
def test_refresh_row_of_each_cover(
    cover: Cover, coarse: tuple[int, int] | None, middle: tuple[int, int] | None, fine: tuple[int, int] | None
) -> None:
    row = DEFAULT_INTERVALS.by_cover[cover].refresh
    for column, expected in ((COARSE, coarse), (MIDDLE, middle), (FINE, fine)):
        found = row[column]
        assert (None if found is None else (found.first, found.due)) == expected


@pytest.mark.common_practice
@pytest.mark.parametrize(
    ("cover", "games", "doubt"),
    [(SOLID, 60, 15), (HYBRID, 65, 15), (PEARL, 70, 15), (URETHANE, 50, 20), (POLYESTER, 200, 0)],
)
def test_resurface_row_of_each_cover(cover: Cover, games: float, doubt: float) -> None:
    found = DEFAULT_INTERVALS.by_cover[cover].resurface
    assert found is not None
    assert (found.due, found.doubt) == (games, doubt)
    assert DEFAULT_INTERVALS.by_cover[cover].resurface_by_date == (cover is not POLYESTER)


@pytest.mark.common_practice
@pytest.mark.parametrize(("cover", "games", "doubt"), [(SOLID, 75, 25), (HYBRID, 85, 25), (PEARL, 95, 25)])
def test_deep_oil_row_of_the_reactive_covers(cover: Cover, games: float, doubt: float) -> None:
    found = DEFAULT_INTERVALS.by_cover[cover].deep_oil
    assert found is not None
    assert (found.due, found.doubt) == (games, doubt)
    assert DEFAULT_INTERVALS.by_cover[cover].check is None


@pytest.mark.common_practice
def test_urethane_is_only_checked_at_two_hundred_games_and_polyester_never_sees_heat() -> None:
    urethane, polyester = (DEFAULT_INTERVALS.by_cover[c] for c in (URETHANE, POLYESTER))
    assert urethane.deep_oil is None
    assert urethane.check is not None
    assert urethane.check.due == 200
    assert polyester.deep_oil is None
    assert polyester.check is None


@pytest.mark.common_practice
def test_wipe_every_shot_and_clean_every_session_but_for_the_spare_ball() -> None:
    for cover in (SOLID, HYBRID, PEARL, URETHANE):
        row = DEFAULT_INTERVALS.by_cover[cover]
        assert (row.wipe, row.clean) == ("shot", "session")
    row = DEFAULT_INTERVALS.by_cover[POLYESTER]
    assert (row.wipe, row.clean) == ("when oily", "monthly")


def test_resurface_and_deep_oil_lie_within_what_coaching_pages_publish() -> None:
    """Published statements: 50 to 80 games for resurfacing, 50 to 120 for deep oil (several coaching pages)."""
    for cover in (SOLID, HYBRID, PEARL, URETHANE):
        row = DEFAULT_INTERVALS.by_cover[cover]
        assert row.resurface is not None
        assert 50 <= row.resurface.due <= 80
        assert row.deep_oil is None or 50 <= row.deep_oil.due <= 120


@pytest.mark.parametrize(
    ("text", "first", "due", "doubt"),
    [
        ("3–6", 3, 6, 1.5),
        ("3-6", 3, 6, 1.5),
        ("60 ± 15", 45, 60, 15),
        ("6", 6, 6, 0),
        ("60+", 60, 60, 0),
        (" 8–12 ", 8, 12, 2),
    ],
)
def test_an_interval_reads_as_people_write_it(text: str, first: float, due: float, doubt: float) -> None:
    found = Interval.of(text)
    assert (found.first, found.due, found.doubt) == (first, due, doubt)
    assert Interval.of(found.said) == found


@pytest.mark.parametrize("text", ["", "often", "0", "6–3", "15 ± 20", "-4", "3–", "6 weeks", "nan"])
def test_an_interval_that_says_nothing_is_refused_with_what_would_do(text: str) -> None:
    with pytest.raises(NotUnderstood, match="An interval is written"):
        Interval.of(text)


def test_a_changed_row_changes_one_cover_and_leaves_the_rest() -> None:
    mine = intervals_of({"solid": ("shot", "session", "2–4", "6–10", "10–20", "50 ± 10", "75 ± 25")})
    assert mine.by_cover[SOLID].refresh[COARSE] == Interval.of("2–4")
    assert mine.by_cover[PEARL] == DEFAULT_INTERVALS.by_cover[PEARL]


@pytest.mark.parametrize(
    "rows",
    [
        {"leather": DEFAULT_ROWS["solid"]},
        {"solid": ("shot", "session")},
        {"solid": ("never", "session", "3–6", "6–10", "10–20", "60 ± 15", "75 ± 25")},
        {"solid": ("shot", "yearly", "3–6", "6–10", "10–20", "60 ± 15", "75 ± 25")},
        {"solid": ("shot", "session", "soon", "6–10", "10–20", "60 ± 15", "75 ± 25")},
    ],
)
def test_a_row_that_cannot_be_read_is_refused(rows: dict[str, tuple[str, ...]]) -> None:
    with pytest.raises(NotUnderstood):
        intervals_of(rows)


def test_nothing_is_well_past_inside_its_own_doubt() -> None:
    for text in ("3–6", "60 ± 15", "75 ± 25", "50 ± 20", "6"):
        found = Interval.of(text)
        assert found.over_share * found.due >= found.due + found.doubt
        assert found.over_share >= 1.5
