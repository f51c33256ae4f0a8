"""No test reads or writes what is kept from run to run for the user who starts them."""

from __future__ import annotations

from collections.abc import Iterator

import pytest


@pytest.fixture(scope="session", autouse=True)
def _own_of_the_tests(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Keep verdicts and withheld names in folders of this session; processes inherit them."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("PLYBOOK_CACHE", str(tmp_path_factory.mktemp("cache")))
        patch.setenv("PLYBOOK_WITHHELD", str(tmp_path_factory.mktemp("data") / "withheld.txt"))
        yield
