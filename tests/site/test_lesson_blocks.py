"""The text and the blocks of a lesson page: links, pictures, claims, tags, exercises, cards."""

from __future__ import annotations

from bs4 import BeautifulSoup, Tag

from small_course import one, soup_of

# ---------------------------------------------------------------------- running text


def test_a_move_in_prose_leads_to_its_place_and_one_that_stands_nowhere_is_text(
    lesson: BeautifulSoup,
) -> None:
    first = one(lesson, "article > p:first-of-type")
    found = [(tag["href"], tag.text) for tag in first.select("a.m")]
    assert found == [("#main@1.e4", "1.\u202fe4"), ("#main@1...d5", "1…d5!")]
    assert "9.Nf3" in first.text


def test_links_are_those_of_the_site(lesson: BeautifulSoup) -> None:
    hrefs = {tag.text: tag["href"] for tag in lesson.select("article > p a")}
    assert hrefs["the end"] == "#main@3.Nc3"
    assert hrefs["the other lesson"] == "pins.html#other@2...Nc6"
    assert hrefs["a page"] == "../lessons/pins.html#h-more"
    assert hrefs["a rule"] == "../principles/look-twice.html"
    assert hrefs["a site"] == "https://example.org/x"


def test_an_image_leads_to_the_folder_of_images_with_its_size(lesson: BeautifulSoup) -> None:
    image = one(lesson, "article img")
    assert (image["src"], image["width"], image["height"]) == ("../images/board.png", "40", "30")


def test_the_letters_of_a_lesson_are_those_it_wishes_for(site: dict[str, bytes]) -> None:
    soup = soup_of(site, "lessons/pins.html")
    assert one(soup, "[id='other@2.Nf3']").text == "2.\u202fSf3"


# ---------------------------------------------------------------------- the other blocks


def test_diagrams_are_numbered_and_say_where_they_stand(lesson: BeautifulSoup) -> None:
    first, second = lesson.select("figure.dg")
    assert (first["id"], second["id"]) == ("d-1", "d-2")
    assert one(first, "figcaption a")["href"] == "#main@2.exd5"
    assert "After 2.exd5" in one(first, "figcaption").text
    label = str(one(first, "svg.bd")["aria-label"])
    assert "Black to move" in label
    assert "d8 attacks d5" in label
    assert one(second, "svg.bd")["aria-label"] == "The queen came out"


def test_a_claim_is_printed_and_the_coachs_word_is_marked_as_such(lesson: BeautifulSoup) -> None:
    items = lesson.select("section.cl li")
    assert [one(item, ".said").text for item in items] == [
        "The queen on d5 is attacked by 1 white man and not guarded.",
        "The queen on d5 is hanging: White can take it and win something.",
        "White stands well",
    ]
    known = ["proved", "proved", "the coach’s word"]
    assert [tag.text for tag in lesson.select("section.cl .kn")] == known


def test_the_signs_of_claims_are_explained_once_a_page(lesson: BeautifulSoup) -> None:
    (legend,) = lesson.select(".knl")
    assert [tag.text for tag in legend.select("b")] == ["proved", "the coach’s word"]


def test_tags_join_a_move_and_a_principle(lesson: BeautifulSoup) -> None:
    first, second = lesson.select("ul.tags li")
    assert [tag["href"] for tag in first.select("a")] == [
        "#main@2...Qxd5",
        "../principles/look-twice.html",
    ]
    assert "it hits <her>" in second.text


def test_tags_have_the_words_of_the_pages_of_principles(lesson: BeautifulSoup) -> None:
    assert [tag.text for tag in lesson.select("ul.tags .verb")] == ["Broken", "Punished"]


def full_stars(row: Tag) -> tuple[int, int]:
    """Return how many stars of a row are full, and how many there are."""
    fills = [star["fill"] for star in row.select("path")]
    return fills.count("currentColor"), len(fills)


def test_a_level_is_shown_by_its_stars_and_its_name(lesson: BeautifulSoup) -> None:
    """Names such as those of the harbour tell no order; the stars do."""
    head, exercise = one(lesson, ".head .stars"), one(lesson, "#x-hit-her .xl")
    assert full_stars(head) == (1, 2)
    assert head["aria-label"] == "level 1 of 2"
    assert full_stars(one(exercise, ".stars")) == (2, 2)
    assert exercise.text.strip() == "Harbour"


def test_the_front_page_tells_the_levels_from_easy_to_hard(site: dict[str, bytes]) -> None:
    first, *levels = one(soup_of(site, "index.html"), ".levels").select("span")
    assert first.text == "From easy to hard:"
    assert [level.text.strip() for level in levels] == ["Slipway", "Harbour"]
    assert [full_stars(level) for level in levels] == [(1, 2), (2, 2)]


def test_an_exercise_hides_hints_and_answer_until_they_are_asked_for(
    lesson: BeautifulSoup,
) -> None:
    exercise = one(lesson, "#x-hit-her")
    assert one(exercise, ".task").text == "Hit the “queen”."
    hint, answer = exercise.select("details.hint, details.sol")
    assert "A knight can." in hint.text
    assert "3.\u202fNc3" in answer.text
    assert one(answer, ".wrong li").text == "3.\u202fa3 Too slow, 3…Qe4+ hurts."
    assert "Nc3" not in exercise.text.replace(answer.text, "")


def test_a_card_shows_its_board(lesson: BeautifulSoup) -> None:
    card = one(lesson, "section.cards li")
    assert one(card, ".q .cb svg.bd")
    assert "What now?" in one(card, ".q").text
    assert "Take it." in one(card, "details").text
