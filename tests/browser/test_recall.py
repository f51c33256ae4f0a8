"""Work that is kept by the browser: what is due, the warm-up, work taken along, forgotten."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from datetime import date, timedelta
from itertools import pairwise
from pathlib import Path
from typing import Any, Final

import pytest
from playwright.sync_api import Browser, expect

from browser.reader import Reader, reading
from browser.test_axe import violations
from browser.tools import need_module

KEY: Final = "plybook:first-principles:work"
TODAY: Final = date(2026, 3, 2)  # a Monday
EDGE: Final = "centre-first/edge-knight"
TWO: Final = "centre-first/two-at-once"
Items = Mapping[str, list[int]]


def day(days: int = 0) -> int:
    """Return the number of a day since 1970-01-01, counted from the tests' today."""
    return (TODAY + timedelta(days) - date(1970, 1, 1)).days


@pytest.fixture
def pupil(browser: Browser, sites: Mapping[str, Path]) -> Iterator[Reader]:
    """A reader with an empty store, on a fixed day."""
    with reading(browser, sites["press"]) as reader:
        reader.page.clock.set_fixed_time(f"{TODAY}T10:00:00")
        yield reader


def keep(reader: Reader, items: Items) -> None:
    """Put items into the store as if they had been solved before."""
    reader.open("plan.html")
    text = json.dumps({"v": 1, "items": items})
    reader.all("([key, text]) => localStorage.setItem(key, text)", [KEY, text])


def kept(reader: Reader) -> dict[str, Any]:
    """Return the items of the store."""
    text = reader.all("(key) => localStorage.getItem(key)", KEY)
    items: dict[str, Any] = json.loads(text)["items"] if text else {}
    return items


def cards_of(reader: Reader) -> list[str]:
    """Return the ids of the cards of the first lesson."""
    reader.open("my-work.html")
    found = reader.all("[...document.querySelectorAll('a.mark')].map((mark) => mark.dataset.id)")
    return [ident for ident in found if ident.startswith("centre-first/card-")]


# ---------------------------------------------------------------------- what is due


@pytest.mark.parametrize(
    ("item", "classes", "said"),
    [
        pytest.param(None, "", "not done yet", id="never"),
        pytest.param([-2, -2, 0, 0], "alone", "without help, comes back on Saturday", id="new"),
        pytest.param([-7, -7, 0, 0], "alone due", "without help, due today", id="a week ago"),
        pytest.param([-6, -6, 0, 1], "helped", "with help, comes back on Tuesday", id="not yet"),
        pytest.param([-30, -20, 1, 0], "alone", "comes back on Tuesday", id="20 days"),
        pytest.param([-30, -21, 1, 1], "helped due", "with help, due today", id="three weeks"),
        pytest.param([-99, -56, 2, 0], "alone due", "due today", id="eight weeks"),
        pytest.param([-99, -90, 3, 0], "alone settled", "without help, settled", id="all done"),
    ],
)
def test_a_mark_says_how_it_was_solved_and_when_it_comes_back(
    pupil: Reader, item: list[int] | None, classes: str, said: str
) -> None:
    """The gaps of the demo course are the default: 1, 3 and 8 weeks."""
    if item:
        keep(pupil, {EDGE: [day(item[0]), day(item[1]), *item[2:]]})
    pupil.open("my-work.html")
    mark = pupil.page.locator(f'a.mark[data-id="{EDGE}"]')
    assert sorted((mark.get_attribute("class") or "").split()) == sorted(["mark", *classes.split()])
    assert said in mark.inner_text()
    assert mark.get_attribute("title") == mark.locator(".vh").inner_text()


def test_the_page_counts_what_is_due_today(pupil: Reader) -> None:
    keep(pupil, {EDGE: [day(-9), day(-8), 0, 0], TWO: [day(-7), day(-7), 0, 1]})
    pupil.open("my-work.html")
    expect(pupil.page.locator("#now")).to_have_text("Due today: 2")


def test_the_page_says_when_the_next_comes_back(pupil: Reader) -> None:
    keep(pupil, {EDGE: [day(-5), day(-5), 0, 0], TWO: [day(-1), day(-1), 0, 0]})
    pupil.open("my-work.html")
    expect(pupil.page.locator("#now")).to_have_text(
        "Nothing is due today. The next question comes back on Wednesday 4 March."
    )


def test_what_is_no_item_of_the_course_counts_for_nothing(pupil: Reader) -> None:
    keep(pupil, {"gone/away": [day(-9), day(-9), 0, 0]})
    pupil.open("my-work.html")
    expect(pupil.page.locator("#now")).to_contain_text("Nothing here yet.")
    pupil.open("warm-up.html")
    expect(pupil.page.locator("#start")).to_be_hidden()


# ---------------------------------------------------------------------- cards of a lesson


def test_a_card_of_a_lesson_is_remembered(pupil: Reader) -> None:
    pupil.open("lessons/centre-first.html")
    card = pupil.page.locator(".cards li").first
    card.locator("summary").click()
    card.get_by_role("button", name="Knew it").click()
    ident = f"centre-first/{card.get_attribute('id')}"
    assert kept(pupil) == {ident: [day(), day(), 0, 0]}
    card.get_by_role("button", name="Not yet").click()
    assert kept(pupil) == {ident: [day(), day(), 0, 1]}
    pressed = card.locator("[aria-pressed=true]")
    expect(pressed).to_have_text("Not yet")
    pupil.open("lessons/centre-first.html")
    expect(pupil.page.locator(".cards [aria-pressed=true]")).to_have_text("Not yet")


# ---------------------------------------------------------------------- the warm-up


def answer(reader: Reader, button: str) -> None:
    reader.page.click("#show")
    reader.page.click(button)


def test_the_warm_up_asks_what_is_due_and_keeps_what_was_known(pupil: Reader) -> None:
    first, second = cards_of(pupil)[:2]
    keep(pupil, {first: [day(-7), day(-7), 0, 1], second: [day(-40), day(-30), 1, 0]})
    pupil.open("warm-up.html")
    expect(pupil.page.locator("#state")).to_have_text("Due today: 2")
    pupil.page.click("#start")
    answer(pupil, "#knew")
    pupil.page.click("#on")
    answer(pupil, "#not-yet")
    pupil.page.click("#on")
    expect(pupil.page.locator("#score")).to_have_text("Known: 1 of 2")
    # The one that waited longest was asked first, and known.
    assert kept(pupil) == {second: [day(-40), day(), 2, 0], first: [day(-7), day(), 0, 1]}


def test_nothing_names_the_lesson_before_the_answer(pupil: Reader) -> None:
    keep(pupil, {EDGE: [day(-7), day(-7), 0, 0]})
    pupil.open("warm-up.html")
    pupil.page.click("#start")
    asked = pupil.page.locator("#asked")
    expect(asked).to_contain_text("One black piece has nowhere to go.")
    expect(asked).to_contain_text("White to move")
    expect(asked).not_to_contain_text("The centre first")
    pupil.page.click("#show")
    expect(asked).to_contain_text("9.\u202fb4")
    expect(asked).not_to_contain_text("The centre first")
    pupil.page.click("#knew")
    expect(asked).to_contain_text("From lesson 1: The centre first; comes back on Monday 23 March")
    link = pupil.page.locator("#link").get_attribute("href")
    assert link == "lessons/centre-first.html#x-edge-knight"


def test_the_board_of_a_question_is_that_of_the_exercise(pupil: Reader) -> None:
    drawn = "(wanted) => probe.placementOf(document.querySelector(wanted))"
    pupil.open("lessons/centre-first.html")
    wanted = pupil.all(drawn, "#x-edge-knight svg.bd")
    keep(pupil, {EDGE: [day(-7), day(-7), 0, 0]})
    pupil.open("warm-up.html")
    pupil.page.click("#start")
    assert pupil.all(drawn, "#qb svg.bd") == wanted
    label = pupil.page.locator("#qb svg").get_attribute("aria-label") or ""
    assert "knights on" in label
    assert label.startswith("Board. White: king on ")


def test_neighbours_come_from_different_lessons(pupil: Reader) -> None:
    pupil.open("my-work.html")
    found = pupil.all("[...document.querySelectorAll('a.mark')].map((mark) => mark.dataset.id)")
    some = [ident for ident in found if ident.startswith(("centre-first/", "men-out/"))]
    keep(pupil, {ident: [day(-8), day(-8), 0, 0] for ident in some})
    pupil.open("warm-up.html")
    expect(pupil.page.locator("#state")).to_contain_text("takes the 12 that have waited longest")
    pupil.page.click("#start")
    lessons = []
    for _ in range(4):
        answer(pupil, "#knew")
        lessons.append(pupil.page.locator("#link").inner_text())
        pupil.page.click("#on")
    assert all(one != next_one for one, next_one in pairwise(lessons))


def asked_round(reader: Reader, upto: str) -> list[str]:
    """Return the questions of a mixed round."""
    reader.open("warm-up.html")
    reader.page.select_option("#upto", upto)
    reader.page.click("#mixed")
    found = []
    while reader.page.locator("#asked").is_visible():
        found.append(reader.page.locator("#q").inner_text())
        answer(reader, "#knew")
        reader.page.click("#on")
    return found


def test_a_mixed_round_is_the_same_all_day_and_another_tomorrow(pupil: Reader) -> None:
    first = asked_round(pupil, "2")
    assert len(first) == 12
    assert asked_round(pupil, "2") == first
    pupil.page.clock.set_fixed_time(f"{TODAY + timedelta(1)}T10:00:00")
    assert asked_round(pupil, "2") != first


def test_a_mixed_round_is_practice_and_leaves_the_days_alone(pupil: Reader) -> None:
    before = {ident: [day(-2), day(-1), 1, 0] for ident in cards_of(pupil)}
    keep(pupil, before)
    asked_round(pupil, "0")
    after = kept(pupil)
    assert {ident: after[ident] for ident in before} == before


def test_the_warm_up_goes_by_keyboard_alone(pupil: Reader) -> None:
    keep(pupil, {EDGE: [day(-7), day(-7), 0, 0], TWO: [day(-8), day(-8), 0, 0]})
    pupil.open("warm-up.html")
    pupil.focus("start")
    pupil.press("Enter")
    for _ in range(2):
        assert pupil.all("document.activeElement.id") == "at"
        pupil.press("Tab")
        assert pupil.all("document.activeElement.id") == "show"
        pupil.press("Enter")
        assert pupil.all("document.activeElement.id") == "knew"
        pupil.press("Enter")
        assert pupil.all("document.activeElement.id") == "on"
        pupil.press("Enter")
    assert pupil.all("document.activeElement.id") == "end-h"
    assert [item[2] for item in kept(pupil).values()] == [1, 1]


# ---------------------------------------------------------------------- along, in, forgotten

WORK: Final[Items] = {EDGE: [20500, 20510, 1, 0], TWO: [20501, 20501, 0, 1]}


def test_work_is_taken_along_forgotten_and_brought_in_again(pupil: Reader) -> None:
    keep(pupil, WORK)
    pupil.open("my-work.html")
    text = pupil.page.input_value("#out")
    assert text.startswith("plybook work 1 first-principles\n")
    pupil.page.click("#clear")
    assert pupil.all("document.activeElement.id") == "no"
    pupil.page.click("#yes")
    assert kept(pupil) == {}
    assert pupil.all("document.activeElement.id") == "clear"
    pupil.page.fill("#in", text)
    pupil.page.click("#take")
    assert kept(pupil) == WORK
    expect(pupil.page.locator("#said")).to_have_text("Added. New: 2. Replaced: 0. Unchanged: 0.")


def test_work_comes_in_from_a_file_and_goes_out_as_one(pupil: Reader, tmp_path: Path) -> None:
    keep(pupil, WORK)
    pupil.open("my-work.html")
    with pupil.page.expect_download() as download:
        pupil.page.click("#save")
    assert download.value.suggested_filename == "my-work.txt"
    saved = tmp_path / "my-work.txt"
    download.value.save_as(saved)
    pupil.page.click("#clear")
    pupil.page.click("#yes")
    pupil.page.set_input_files("#file", saved)
    expect(pupil.page.locator("#said")).to_contain_text("New: 2.")
    assert kept(pupil) == WORK


def test_the_later_date_counts(pupil: Reader) -> None:
    keep(pupil, WORK)
    pupil.open("my-work.html")
    text = pupil.page.input_value("#out")
    keep(pupil, {EDGE: [20505, 20600, 0, 1], TWO: [20400, 20450, 0, 0]})
    pupil.open("my-work.html")
    pupil.page.fill("#in", text)
    pupil.page.click("#take")
    assert kept(pupil) == {EDGE: [20500, 20600, 0, 1], TWO: [20400, 20501, 0, 1]}
    expect(pupil.page.locator("#said")).to_contain_text("New: 0. Replaced: 1. Unchanged: 1.")


@pytest.mark.parametrize("steps", [(0, 2), (2, 0), (1, 1)])
def test_of_one_day_the_item_with_more_recalls_counts(
    pupil: Reader, steps: tuple[int, int]
) -> None:
    here, there = steps
    keep(pupil, {EDGE: [20500, 20510, there, 0]})
    pupil.open("my-work.html")
    text = pupil.page.input_value("#out")
    keep(pupil, {EDGE: [20500, 20510, here, 1]})
    pupil.open("my-work.html")
    pupil.page.fill("#in", text)
    pupil.page.click("#take")
    taken = there > here
    assert kept(pupil) == {EDGE: [20500, 20510, max(steps), 0 if taken else 1]}
    said = f"New: 0. Replaced: {int(taken)}. Unchanged: {int(not taken)}."
    expect(pupil.page.locator("#said")).to_contain_text(said)


@pytest.mark.parametrize(
    ("change", "said"),
    [
        pytest.param(lambda text: "", "Put the text into the box first", id="nothing"),
        pytest.param(lambda text: "hello", "This text is not work from this site", id="other text"),
        pytest.param(lambda text: text.replace("20510", "20511"), "was changed", id="a slip"),
        pytest.param(lambda text: text[:60], "missing", id="half of it"),
        pytest.param(
            lambda text: text.replace("first-principles", "another"),
            "for another course",
            id="course",
        ),
    ],
)
def test_what_cannot_be_work_changes_nothing(pupil: Reader, change: Any, said: str) -> None:
    keep(pupil, WORK)
    pupil.open("my-work.html")
    pupil.page.fill("#in", change(pupil.page.input_value("#out")))
    pupil.page.click("#take")
    heard = pupil.page.locator("#said").inner_text()
    assert said in heard
    assert kept(pupil) == WORK


@pytest.mark.parametrize("way", ["no", "Escape"])
def test_forgetting_asks_first(pupil: Reader, way: str) -> None:
    keep(pupil, WORK)
    pupil.open("my-work.html")
    pupil.focus("clear")
    pupil.press("Enter")
    expect(pupil.page.locator("#sure")).to_be_visible()
    pupil.press("Enter" if way == "no" else "Escape")  # the focus stands on "No, keep it"
    expect(pupil.page.locator("#sure")).to_be_hidden()
    assert pupil.all("document.activeElement.id") == "clear"
    assert kept(pupil) == WORK


# ---------------------------------------------------------------------- refused, without script

REFUSED: Final = """Object.defineProperty(window, "localStorage", {
    get() { throw new DOMException("refused", "SecurityError"); },
});"""


def test_a_browser_that_keeps_nothing_is_told_so(
    browser: Browser, sites: Mapping[str, Path]
) -> None:
    with reading(browser, sites["press"]) as reader:
        reader.page.add_init_script(REFUSED)
        reader.open("my-work.html")
        expect(reader.page.locator("#now")).to_contain_text("This browser keeps nothing")
        reader.open("warm-up.html")
        expect(reader.page.locator("#state")).to_contain_text("This browser keeps nothing")
        assert len(asked_round(reader, "0")) > 5
        reader.open("lessons/centre-first.html")
        reader.page.locator(".cards summary").first.click()
        reader.page.get_by_role("button", name="Knew it").first.click()


def test_without_script_the_pages_can_be_read(browser: Browser, sites: Mapping[str, Path]) -> None:
    with reading(browser, sites["press"], java_script_enabled=False) as reader:
        reader.open("my-work.html")
        expect(reader.page.locator(".without")).to_contain_text("With JavaScript, this page")
        expect(reader.page.locator("a.mark").first).to_be_visible()
        expect(reader.page.locator("textarea").first).to_be_hidden()
        reader.open("warm-up.html")
        assert reader.page.locator(".without a").count() == 7
        expect(reader.page.get_by_role("button")).to_have_count(0)
        reader.open("lessons/centre-first.html")
        reader.page.locator(".cards summary").first.click()
        expect(reader.page.get_by_role("button", name="Knew it")).to_have_count(0)


# ---------------------------------------------------------------------- paper and rules


def test_the_columns_of_the_plan_begin_level_and_below_the_rule(pupil: Reader) -> None:
    for medium in ("screen", "print"):
        pupil.open("plan.html", whole=True)
        pupil.page.emulate_media(media=medium)
        rule = pupil.all("document.getElementById('what-h').getBoundingClientRect().bottom")
        heads = pupil.all(
            """[...document.querySelectorAll('.pl h3')]
                .map((head) => head.getBoundingClientRect()).map((box) => [box.left, box.top])"""
        )
        tops = {left: min(top for at, top in heads if at == left) for left, _ in heads}
        assert len(tops) == 2, medium
        assert len({round(top) for top in tops.values()}) == 1, medium
        assert min(tops.values()) > rule + 8, medium


def test_the_plan_is_printed_week_by_week(pupil: Reader) -> None:
    need_module("pypdfium2", of="pypdfium2")
    import pypdfium2  # type: ignore[import-untyped]  # it ships no types

    pupil.open("plan.html", whole=True)
    document = pypdfium2.PdfDocument(pupil.page.pdf(format="A4", prefer_css_page_size=True))
    texts = [sheet.get_textpage().get_text_range() for sheet in document]
    assert [round(side) for side in document[0].get_size()] == [595, 842]
    assert "Recall plan" in texts[0]
    assert texts[0].count("8 weeks ago") == 7  # one a lesson, on the first sheet
    assert "Name the four squares of the centre." in "".join(texts[1:])


@pytest.mark.parametrize("light", ["light", "dark"])
@pytest.mark.parametrize("theme", ["press", "slate"])
def test_no_state_of_the_pages_breaks_a_rule(
    browser: Browser, sites: Mapping[str, Path], theme: str, light: str
) -> None:
    need_module("axe_playwright_python", of="axe-playwright-python")
    with reading(browser, sites[theme], color_scheme=light) as reader:
        reader.page.clock.set_fixed_time(f"{TODAY}T10:00:00")
        keep(reader, {EDGE: [day(-7), day(-7), 0, 1], TWO: [day(-99), day(-90), 3, 0]})
        reader.open("my-work.html", whole=True)
        reader.page.click("#clear")
        assert violations(reader) == []
        reader.open("warm-up.html", whole=True)
        assert violations(reader) == []
        reader.page.click("#start")
        assert violations(reader) == []
        answer(reader, "#knew")
        assert violations(reader) == []
        reader.page.click("#on")
        assert violations(reader) == []
        reader.open("plan.html", whole=True)
        assert violations(reader) == []
