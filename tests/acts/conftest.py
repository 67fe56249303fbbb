"""The shop of made_shop, made once and copied for each test."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from made_shop import Clock, fill, opened

from arsenal.acts import files
from arsenal.acts.shop import Shop


@pytest.fixture(scope="session")
def filled(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("filled") / "shop.padbook"
    with opened(path, Clock()) as shop:
        fill(shop)
    return path


@pytest.fixture(scope="session")
def blank(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("blank") / "shop.padbook"
    opened(path, Clock()).close()
    return path


@pytest.fixture(scope="session")
def written_sample(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("sample") / "sample.padbook"
    files.write_sample(path, clock=Clock())
    return path


@pytest.fixture
def sample(written_sample: Path, tmp_path: Path) -> Path:
    return Path(shutil.copy(written_sample, tmp_path / "sample.padbook"))


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def shop(filled: Path, tmp_path: Path, clock: Clock) -> Iterator[Shop]:
    path = tmp_path / "shop.padbook"
    shutil.copy(filled, path)
    with opened(path, clock) as found:
        yield found


@pytest.fixture
def empty(blank: Path, tmp_path: Path, clock: Clock) -> Iterator[Shop]:
    path = tmp_path / "empty.padbook"
    shutil.copy(blank, path)
    with opened(path, clock) as found:
        yield found
