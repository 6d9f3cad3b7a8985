"""A house that others can check, and who may train, give and hold a certificate."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from academy.service.house import House
from academy.service.settings import Settings
from academy.service.viewer import Viewer

SITE = "https://farm.example"


@pytest.fixture
def house(house: House) -> House:
    """With an address under which others can check."""
    return replace(house, settings=Settings(site_address=SITE + "/"))


@pytest.fixture
def hire(join: Callable[..., Any]) -> Viewer:
    viewer: Viewer = join("Ñusta Weir").viewer
    return viewer


@pytest.fixture
def lead(join: Callable[..., Any]) -> Viewer:
    viewer: Viewer = join("Leif Arnold", "lead").viewer
    return viewer


@pytest.fixture
def trainer(join: Callable[..., Any]) -> Viewer:
    viewer: Viewer = join("Tamsin Roe", "lead").viewer
    return viewer
