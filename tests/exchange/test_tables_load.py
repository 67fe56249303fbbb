from __future__ import annotations

from datetime import date, datetime
from pathlib import Path

import pytest

from arsenal.exchange.tables import Known, Loaded, load
from arsenal.exchange.tables.columns import TABLES, headers_markdown, normal
from arsenal.trade import FilmGrid, FilmSummary, UnknownHouse
from arsenal.trade.entries import Compared, Entry, Kind, Note, Played, SurfaceWork, Wiped
from arsenal.trade.units import FOOT_M, MPH_MPS, OIL_UNIT_M, POUND_KG

TODAY = date(2026, 11, 24)
BOWLERS = "bowler,hand,speed_mph,revs_rpm,benchmark,usual_lane\nOrla Venn,left,15.5,250,wisp,41 ft house\n"
BALLS = "ball,nickname,cover,weight_lb,rg_in,bought\nWillow Wisp,wisp,solid,15,2.5,2026-01-10\nTin Oar,oar,pearl,,,\n"
LANES = "condition,length_ft,volume_ml,ratio\n41 ft house,41,25,8\nGuest,,,\n"
LOG = "ball,date,entry,wiped,lane\nwisp,2026-11-02,1000 h,,\nwisp,2026-11-10,3g,each shot,41 ft house\n"
GRID = "distance_ft,board,units\n0,1,2\n0,39,4\n40,1,0\n40,39,1\n"


def loaded(folder: Path, known: Known | None = None, **tables: str) -> Loaded:
    paths = []
    for name, text in tables.items():
        paths.append(folder / f"{name}.csv")
        paths[-1].write_bytes(text.encode())
    return load(paths, today=TODAY, known=known)


def good(folder: Path, **tables: str) -> Loaded:
    found = loaded(folder, **tables)
    assert [str(p) for p in found.problems] == []
    return found


def problem(folder: Path, **tables: str) -> str:
    found = loaded(folder, **tables)
    (only,) = found.problems
    return str(only)


def test_a_bowlers_spreadsheets_come_in_together(tmp_path: Path) -> None:
    found = good(tmp_path, bowlers=BOWLERS, balls=BALLS, lanes=LANES, log=LOG)
    (orla,) = found.people
    wisp, oar = found.balls
    assert orla.style is not None
    assert orla.style.speed_mps == 15.5 * MPH_MPS
    assert (orla.benchmark_ball_id, orla.usual_lane_id) == (wisp.id, 1)
    assert wisp.mass_kg == 15 * POUND_KG
    assert (wisp.spec_known, oar.spec_known) == (True, False)
    assert isinstance(found.lanes[0].film, FilmSummary)
    assert isinstance(found.lanes[1].film, UnknownHouse)
    work, play = (d.payload for d in found.drafts)
    assert isinstance(work, SurfaceWork)
    assert play == Played(33.0, 0.0, 3.0, 1, Wiped.EACH)


def test_a_table_is_known_by_its_headers_whatever_its_name_and_order(tmp_path: Path) -> None:
    found = good(tmp_path, zz=BOWLERS, aa=LOG, mm=LANES, bb=BALLS)
    assert (len(found.people), len(found.balls), len(found.drafts)) == (1, 2, 2)


@pytest.mark.parametrize("header", ["weight (lb)", "Weight lb", "WEIGHT_LB", " weight-lb "])
def test_a_header_may_be_written_as_people_write_it(tmp_path: Path, header: str) -> None:
    found = good(tmp_path, bowlers=BOWLERS.replace("wisp,41 ft house", ","), balls=BALLS.replace("weight_lb", header))
    assert found.balls[0].mass_kg == 15 * POUND_KG


def test_the_unit_in_the_header_counts(tmp_path: Path) -> None:
    metric = 'ball,cover,weight_kg,diameter_mm,rg_mm\nTin Oar,solid,"6,8",218,63.5\n'
    (oar,) = good(tmp_path, bowlers="bowler,hand\nOrla,left\n", balls=metric).balls
    assert (oar.mass_kg, oar.radius_m, oar.rg_m) == (pytest.approx(6.8), pytest.approx(0.109), pytest.approx(0.0635))


def test_semicolons_and_decimal_commas_of_a_european_spreadsheet(tmp_path: Path) -> None:
    text = "ball;cover;weight_lb;rg_in\r\nTin Oar;solid;14,5;2,55\r\n"
    (oar,) = good(tmp_path, bowlers="bowler;hand\r\nOrla;left\r\n", balls=text).balls
    assert oar.rg_m == 2.55 * 0.0254


def test_a_film_grid_lies_beside_its_condition(tmp_path: Path) -> None:
    (tmp_path / "film.csv").write_text(GRID)
    (lane,) = good(tmp_path, lanes="condition,grid\nBurnt,film.csv\n").lanes
    assert lane.film == FilmGrid(
        (0.0, 40 * FOOT_M), (1.0, 39.0), ((2 * OIL_UNIT_M, 4 * OIL_UNIT_M), (0.0, OIL_UNIT_M))
    )  # fmt: skip


@pytest.mark.parametrize(
    ("grid", "says"),
    [
        (GRID.replace("40,39,1\n", ""), "Board 39 at 40 ft is missing"),
        (GRID + "40,39,2\n", "told before"),
        (GRID.replace("0,39,4", "0,45,4"), "1 to 39"),
        (GRID.replace("0,39,4", "0,39,-4"), "0 to 200"),
        (GRID.replace("units", "loads"), "Unknown header"),
        ("distance_ft,board,units\n0,1,2\n", "at least two"),
    ],
)
def test_a_film_grid_that_is_not_whole_is_told(tmp_path: Path, grid: str, says: str) -> None:
    (tmp_path / "film.csv").write_text(grid)
    found = loaded(tmp_path, lanes="condition,grid\nBurnt,film.csv\n")
    assert not found.lanes
    assert says in "; ".join(p.reason for p in found.problems)


@pytest.mark.parametrize("name", ["../secret.csv", "/etc/passwd", ".hidden", "none.csv"])
def test_a_film_grid_is_only_looked_for_in_its_own_folder(tmp_path: Path, name: str) -> None:
    folder = tmp_path / "in"
    folder.mkdir()
    (tmp_path / "secret.csv").write_text(GRID)
    assert "lanes.csv, row 2, grid: " in problem(folder, lanes=f"condition,grid\nBurnt,{name}\n")


@pytest.mark.parametrize(
    ("row", "says"),
    [
        ("A,solid,99,2.5", "row 2, weight_lb: weight is 99 lb; it must be 6 to 16.01 lb."),
        ("A,solid,15,4.5", "row 2, rg_in: RG is 4.5 in; it must be 2.3 to 3 in."),
        ("A,solid,heavy,2.5", "row 2, weight_lb: “heavy” is not understood."),
        ('A,solid,"1,5.0",2.5', "row 2, weight_lb: “1,5.0” is not understood."),
        ("A,glass,15,2.5", "row 2, cover: “glass” must be one of solid, hybrid, pearl, urethane, polyester."),
        (",solid,15,2.5", "row 2, ball: This cell may not be empty."),
        ("A,solid,15,2.5,x", "row 2: 5 fields under 4 headers"),
    ],
)
def test_a_bad_ball_is_told_by_row_and_field(tmp_path: Path, row: str, says: str) -> None:
    found = problem(tmp_path, bowlers="bowler,hand\nOrla,left\n", balls=f"ball,cover,weight_lb,rg_in\n{row}\n")
    assert found.startswith(f"balls.csv, {says}")


@pytest.mark.parametrize(
    ("row", "says"),
    [
        ("nobody,2026-11-02,3g,,", "ball: There is no ball called “nobody”."),
        ("wisp,2026-11-02,1000,,", "entry: “1000” is not understood."),
        ("wisp,2026-11-02,-3g,,", "entry: "),
        ("wisp,2026-11-02,500g,,", "entry: The number of games is 500; it must be 0.1 to 400"),
        ("wisp,2026-11-25,3g,,", "date: The day is 25 Nov 2026; it must be today"),
        ("wisp,2026-01-09,3g,,", "date: 9 Jan 2026 is before Willow Wisp was bought, 10 Jan 2026."),
        ("wisp,11/02/2026,3g,,", "date: “11/02/2026” is no day. Write the day as 2026-03-12."),
        ("wisp,thu,3g,,", "date: “thu” is no day."),
        ("wisp,,3g,,", "date: This cell may not be empty."),
        ("wisp,2026-11-02,oar 3g,,", "entry: "),
        ("wisp,2026-11-02,yesterday 3g,,", "entry: The entry names a day"),
        ("wisp,2026-11-02,clean,each shot,", "wiped: Wiping goes with shots or games"),
        ("wisp,2026-11-02,3g,daily,", "wiped: “daily” must be each shot, sometimes or never."),
        ("wisp,2026-11-02,clean,,41 ft house", "lane: A condition goes with play"),
        ("wisp,2026-11-02,3g,,Moon", "lane: There is no condition called “Moon”."),
        ("wisp,2026-11-02,undo,,", "entry: "),
        ("wisp,2026-11-02,heat 3 150 F,,", "entry: Over 130 °F"),
    ],
)
def test_a_bad_row_of_the_log_is_told_by_row_and_field(tmp_path: Path, row: str, says: str) -> None:
    log = f"{LOG}{row}\n"
    found = loaded(tmp_path, bowlers=BOWLERS, balls=BALLS, lanes=LANES, log=log)
    (only,) = found.problems
    assert str(only).startswith(f"log.csv, row 4, {says}")
    assert len(found.drafts) == 2  # the good rows, for whoever keeps those


@pytest.mark.parametrize(
    ("header", "says"),
    [
        (
            "ball,cover,wieght_lb",
            "balls.csv, row 1, wieght_lb: Unknown header in a table of balls. Did you mean weight",
        ),
        ("ball,cover,weight_lb,weight_kg", "balls.csv, row 1, weight_kg: This header says the same as weight_lb."),
        ("ball,cover,cover", "balls.csv, row 1, cover: This header says the same as cover."),
        ("ball,nickname,serial", "balls.csv, row 1, cover: A table of balls needs this header."),
        ("a,b,c", "balls.csv, row 1: These headers are of no table this program knows: a, b, c."),
    ],
)
def test_headers_that_are_unknown_doubled_or_missing_are_told(tmp_path: Path, header: str, says: str) -> None:
    assert problem(tmp_path, balls=f"{header}\nA,solid,15\n").startswith(says)


@pytest.mark.parametrize(
    ("tables", "says"),
    [
        ({"bowlers": "bowler,hand,speed_mph,revs_rpm\nOrla,left,200,300\n"}, "speed_mph: speed is 200 mph"),
        ({"bowlers": "bowler,speed_read_at\nOrla,display\n"}, "speed read at the display is missing"),
        ({"bowlers": "bowler,feet_to_laydown_boards\nOrla,300\n"}, "feet to laydown is 300 boards"),
        ({"bowlers": "bowler,hand,speed_mph,revs_rpm\nOrla,left,15,\n"}, "revs_rpm: Speed and revs go together"),
        ({"bowlers": "bowler,hand\nOrla,middle\n"}, "hand: “middle” must be one of right, left."),
        ({"bowlers": "bowler,hand,two_handed\nOrla,left,maybe\n"}, "two_handed: “maybe” is neither yes nor no."),
        ({"bowlers": "bowler,hand,benchmark\nOrla,left,none\n"}, "benchmark: There is no ball called “none”."),
        ({"lanes": "condition,length_ft,volume_ml,ratio\nA,41,,8\n"}, "volume_ml: Length, volume and ratio go tog"),
        ({"lanes": "condition,length_ft,volume_ml,ratio\nA,41,25,99\n"}, "ratio: ratio is 99; it must be 1 to 20."),
        ({"lanes": "condition,length_from_ft,length_to_ft\nA,44,38\n"}, "length_to_ft: The upper end lies under"),
        ({"pads": "grain,kind\n5,foam\n"}, "grain: The grain number is 5; it must be 30 to 12000."),
        ({"pads": "grain,kind\nfine,foam\n"}, "grain: “fine” is no grain"),
        ({"pads": "pad,grain,kind\n1,500,foam\n1,500,foam\n"}, "row 3, pad: Pad number 1 stands above already."),
        ({"balls": "ball,cover\nA,solid\n"}, "bowler: Name the bowler: there is not just one."),
    ],
)  # fmt: skip
def test_any_other_bad_row_is_told(tmp_path: Path, tables: dict[str, str], says: str) -> None:
    assert says in problem(tmp_path, **tables)


def test_every_bad_row_is_told_in_one_go(tmp_path: Path) -> None:
    bad = "ball,cover,weight_lb\nA,glass,15\nB,solid,99\nC,solid,15\n"
    found = loaded(tmp_path, bowlers="bowler,hand\nOrla,left\n", balls=bad)
    assert [(p.row, p.field) for p in found.problems] == [(2, "cover"), (3, "weight_lb")]
    assert [b.name for b in found.balls] == ["C"]


def test_an_empty_folder_is_told(tmp_path: Path) -> None:
    (only,) = load([tmp_path], today=TODAY).problems
    assert "no CSV file" in only.reason


def test_notes_and_late_rows_of_a_log(tmp_path: Path) -> None:
    log = "ball,date,entry,note,late\nwisp,2026-11-02,~3g,'=not a sum,yes\n"
    play, note = good(tmp_path, bowlers=BOWLERS.replace("41 ft house", ""), balls=BALLS, log=log).drafts
    assert (play.late, play.payload) == (True, Played(33.0, 0.2, 3.0))
    assert (note.kind, note.payload) == (Kind.NOTE, Note("=not a sum"))


def known_from(found: Loaded) -> Known:
    entries = [
        Entry(n, d.ball_id, d.kind, d.on, d.payload, datetime(2026, 11, 24), 0)  # noqa: DTZ001
        for n, d in enumerate(found.drafts, 1)
    ]
    return Known(found.people, found.balls, found.lanes, found.pads, entries)


def test_the_same_tables_again_add_nothing(tmp_path: Path) -> None:
    tables = {
        "bowlers": BOWLERS,
        "balls": BALLS,
        "lanes": LANES,
        "log": LOG,
        "pads": "grain,kind\n500,foam\n500,foam\n",
    }
    first = good(tmp_path, **tables)
    again = loaded(tmp_path, known_from(first), **tables)
    assert again == Loaded(skipped=9)


def test_a_log_alone_speaks_of_balls_that_are_known(tmp_path: Path) -> None:
    known = known_from(good(tmp_path, bowlers=BOWLERS, balls=BALLS, lanes=LANES))
    log = "ball,date,entry,lane\noar,2026-11-02,> wisp 2,41 ft house\noar,2026-11-03,3g,\n"
    found = loaded(tmp_path, known, log=log)
    assert [d.ball_id for d in found.drafts] == [2, 2]
    assert found.drafts[0].payload == Compared(1, 2.0, lane_id=1)


def test_new_rows_are_numbered_on_from_what_is_known(tmp_path: Path) -> None:
    known = known_from(good(tmp_path, bowlers=BOWLERS, balls=BALLS, lanes=LANES))
    more = "ball,cover,bowler,nickname\nCork Bell,hybrid,Orla Venn,bell\n"
    found = loaded(tmp_path, known, balls=more, log="ball,date,entry\nbell,2026-11-02,> oar 1\n")
    assert [(b.id, b.owner_id) for b in found.balls] == [(3, 1)]
    assert found.drafts[0].payload == Compared(2, 1.0)


def test_a_known_bowler_gets_a_benchmark_by_a_later_table(tmp_path: Path) -> None:
    bare = "bowler,hand\nOrla Venn,left\n"
    known = known_from(good(tmp_path, bowlers=bare, balls=BALLS))
    found = loaded(tmp_path, known, bowlers="bowler,hand,benchmark\nOrla Venn,left,oar\n")
    assert [(p.id, p.benchmark_ball_id) for p in found.changed] == [(1, 2)]


def test_every_header_is_written_the_way_it_is_read() -> None:
    for table in TABLES:
        heads = table.headers
        assert len(set(heads)) == len(heads)
        for head in heads:
            assert normal(head) == head
            assert f"`{head}`" in headers_markdown()
