"""No test reads or writes what is kept from run to run for the user who starts them."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from playwright.sync_api import Playwright


@pytest.fixture(scope="session", autouse=True)
def _own_of_the_tests(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Keep verdicts and withheld names in folders of this session; processes inherit them."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("PLYBOOK_CACHE", str(tmp_path_factory.mktemp("cache")))
        patch.setenv("PLYBOOK_WITHHELD", str(tmp_path_factory.mktemp("data") / "withheld.txt"))
        yield


@pytest.fixture(scope="session")
def driver() -> Iterator[Playwright]:
    """What starts browsers: one a process, since it does not suffer a second one beside it."""
    sync_api = pytest.importorskip("playwright.sync_api", reason="install the extra `test`")
    with sync_api.sync_playwright() as one:
        yield one
