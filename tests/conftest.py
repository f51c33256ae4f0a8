"""No test reads or writes what is kept from run to run for the user who starts them."""

from __future__ import annotations

from collections.abc import Iterator

import pytest


@pytest.fixture(scope="session", autouse=True)
def _cache_of_the_tests(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Keep verdicts in a folder of this session; processes that tests start inherit it."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("PLYBOOK_CACHE", str(tmp_path_factory.mktemp("cache")))
        yield
