"""A browser that has a page of the preview open, while files of the course are saved."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page, expect

from preview.conftest import Running

_LESSON = "lessons/01-forks.md"


@pytest.fixture
def page(chromium: Browser, preview: Running) -> Iterator[Page]:
    """The page of the lesson on forks; nothing it says to the console goes unheard."""
    context = chromium.new_context(viewport={"width": 1200, "height": 600})
    opened = context.new_page()
    said: list[str] = []
    opened.on("console", lambda message: said.append(message.text))
    opened.on("pageerror", lambda error: said.append(str(error)))
    opened.goto(f"{preview.server.address}lessons/forks.html")
    yield opened
    context.close()
    assert said == []


def until(page: Page, truth: str) -> None:
    """Wait for an expression to be true; the policy forbids the page to evaluate one itself."""
    for _ in range(500):
        if page.evaluate(truth):
            return
        page.wait_for_timeout(20)
    raise AssertionError(f"never: {truth}")


def test_a_saved_change_appears_in_the_open_page(page: Page, preview: Running) -> None:
    preview.edit(_LESSON, "a rule", "one rule of ours")
    expect(page.locator("#text")).to_contain_text("one rule of ours")


def test_the_reader_stays_where_he_was(page: Page, preview: Running) -> None:
    page.locator("#text a.m", has_text="d5").first.click()
    page.locator("#plate .pw summary").click()
    until(page, "location.hash.length > 1")
    page.evaluate("scrollTo(0, 300)")
    until(page, "scrollY === 300")
    before = page.evaluate("[location.hash, document.getElementById('cap').textContent]")
    preview.edit(_LESSON, "a rule", "one rule of ours")
    expect(page.locator("#text")).to_contain_text("one rule of ours")
    until(page, "scrollY === 300")
    assert page.evaluate("[location.hash, document.getElementById('cap').textContent]") == before
    assert page.locator("#plate .pw").evaluate("fold => fold.open")


def test_a_fault_is_told_beside_the_last_good_page(page: Page, preview: Running) -> None:
    preview.edit(_LESSON, "2. exd5 Qxd5", "2. exd5 Qxd4")
    slip = page.locator("#slip")
    expect(slip).to_contain_text("1 fault")
    expect(slip.locator(".where")).to_contain_text(f"{_LESSON}:22:9")
    expect(slip.locator(".where code")).to_have_text("illegal-move")
    expect(slip.locator(".what")).to_contain_text("2... Qxd4")
    expect(slip.locator("mark")).to_have_text("Qxd4")
    expect(slip.locator(".help").first).to_contain_text("Qxd5")
    expect(page.locator("#text")).to_contain_text("It starts with")
    preview.edit(_LESSON, "2. exd5 Qxd4", "2. exd5 Qxd5")
    expect(page.locator("#slip .error")).to_have_count(0)
    expect(page.locator("#text")).to_contain_text("It starts with")


def test_a_page_that_stays_the_same_is_not_loaded_again(page: Page, preview: Running) -> None:
    page.evaluate("document.body.dataset.here = 'still'")
    count = preview.clients.count
    preview.edit("lessons/03-bare.md", "Only words.", "Only a few words.")
    while preview.clients.count == count:
        page.wait_for_timeout(20)
    other = page.context.new_page()
    other.goto(f"{preview.server.address}lessons/bare.html")
    expect(other.locator("#text")).to_contain_text("Only a few words.")
    assert page.evaluate("document.body.dataset.here") == "still"


def test_a_refuted_claim_can_be_stepped_through_on_the_board(page: Page, preview: Running) -> None:
    preview.edit(_LESSON, "d5 is hanging", "d5 is safe")
    expect(page.locator("#slip")).to_contain_text("false-claim")
    page.locator("#slip .step a").click()
    refuted = page.locator("#text section.line:target", has_text="Not true")
    expect(refuted.first).to_be_visible()
    refuted.first.locator("a.m").first.click()
    expect(page.locator("#line-now")).to_contain_text("Not true")
    expect(page.locator(".kn.false").first).to_have_text("refuted")


def test_drafts_and_notes_are_shown_with_their_sign(page: Page, preview: Running) -> None:
    expect(page.locator("aside.coach")).to_contain_text("SECRET-OF-THE-COACH")
    page.goto(f"{preview.server.address}lessons/draft.html")
    expect(page.locator("#slip")).to_contain_text("pupils do not see this lesson")
    page.goto(preview.server.address)
    expect(page.locator("main")).to_contain_text("A lesson")


def test_a_course_that_begins_with_a_fault_appears_when_it_is_mended(
    page: Page, preview: Running
) -> None:
    preview.edit("course.yaml", "title: Harbour lessons", "titel: Harbour lessons")
    expect(page.locator("#slip .error").first).to_contain_text("titel")
    preview.edit("course.yaml", "titel: Harbour lessons", "title: Lessons of the harbour")
    expect(page.locator(".home")).to_have_text("Lessons of the harbour")
