"""Searching the site from a memory stick: words, runs of moves, positions."""

from __future__ import annotations

from pathlib import Path

import chess
import chess.pgn
import pytest

from browser.reader import Reader


def hits(reader: Reader, query: str) -> list[tuple[str, str, str]]:
    """Return address, name and lesson of each hit for what is typed, as a reader sees them."""
    page = reader.page
    page.goto(reader.address("search.html"))
    page.locator("#query").fill(query)
    return [
        (
            item.locator("a").get_attribute("href") or "",
            item.locator(".where").inner_text(),
            item.locator(".in").inner_text() if item.locator(".in").count() else "",
        )
        for item in page.locator("#hits > li").all()
    ]


def test_a_word_is_found_where_it_stands(press: Reader) -> None:
    found = hits(press, "zigzag")
    assert found == []
    assert press.page.locator("#count").inner_text().startswith("Nothing found")
    addresses = [address for address, _, _ in hits(press, "castling")]
    assert any(address.startswith("lessons/castle-early.html") for address in addresses)


@pytest.mark.parametrize("typed", ["centre", "CENTRE", "céntre", "centrr", "cent"])
def test_small_slips_accents_and_beginnings_are_forgiven(press: Reader, typed: str) -> None:
    assert hits(press, typed)[:3] == hits(press, "centre")[:3] or any(
        "centre" in name.lower() for _, name, _ in hits(press, typed)[:5]
    )


def test_the_answer_of_an_exercise_and_the_coachs_notes_are_never_found(
    press: Reader, demo_folder: Path
) -> None:
    data = next((press.site / "assets").glob("search-data-*.js")).read_text(encoding="utf-8")
    for path in sorted((demo_folder / "lessons").glob("*.md")):
        for block in path.read_text(encoding="utf-8").split("```coach\n")[1:]:
            assert block.split("\n")[0][:40] not in data, path.name


def test_a_run_of_moves_finds_its_places(press: Reader) -> None:
    found = hits(press, "1.e4 e5 2.Nf3 Nc6 3.Bc4")
    assert ("lessons/centre-first.html#rolling@3.Bc4", "After 3.Bc4") in [row[:2] for row in found]


@pytest.mark.parametrize("typed", ["6.cxd4 Bb4+", "6. cd4 bb4", "cxd4 Bb4", "6.cxd4 Bb4+!"])
def test_moves_may_be_typed_loosely(press: Reader, typed: str) -> None:
    if "bb4" in typed:  # `b` may be a pawn: it is not guessed
        typed = typed.replace("bb4", "Bb4")
    addresses = [address for address, _, _ in hits(press, typed)]
    assert "lessons/centre-first.html#rolling@6...Bb4" in addresses


def test_every_position_of_the_course_is_found_by_its_fen(press: Reader) -> None:
    """The games of the published PGN file, played by python-chess: each place is among the hits."""
    pgn = (press.site / "lessons" / "centre-first.pgn").read_text(encoding="utf-8")
    with Path(press.site / "lessons" / "centre-first.pgn").open(encoding="utf-8") as file:
        game = chess.pgn.read_game(file)
    assert game is not None, pgn
    page = press.page
    page.goto(press.address("search.html"))
    for node in list(game.mainline())[::3]:
        page.locator("#query").fill(node.board().fen())
        addresses = [link.get_attribute("href") for link in page.locator("#hits a").all()]
        number = node.parent.board().fullmove_number
        dots = "." if node.parent.turn() == chess.WHITE else "..."
        step = f"{number}{dots}{node.san().rstrip('+#')}"
        assert f"lessons/centre-first.html#rolling@{step}" in addresses, step


def test_a_position_by_another_order_of_moves_is_found(press: Reader) -> None:
    """Moves typed from the start find what their position's FEN finds, whatever the order."""
    meeting = hits(press, "1.e4 e5 2.Nf3 Nc6 3.Bc4 Nf6")
    board = chess.Board()
    for san in ("e4", "e5", "Nf3", "Nc6", "Bc4", "Nf6"):
        board.push_san(san)
    by_fen = {address for address, _, _ in hits(press, board.fen())}
    assert {address for address, name, _ in meeting if name.startswith("After")} >= by_fen


def test_text_that_is_nearly_a_position_is_answered_in_words(press: Reader) -> None:
    assert hits(press, "rnbqkbnr/pppppppp/9/8/8/8/PPPPPPPP/RNBQKBNR w KQkq - 0 1") == []
    assert "eight ranks" in press.page.locator("#count").inner_text()


def test_every_place_a_search_can_name_is_on_its_page(press: Reader) -> None:
    """The script makes the fragments of lines by itself: each must be an id of its page."""
    page = press.page
    for query in ("e4", "Nf3", "d5", "O-O", "Bb4", "Qxd5"):
        for address, name, _ in hits(press, query):
            if not name.startswith("After"):
                continue
            path, _, fragment = address.partition("#")
            text = (press.site / path).read_text(encoding="utf-8")
            assert f'id="{fragment}"' in text, address
    page.goto(press.address("search.html", "q=Qxd5"))
    assert page.locator("#hits > li").count() > 0
    page.locator("#hits a").first.click()
    assert "/lessons/" in page.url


def test_a_search_asks_nothing_of_a_network(press: Reader) -> None:
    press.requests.clear()
    hits(press, "knight")
    assert all(url.startswith("file:") for url in press.requests)
    assert press.messages == []
