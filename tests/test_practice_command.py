"""`padbook practice` as somebody at a terminal or a script meets it."""

from __future__ import annotations

import csv
import json
import shutil
from pathlib import Path
from typing import Any

import pytest

from arsenal import commands
from arsenal.acts import files, lanes
from arsenal.acts.shop import Shop
from arsenal.trade import FilmSummary, Lane

TOP = {
    "bowler", "lane", "line", "trials", "lane_says", "balls", "shots", "next", "others", "question", "next_says",
    "plan", "plan_minutes", "plan_says", "plan_changed", "findings",
}  # fmt: skip
BALL = {
    "ball", "shots", "boards", "boards_sd", "boards_sd_before", "sentence", "benchmark", "warning", "finishes",
}  # fmt: skip
LINE = {"shots", "balls", "finish", "why", "minutes", "recipe", "wiped", "done_shots", "done"}


@pytest.fixture(scope="module")
def sample(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("sample") / "sample.padbook"
    files.write_sample(path)
    return path


@pytest.fixture
def shop(sample: Path, tmp_path: Path) -> Path:
    return Path(shutil.copy(sample, tmp_path / "shop.padbook"))


def said(capsys: pytest.CaptureFixture[str], *arguments: object, code: int = 0) -> str:
    assert commands.main([str(a) for a in arguments]) == code
    found = capsys.readouterr()
    return found.out if code == 0 else found.err


def told(capsys: pytest.CaptureFixture[str], *arguments: object) -> Any:
    return json.loads(said(capsys, "practice", *arguments, "--json"))


def test_balls_next_and_plan_are_told(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    found = told(capsys, "--bowler", "mirel", "--lane", "41 ft house, 25", "--data", shop)
    assert set(found) == TOP
    assert all(set(row) == BALL for row in found["balls"])
    assert sum(row["benchmark"] for row in found["balls"]) == 1
    assert all((row["boards"] is None) == (row["shots"] == 0) for row in found["balls"])
    assert found["next"]["doubt_after"] < found["next"]["doubt"]
    assert set(found["next"]["balls"]) <= {row["ball"] for row in found["balls"]}
    assert all(set(line) == LINE for line in found["plan"])
    assert sum(line["shots"] for line in found["plan"]) <= 10
    sands = [line["recipe"] is not None for line in found["plan"]]
    assert sands == sorted(sands)


def test_a_plan_of_shots_or_of_minutes(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    of = ("--bowler", "mirel", "--data", shop)
    assert sum(line["shots"] for line in told(capsys, *of, "--shots", 5)["plan"]) == 5
    assert told(capsys, *of, "--minutes", 12)["plan_minutes"] <= 12
    with pytest.raises(SystemExit):
        commands.main(["practice", "--bowler", "mirel", "--shots", "5", "--minutes", "9"])
    assert "shots" in said(capsys, "practice", *of, "--shots", 0, code=2)


def test_printed_it_fits_into_a_hundred_columns(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = said(capsys, "practice", "--bowler", "mirel", "--data", shop)
    assert max(len(line) for line in text.splitlines()) <= 100
    assert "boards off its sheet" in text
    assert "\nNext: " in text
    assert "\nPlan: " in text


def test_shots_logged_as_lines_teach(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    before = told(capsys, "--bowler", "mirel", "--data", shop)
    said(capsys, "log", "lantern high 19", "lantern shot 17.5 read 38", "--data", shop)
    after = told(capsys, "--bowler", "mirel", "--data", shop)
    assert after["trials"] == before["trials"] + 2
    assert [row["seen"] for row in after["shots"][:2]] == ["17½", "19, high"]
    assert after["lane_says"]


def test_tables_are_written_where_they_are_wanted(
    shop: Path, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    out = tmp_path / "out"
    written = said(capsys, "practice", "--bowler", "mirel", "--data", shop, "--csv", out).split()
    assert written
    for name in written:
        with Path(name).open(encoding="utf-8-sig", newline="") as file:
            assert next(csv.reader(file))


def test_nobody_practises_whose_throw_is_not_known(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:  # fmt: skip
    table = tmp_path / "bowlers.csv"
    table.write_text("bowler,hand\nOrla Venn,left\n", encoding="utf-8")
    path = tmp_path / "new.padbook"
    said(capsys, "load", table, "--data", path)
    assert commands.main(["practice", "--data", str(path)]) == 2
    assert "There is no lane condition in this file yet" in capsys.readouterr().err
    with Shop.open(path) as shop:
        lanes.add_lane(shop, Lane(0, "Elm house", FilmSummary(12.5, 25e-6, 8.0)))
    assert commands.main(["practice", "--data", str(path)]) == 2
    assert "how Orla Venn throws" in capsys.readouterr().err
