"""A missing tool is never passed over in silence."""

from __future__ import annotations

import pytest

from browser.tools import missing, need_module


def test_a_missing_tool_skips_with_its_reason(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("PLYBOOK_REQUIRE_TOOLS", raising=False)
    with pytest.raises(pytest.skip.Exception, match="no program x"):
        missing("no program x")


def test_a_missing_tool_fails_where_all_are_required(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PLYBOOK_REQUIRE_TOOLS", "1")
    with pytest.raises(pytest.fail.Exception, match="the Python package x is not installed"):
        need_module("no_such_module_here", of="x")


def test_a_module_that_is_there_is_no_reason_to_skip() -> None:
    need_module("pytest", of="pytest")
