"""Values nobody can mean, and values in another unit: named before any number is computed."""

import math
from dataclasses import replace

import numpy as np
import pytest
from usual import PRIORS, grip_of

from arsenal.motion import Body, Grip, Release, batch, bed, beds, grid, roll, steps
from arsenal.trade.errors import KnownError, OutOfRange
from arsenal.trade.lane import FilmGrid, FilmSummary, Lane, UnknownHouse
from arsenal.trade.units import FOOT_M

BODY = Body(radius_m=0.1091, mass_kg=6.8, rg_m=0.0635)
DRY = steps([(0.0, 0.2)])
LANE = bed(Lane(1, "dry", FilmSummary(40.0 * FOOT_M, 0.0, 1.0)), True, PRIORS)


def gripping(mu: float) -> Grip:
    """The same friction everywhere: no film on the lane, none on the ball."""
    one = np.ones(1)
    return Grip(mu * one, mu * one, 5e-7 * one, one, 0.0 * one, 0.0 * one, one)


BAD = (math.nan, math.inf, -math.inf)


@pytest.mark.parametrize("bad", BAD)
@pytest.mark.parametrize(
    "field", ["speed_mps", "rev_rate_radps", "axis_rotation_rad", "axis_tilt_rad", "launch_rad", "lateral_m"]
)
def test_a_release_that_is_not_a_number_is_refused(field: str, bad: float) -> None:
    usual = {"speed_mps": 8.0, "rev_rate_radps": 40.0, "axis_rotation_rad": 0.8}
    with pytest.raises(OutOfRange):
        roll(BODY, Release(**(usual | {field: bad})), DRY)


@pytest.mark.parametrize("bad", [*BAD, 0.0, -1.0])
@pytest.mark.parametrize("field", ["radius_m", "mass_kg", "rg_m"])
def test_a_body_that_cannot_be_is_refused(field: str, bad: float) -> None:
    usual = {"radius_m": 0.1091, "mass_kg": 6.8, "rg_m": 0.0635}
    with pytest.raises(OutOfRange):
        roll(Body(**(usual | {field: bad})), Release(8.0, 40.0, 0.8), DRY)


def test_an_rg_over_the_radius_names_both() -> None:
    with pytest.raises(OutOfRange, match=r"RG is 0\.12 m; it must be smaller than the ball's radius, 0\.1091 m"):
        roll(Body(0.1091, 6.8, 0.12), Release(8.0, 40.0, 0.8), DRY)


ANOTHER_UNIT = [  # field, value, what it likely is
    ("speed_mps", 17.9, "mph"),
    ("speed_mps", 28.8, "mph"),
    ("rev_rate_radps", 416.0, "rpm"),
    ("rev_rate_radps", 275.0, "rpm"),
    ("axis_rotation_rad", 45.0, "degrees"),
    ("axis_tilt_rad", 15.0, "degrees"),
    ("launch_rad", -1.8, "degrees"),
    ("lateral_m", 12.0, "boards"),
    ("radius_m", 4.29, "inches"),
    ("radius_m", 0.2159, "diameter"),
    ("radius_m", 10.8, "inches"),
    ("mass_kg", 15.0, "pounds"),
    ("rg_m", 2.5, "inches"),
    ("differential_m", 0.048, "inches"),
    ("intermediate_m", 0.015, "inches"),
    ("pin_to_axis_m", 4.5, "inches"),
]
GOOD_RELEASE = {"speed_mps": 8.0, "rev_rate_radps": 40.0, "axis_rotation_rad": 0.8, "lateral_m": 0.4}
GOOD_BODY = {"radius_m": 0.1091, "mass_kg": 6.8, "rg_m": 0.0635}


@pytest.mark.parametrize(("field", "value", "likely"), ANOTHER_UNIT)
def test_another_unit_is_named_before_anything_is_computed(
    field: str, value: float, likely: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("arsenal.motion.rolling.slip_of", lambda *_: pytest.fail("computed before it was checked"))
    release = Release(**(GOOD_RELEASE | ({field: value} if field in Release.__slots__ else {})))
    body = Body(**(GOOD_BODY | ({field: value} if field in Body.__slots__ else {})))
    with pytest.raises(OutOfRange, match=likely) as named:
        roll(body, release, DRY)
    assert f"{value:g}".replace("-", "−") in named.value.sentence


@pytest.mark.parametrize(
    ("field", "value", "likely"),
    [row for row in ANOTHER_UNIT if row[0] in Release.__slots__ or row[0] in ("radius_m", "rg_m")],
)
def test_another_unit_among_many_paths_is_named(field: str, value: float, likely: str) -> None:
    release = Release(**(GOOD_RELEASE | ({field: value} if field in Release.__slots__ else {})))
    body = Body(**(GOOD_BODY | ({field: value} if field in Body.__slots__ else {})))
    with pytest.raises(OutOfRange, match=likely):
        batch(LANE, [BODY, body], [Release(**GOOD_RELEASE), release], gripping(0.2))


@pytest.mark.parametrize("bad", BAD)
@pytest.mark.parametrize("field", [*Release.__slots__, "radius_m", "rg_m"])
def test_what_is_no_number_among_many_paths_is_refused(field: str, bad: float) -> None:
    release = Release(**(GOOD_RELEASE | ({field: bad} if field in Release.__slots__ else {})))
    body = Body(**(GOOD_BODY | ({field: bad} if field in Body.__slots__ else {})))
    with pytest.raises(OutOfRange, match="finite"):
        batch(LANE, [BODY, body], [Release(**GOOD_RELEASE), release], gripping(0.2))


@pytest.mark.parametrize(
    ("field", "bad", "match"),
    [
        ("mu_dry", math.nan, "finite"), ("mu_dry", -0.1, "friction"), ("mu_dry", 20.0, "percent"),
        ("mu_oil", math.inf, "finite"), ("mu_oil", -0.01, "friction"), ("sigma_m", 0.0, "roughness"),
        ("sigma_m", 0.6, "μm"), ("film_scale", -1.0, "film factor"), ("film_on_ball_m", 0.2, "oil units"),
        ("pick_up", math.nan, "finite"), ("pick_up_revs", -1.0, "turns"),
    ],
)  # fmt: skip
def test_a_grip_that_cannot_be_is_named(field: str, bad: float, match: str) -> None:
    grip = replace(gripping(0.2), **{field: np.array([bad])})
    with pytest.raises(OutOfRange, match=match):
        batch(LANE, BODY, Release(**GOOD_RELEASE), grip)


GOOD_FILM = {"length_m": 12.5, "volume_m3": 25e-6, "ratio": 8.0}


@pytest.mark.parametrize(
    ("field", "bad", "match"),
    [
        *((field, bad, "must be") for field in GOOD_FILM for bad in (*BAD, -1.0)),
        ("length_m", 41.0, "feet"), ("volume_m3", 25.0, "mL"), ("ratio", 0.125, "oil ratio"),
        ("ratio_left", math.nan, "oil ratio"),
    ],
)  # fmt: skip
def test_a_film_that_cannot_be_is_named(field: str, bad: float, match: str) -> None:
    film = FilmSummary(**(GOOD_FILM | {field: bad}))
    with pytest.raises(OutOfRange, match=match):
        bed(Lane(1, "bad", film), True, PRIORS)


@pytest.mark.parametrize(
    ("field", "bad"),
    [("length_high_m", 44.0), ("volume_high_m3", 30.0), ("volume_low_m3", math.nan), ("ratio_low", 13.0),
     ("ratio_high", math.inf), ("lane_boards_sd", math.nan), ("lane_boards_sd", -1.0)],
)  # fmt: skip
def test_an_unknown_house_that_cannot_be_is_named(field: str, bad: float) -> None:
    lane = Lane(1, "bad", UnknownHouse(**{field: bad}))
    with pytest.raises(OutOfRange):
        bed(lane, True, PRIORS)
    with pytest.raises(OutOfRange):
        beds(lane, True, PRIORS, rng=np.random.default_rng(1), n=3)


def measured(x: list[float], boards: list[float], height: float = 4e-6) -> Lane:
    """A measured film that is dry in its last row."""
    rows = tuple(tuple(height if i + 1 < len(x) else 0.0 for _ in boards) for i in range(len(x)))
    return Lane(1, "measured", FilmGrid(tuple(x), tuple(boards), rows))


@pytest.mark.parametrize(
    ("lane", "match"),
    [
        (measured([0.0, 20.0, 41.0], [1.0, 39.0]), "feet"),
        (measured([0.0, 6.0, 12.5], [0.01, 1.04]), "metres"),
        (measured([0.0, 6.0, 12.5], [1.0, 39.0], 22.0), "oil units"),
        (measured([0.0, 6.0, 12.5], [1.0, 39.0], math.nan), "not a number"),
        (measured([0.0, 6.0, 12.5], [1.0, 39.0], -1e-6), "0 or more"),
        (measured([0.0, math.inf, 12.5], [1.0, 39.0]), "not a number"),
        (measured([0.0], [1.0, 39.0]), "at least two"),
        (measured([0.0, 6.0], [20.0]), "at least two"),
    ],
    ids=["feet", "metres for boards", "oil units", "no number", "less than none", "infinite", "one row", "one column"],
)
def test_a_measured_film_that_cannot_be_is_named(lane: Lane, match: str) -> None:
    with pytest.raises(OutOfRange, match=match):
        bed(lane, True, PRIORS)


def test_a_measured_film_that_stops_short_goes_on_by_its_edge_and_says_so() -> None:
    x, boards = (0.0, 6.0, 12.0), (1.0, 39.0)
    short = FilmGrid(x, boards, ((4e-6, 4e-6), (3e-6, 3e-6), (2e-6, 2e-6)))
    whole = FilmGrid((*x, 18.288), boards, (*short.height_m, (2e-6, 2e-6)))
    lanes = [bed(Lane(1, "measured", film), True, PRIORS) for film in (short, whole)]
    assert [[f.code for f in lane.findings] for lane in lanes] == [["film.distance"], []]
    ends = [batch(lane, BODY, Release(**GOOD_RELEASE), grip_of()).landing_m[0] for lane in lanes]
    assert ends[0] == pytest.approx(ends[1], abs=1e-9)


@pytest.mark.parametrize(
    ("speed", "revs", "mass", "code"),
    [(14.0, 40.0, 6.8, "speed.unit"), (8.0, 150.0, 6.8, "revs.unit"), (8.0, 40.0, 9.0, "mass.unit")],
)
def test_a_number_that_may_be_another_unit_is_a_finding(speed: float, revs: float, mass: float, code: str) -> None:
    # a slow bowler's mph and rpm and a light ball's pounds lie among what a textbook may ask in SI
    path = roll(Body(0.1091, mass, 0.0635), Release(speed, revs, 0.3, lateral_m=0.4), DRY)
    assert [f.code for f in path.findings] == [code]


@pytest.mark.parametrize(
    ("speed", "revs", "rotation"), [(2.0, 10.0, 0.2), (5.4, 16.0, 0.7), (8.32, 45.7, 0.79), (8.9, 61.0, 1.05)]
)
def test_what_people_bowl_passes_without_a_word(speed: float, revs: float, rotation: float) -> None:
    # a child off a ramp, a junior, a tour player, a strong two-handed release (common practice, no source)
    for mass in (2.73, 7.25):
        path = roll(Body(0.1085, mass, 0.0635), Release(speed, revs, rotation, 0.2, -0.03, 0.4), DRY)
        assert path.findings == ()


@pytest.mark.parametrize("oil_ends", [32.0, 41.0, 52.0])
def test_a_map_in_feet_is_named(oil_ends: float) -> None:
    release = Release(**GOOD_RELEASE)
    with pytest.raises(OutOfRange, match="feet"):
        roll(BODY, release, steps([(0.0, 0.04), (oil_ends, 0.2)]))
    feet = np.arange(0.0, 61.0)
    values = np.repeat(np.where(feet < oil_ends, 0.04, 0.2)[:, None], 2, axis=1)
    with pytest.raises(OutOfRange, match="feet"):
        roll(BODY, release, grid(values, feet, [0.0, 1.054]))


def test_a_map_in_boards_is_named() -> None:
    boards = np.arange(1.0, 40.0)
    values = np.tile(np.where(abs(boards - 20.0) < 12.0, 0.04, 0.2), (2, 1))
    with pytest.raises(OutOfRange, match="boards"):
        roll(BODY, Release(**GOOD_RELEASE), grid(values, [0.0, 18.3], boards))


def test_a_map_with_more_nodes_than_lane_is_no_other_unit() -> None:
    flat = grid(np.full((2, 2), 0.1), [0.0, 100.0], [-10.0, 10.0])
    longer = steps([(0.0, 0.04), (12.0, 0.2), (25.0, 0.1)])
    assert roll(BODY, Release(**GOOD_RELEASE), flat).findings == ()
    assert roll(BODY, Release(**GOOD_RELEASE), longer, length_m=3.0).findings == ()
    assert roll(BODY, Release(**GOOD_RELEASE), steps([(0.0, 0.04), (50.0, 0.2)]), length_m=60.0).reaches_pins


def test_a_map_that_may_be_in_feet_is_a_finding() -> None:
    values = np.where(np.arange(61.0) < 28.0, 0.04, 0.2)[:, None] * np.array([[1.0, 1.0, 0.9]])
    path = roll(BODY, Release(**GOOD_RELEASE), grid(values, np.arange(61.0), [0.0, 1.7, 3.46]))
    assert {f.code for f in path.findings} == {"friction.long", "friction.wide"}


@pytest.mark.parametrize(("gravity", "likely"), [(32.2, "ft/s²"), (math.nan, "finite"), (0.0, "above 0")])
def test_a_gravity_that_cannot_be_is_named(gravity: float, likely: str) -> None:
    with pytest.raises(OutOfRange, match=likely):
        roll(BODY, Release(**GOOD_RELEASE), DRY, gravity_mps2=gravity)


@pytest.mark.parametrize("bad", [*BAD, -0.01, 20.0])
def test_friction_that_cannot_be_is_refused(bad: float) -> None:
    with pytest.raises(OutOfRange, match="friction"):
        steps([(0.0, 0.04), (12.0, bad)])
    with pytest.raises(OutOfRange, match="friction"):
        grid([[0.1, 0.1], [0.1, bad]], [0.0, 18.0], [0.0, 1.0])


def test_maps_that_are_no_maps_are_refused() -> None:
    with pytest.raises(OutOfRange, match="at least one"):
        steps([])
    with pytest.raises(OutOfRange, match="growing"):
        steps([(3.0, 0.1), (1.0, 0.2)])
    with pytest.raises(OutOfRange, match="at least two"):
        grid([[0.1, 0.1]], [0.0], [0.0, 1.0])
    with pytest.raises(OutOfRange, match="growing"):
        grid([[0.1, 0.1], [0.1, 0.1]], [0.0, 0.0], [0.0, 1.0])
    with pytest.raises(OutOfRange, match="at least two"):
        grid([[0.1], [0.1]], [0.0, 1.0], [0.5])
    with pytest.raises(OutOfRange, match="2 distances × 2 lateral"):
        grid([[0.1, 0.1]], [0.0, 1.0], [0.0, 1.0])
    with pytest.raises(OutOfRange, match="as many in each row"):
        grid([[0.1, 0.1], [0.1]], [0.0, 1.0], [0.0, 1.0])
    with pytest.raises(OutOfRange, match="pairs"):
        steps([0.1, 0.2])
    with pytest.raises(OutOfRange, match="friction is “oil”"):
        steps([(0.0, "oil")])
    with pytest.raises(OutOfRange, match="percent"):
        steps([(0.0, 4.0)])
    for axis in ([0.0, math.nan], [0.0, math.inf], [[0.0, 1.0]]):
        with pytest.raises(OutOfRange):
            grid([[0.1, 0.1], [0.1, 0.1]], axis, [0.0, 1.0])
        with pytest.raises(OutOfRange):
            grid([[0.1, 0.1], [0.1, 0.1]], [0.0, 1.0], axis)


def test_a_map_that_stops_short_goes_on_by_its_edge_and_says_so() -> None:
    release = Release(8.0, 40.0, 0.8, lateral_m=0.2)
    short = grid([[0.04, 0.04], [0.2, 0.2]], [0.0, 6.0], [0.0, 1.1])
    longer = grid([[0.04, 0.04], [0.2, 0.2], [0.2, 0.2]], [0.0, 6.0, 30.0], [0.0, 1.1])
    a, b = roll(BODY, release, short), roll(BODY, release, longer)
    assert a.lateral_m[-1] == pytest.approx(b.lateral_m[-1], abs=1e-9)
    assert [f.code for f in a.findings] == ["friction.short"]
    assert b.findings == ()


def test_a_map_narrower_than_the_lane_goes_on_by_its_edges_and_says_so() -> None:
    release = Release(8.0, 40.0, 0.8, lateral_m=0.1)
    narrow = grid([[0.2, 0.04], [0.2, 0.15]], [0.0, 18.3], [0.3, 0.7])
    wide = grid([[0.2, 0.2, 0.04, 0.04], [0.2, 0.2, 0.15, 0.15]], [0.0, 18.3], [0.0, 0.3, 0.7, 1.1])
    a, b = roll(BODY, release, narrow), roll(BODY, release, wide)
    assert a.lateral_m[-1] == pytest.approx(b.lateral_m[-1], abs=1e-9)
    assert [f.code for f in a.findings] == ["friction.narrow"]
    assert b.findings == ()


def test_steps_that_start_past_the_foul_line_go_on_before_and_say_so() -> None:
    path = roll(BODY, Release(**GOOD_RELEASE), steps([(3.0, 0.05), (12.0, 0.2)]))
    assert [f.code for f in path.findings] == ["friction.short"]
    assert path.at_distance(1.0).skid_left < 1.0


@pytest.mark.parametrize("how", [{"length_m": 0.0}, {"length_m": math.nan}, {"gravity_mps2": -9.8}])
def test_a_lane_that_cannot_be_is_refused(how: dict[str, float]) -> None:
    with pytest.raises(KnownError):
        roll(BODY, Release(8.0, 40.0, 0.8), DRY, **how)
