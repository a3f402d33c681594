"""What the tests in a browser share: one browser and one node for all of them."""

from __future__ import annotations

from collections.abc import Generator, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, expect

from tests.browser.chromium import running
from tests.browser.serving import Node, served
from tests.browser.visits import WAIT_MS, Visits

HERE = Path(__file__).parent


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark every test of this folder, so that it runs in a step of its own."""
    for item in items:
        if HERE in item.path.parents:
            item.add_marker(pytest.mark.browser)


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    with running() as started:
        yield started


@pytest.fixture(scope="session")
def node(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Node]:
    with served(tmp_path_factory.mktemp("node")) as found:
        yield found


@pytest.fixture(scope="session")
def all_visits(browser: Browser, node: Node) -> Visits:
    expect.set_options(timeout=WAIT_MS)
    return Visits(browser, node)


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(
    item: pytest.Item, call: pytest.CallInfo[None]
) -> Generator[None, pytest.TestReport, pytest.TestReport]:
    """Say with a failure what the open pages show; a browser without a window leaves no trace."""
    report = yield
    visits = getattr(item, "funcargs", {}).get("visits")
    if report.failed and call.when == "call" and isinstance(visits, Visits):
        report.sections += [(f"On {address}", text) for address, text in visits.shown()]
    return report


@pytest.fixture
def visits(all_visits: Visits) -> Iterator[Visits]:
    """Devices for one test; afterwards nothing may have been done that no page may do."""
    all_visits.watch.forget()
    yield all_visits
    all_visits.close()
    assert all_visits.watch.complaints == []
