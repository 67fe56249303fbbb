from __future__ import annotations

import importlib
from collections import Counter
from datetime import date
from pathlib import Path

import pytest

from arsenal.exchange.resources import resources_dir, sample_dir
from arsenal.exchange.tables import Loaded, load
from arsenal.trade import Cover, FilmGrid, FilmSummary, Hand, UnknownHouse
from arsenal.trade.entries import Cleaned, Kind, OilDrawn, Played, Shot, SurfaceWork
from arsenal.trade.trial import contradiction, impossible
from arsenal.trade.units import LANE_WIDTH_M

LAST_DAY = date(2026, 11, 24)


@pytest.fixture(scope="module")
def sample() -> Loaded:
    return load([sample_dir()], today=LAST_DAY)


def test_the_sample_comes_through_the_same_door_as_anybodys_tables(sample: Loaded) -> None:
    assert [str(p) for p in sample.problems] == []
    assert (resources_dir() / "sample" / "log.csv").is_file()


def test_all_sorts_of_bowlers_are_there(sample: Loaded) -> None:
    assert len(sample.people) >= 6
    assert any(p.hand is Hand.LEFT for p in sample.people)
    assert any(p.two_handed for p in sample.people)
    assert all(p.style and p.benchmark_ball_id and p.usual_lane_id for p in sample.people)
    words = " ".join(p.note for p in sample.people).casefold()
    assert "senior" in words
    assert "junior" in words


def test_mirel_has_seven_balls_and_a_spare(sample: Loaded) -> None:
    mirel = next(p for p in sample.people if p.name == "Mirel Oster")
    own = [b for b in sample.balls if b.owner_id == mirel.id]
    assert [b.name for b in own if not b.spare] == [
        "Umber Kestrel", "Quarry Song", "Tidewrack", "Slow Lantern", "Bramble Vow", "Paper Moth", "Rook Hollow",
    ]  # fmt: skip
    assert [b.name for b in own if b.spare] == ["Plain Gate"]
    assert {b.name for b in own if b.id == mirel.benchmark_ball_id} == {"Slow Lantern"}


def test_the_shop_and_mirel_have_recipes(sample: Loaded) -> None:
    mirel = next(p for p in sample.people if p.name == "Mirel Oster")
    assert {r.owner_id for r in sample.recipes} == {None, mirel.id}
    assert all(r.steps for r in sample.recipes)


def test_balls_of_every_cover(sample: Loaded) -> None:
    assert len(sample.balls) >= 18
    assert {b.cover for b in sample.balls} == set(Cover)
    assert len({b.serial for b in sample.balls}) == len(sample.balls)


def test_the_log_runs_over_nine_months_and_has_every_kind(sample: Loaded) -> None:
    days = [d.on for d in sample.drafts]
    assert max(days) == LAST_DAY
    assert (LAST_DAY - min(days)).days in range(265, 281)
    kinds = Counter(d.kind for d in sample.drafts)
    assert set(kinds) >= set(Kind) - {Kind.SOLD, Kind.RETIRED, Kind.UNDO}
    assert any(isinstance(d.payload, Played) and d.payload.sd for d in sample.drafts)
    assert any(d.late for d in sample.drafts)
    assert any(isinstance(d.payload, SurfaceWork) and not d.payload.whole for d in sample.drafts)
    assert any(isinstance(d.payload, Cleaned) and not d.payload.same_night for d in sample.drafts)


def test_three_bowlers_have_practised_with_a_pad_in_the_middle(sample: Loaded) -> None:
    owner = {b.id: b.owner_id for b in sample.balls}
    hands = {p.id: p.hand for p in sample.people}
    thrown = [(place, d) for place, d in enumerate(sample.drafts) if isinstance(d.payload, Shot)]
    assert 40 <= len(thrown) <= 60
    by_bowler = {i: [(n, d) for n, d in thrown if owner[d.ball_id] == i] for i in {owner[d.ball_id] for _, d in thrown}}
    assert len(by_bowler) == 3
    assert {hands[i] for i in by_bowler} == {Hand.LEFT, Hand.RIGHT}
    for shots in by_bowler.values():
        first, last = shots[0][0], shots[-1][0]
        balls = {d.ball_id for _, d in shots}
        between = [d for d in sample.drafts[first:last] if d.ball_id in balls and isinstance(d.payload, SurfaceWork)]
        assert len(balls) in (2, 3)
        assert len(between) == 1
    seen = tuple(d.payload.seen for _, d in thrown if isinstance(d.payload, Shot))
    assert all(impossible(s) is None and contradiction(s) is None for s in seen)


def test_nobody_in_the_sample_heats_a_ball_over_the_usual_limit(sample: Loaded) -> None:
    warm = [d.payload.temperature_c for d in sample.drafts if isinstance(d.payload, OilDrawn)]
    assert all(t is not None and t <= (130 - 32) / 1.8 for t in warm)


def test_a_crack_is_followed_by_its_repair(sample: Loaded) -> None:
    cracks = [d for d in sample.drafts if d.kind is Kind.CRACK]
    repairs = [d for d in sample.drafts if d.kind is Kind.REPAIR]
    assert [(c.ball_id, c.on < r.on) for c, r in zip(cracks, repairs, strict=True)] == [(repairs[0].ball_id, True)]


def test_house_unknown_flat_long_and_burnt_conditions(sample: Loaded) -> None:
    films = [lane.film for lane in sample.lanes]
    assert any(isinstance(f, UnknownHouse) for f in films)
    summaries = [f for f in films if isinstance(f, FilmSummary)]
    assert {(round(f.length_m / 0.3048), round(f.volume_m3 * 1e6), f.ratio) for f in summaries} >= {(41, 25, 8.0)}
    assert any(f.ratio <= 3 for f in summaries)
    assert any(f.length_m / 0.3048 >= 44 for f in summaries)


def test_the_burnt_fronts_are_dry_in_the_right_handers_track(sample: Loaded) -> None:
    (film,) = [lane.film for lane in sample.lanes if isinstance(lane.film, FilmGrid)]
    near = [i for i, d in enumerate(film.distance_m) if 15 <= d / 0.3048 <= 35]
    track, mirrored = film.boards.index(11.0), film.boards.index(29.0)
    assert all(film.height_m[i][track] < 0.4 * film.height_m[i][mirrored] for i in near)
    assert film.boards[0] * film.boards[-1] == 39.0
    assert LANE_WIDTH_M > 0


def test_spare_balls_see_four_shots_a_game_and_strike_balls_the_rest(sample: Loaded) -> None:
    spare = {b.id for b in sample.balls if b.spare}
    shots = Counter[bool]()
    for d in sample.drafts:
        if isinstance(d.payload, Played):
            shots[d.ball_id in spare] += round(d.payload.shots)
    assert 0.1 < shots[True] / shots[False] < 0.5


def test_the_committed_tables_are_what_the_generator_writes(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.syspath_prepend(str(resources_dir().parent / "scripts"))
    generator = importlib.import_module("make_sample")
    monkeypatch.setattr(generator, "SAMPLE", tmp_path)
    generator.main()
    written = {p.name: p.read_bytes() for p in tmp_path.iterdir()}
    assert written == {p.name: p.read_bytes() for p in sample_dir().iterdir() if p.suffix == ".csv"}
