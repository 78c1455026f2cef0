"""One served demo for all journeys that only look, and a browser where there is one."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.journey.kept_world import KeptWorld
from tests.journey.served import Served

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")


@pytest.fixture(scope="session")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    served = Served(tmp_path_factory.mktemp("demo"))
    served.start()
    yield served
    served.kill()


@pytest.fixture(scope="session")
def made_demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with a computed demo in it, not served; copy it before changing it."""
    folder = tmp_path_factory.mktemp("made")
    result = Served(folder).run("demo", "--once")
    assert result.returncode == 0, result.stdout + result.stderr
    return folder


@pytest.fixture(scope="session")
def kept_world(tmp_path_factory: pytest.TempPathFactory) -> Iterator[KeptWorld]:
    """A small club on a server whose clock a test sets; each test has athletes of its own."""
    if CHROMIUM is None:
        pytest.skip("no Chromium on this machine")
    world = KeptWorld(tmp_path_factory.mktemp("kept"))
    world.start()
    yield world
    world.stop()


@pytest.fixture
def browser() -> Iterator[object]:
    if CHROMIUM is None:
        pytest.skip("no Chromium on this machine")
    from playwright.sync_api import sync_playwright

    quiet = ["--no-sandbox", "--disable-gpu", "--disable-background-networking", "--disable-component-update"]
    with sync_playwright() as play:
        opened = play.chromium.launch(executable_path=CHROMIUM, args=quiet)
        yield opened
        opened.close()
