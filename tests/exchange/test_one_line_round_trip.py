from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from typed_drafts import KINDS, drafts
from typed_shop import BALLS, LANES, PADS, PEOPLE, ROOK, TODAY, read

from arsenal.exchange import history, one_line
from arsenal.trade.entries import PAYLOAD_OF, Draft, Kind, Undo
from arsenal.trade.errors import KnownError
from arsenal.trade.pads import Pad


def back(draft: Draft, pads: tuple[Pad, ...]) -> Draft:
    line = one_line.typed_line(draft, BALLS, pads, LANES, PEOPLE, today=TODAY)
    (found,) = read(line, pads=pads).drafts
    assert found.typed == line.strip()
    return replace(found, typed="")


@settings(max_examples=400, deadline=None)
@given(drafts())
def test_what_an_entry_is_typed_as_reads_back_to_the_same_entry(draft: Draft) -> None:
    assert back(draft, PADS) == draft


@pytest.mark.parametrize("kind", KINDS)
@settings(max_examples=25, deadline=None)
@given(data=st.data())
def test_every_kind_of_entry_has_a_line_and_words(kind: str, data: st.DataObject) -> None:
    name, payload = data.draw(KINDS[kind])
    draft = Draft(ROOK.id, name, TODAY, payload)
    assert back(draft, PADS) == draft
    parts = one_line.words(draft, BALLS, PADS, LANES, PEOPLE, today=TODAY)
    assert parts[0] == ("Rook Hollow", True)
    assert all(text for text, _ in parts)
    assert history.sentence(draft, BALLS, LANES, PEOPLE)


def test_the_strategies_leave_out_no_kind_but_undo() -> None:
    made = {"surface": {Kind.SANDED, Kind.POLISHED}}
    covered = set().union(*(made.get(name) or {Kind(name)} for name in KINDS))
    assert covered | {Kind.UNDO} == set(PAYLOAD_OF)


def test_taking_back_names_its_entry() -> None:
    draft = Draft(ROOK.id, Kind.UNDO, TODAY, Undo("typed twice"), undoes=412)
    assert back(draft, ()) == draft


SPOKEN = """
rook jay moth gate granary meadow mirel sunna all everyone played except but and , ; / > < = ~ about 1000 500
2000 14 3 76 8.552 2400 14s 3g 3 g games shots h s m p c hand wet dry 4x30 polish compound nw jis P1000 16um
whole track only in competition pad #1 #2 after 6 uses wiped not wiped sometimes never each shot clean later
same night bath heat oil other 120 F 49 C 30 min passes confirmed drop insp crack through bridge repair
plugged plug lent back sold retired new used box drilled holes palm mark by no thumb r ra g60 gloss d weight
lb oz kg in mm saw high quit note undo because on house guest flat thu yesterday 12 mar 2026-03-12 -3d last
sun ±2 ±30% sd shot flush light long over hung rolled out stood up missed left right on target arrows read bp 43@9
@ 18:42 at 3-6-10 ½ 2½ board sensor mph rpm rotation launch line outing unwiped then 45 strike
0.1 "two words" person none 0 -1 1e5 .
""".split()  # noqa: SIM905  (read as prose)


def survives(line: str) -> None:
    try:
        found = read(line)
    except KnownError as error:
        assert str(error)  # noqa: PT017
        return
    assert found.drafts
    for draft in found.drafts:
        if draft.kind is not Kind.UNDO:
            assert back(draft, ()) == replace(draft, typed="")


@given(st.text(max_size=60))
@settings(max_examples=200, deadline=None)
def test_no_text_at_all_breaks_the_reader(text: str) -> None:
    survives(text)
    survives(f"rook {text}")


@given(st.lists(st.sampled_from(SPOKEN), min_size=1, max_size=8).map(" ".join))
@settings(max_examples=1500, deadline=None)
def test_whatever_is_understood_reads_back_to_what_was_understood(line: str) -> None:
    survives(f"rook {line}")
    survives(line)
