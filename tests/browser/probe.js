// What a reader sees, read from the laid-out page: never from the page script's own variables.
globalThis.probe = (() => {
  /** Whether an element takes place on the page (checkVisibility is true of an undrawn SVG group). */
  function shown(element) {
    const box = element.getBoundingClientRect();
    return box.width > 0 && box.height > 0 && getComputedStyle(element).visibility === "visible";
  }

  /** Whether Black is below: a live board shows one of two sets of coordinates, a still one has one. */
  function isTurned(svg) {
    const below = svg.querySelector('[href="#p-cw"]');
    return !below || getComputedStyle(below).display === "none";
  }

  /** The placement a1 to h8 of a drawn board, from where its men stand on the screen. */
  function placementOf(svg) {
    const inverse = svg.getScreenCTM().inverse();
    const turned = isTurned(svg);
    const squares = Array(64).fill(".");
    for (const man of svg.querySelectorAll(".men use")) {
      const box = man.getBoundingClientRect();
      const centre = new DOMPoint(box.x + box.width / 2, box.y + box.height / 2);
      const { x, y } = centre.matrixTransform(inverse);
      const column = Math.floor(x / 45);
      const row = Math.floor(y / 45);
      const square = turned ? 8 * row + 7 - column : 8 * (7 - row) + column;
      const [, side, letter] = /^#p-([wb])([kqrbnp])$/.exec(man.getAttribute("href"));
      // Two men on a square would hide a fault: it is named instead.
      squares[square] = squares[square] === "." ? (side === "w" ? letter.toUpperCase() : letter) : "!";
    }
    return squares.join("");
  }

  /** Squares of the two traces of the last move, as they stand on the screen. */
  function tracesOf(svg) {
    const inverse = svg.getScreenCTM().inverse();
    const turned = isTurned(svg);
    return [...svg.querySelectorAll(".tr use")].map((trace) => {
      const box = trace.getBoundingClientRect();
      const { x, y } = new DOMPoint(box.x + box.width / 2, box.y + box.height / 2).matrixTransform(inverse);
      const file = turned ? 7 - Math.floor(x / 45) : Math.floor(x / 45);
      const rank = turned ? Math.floor(y / 45) : 7 - Math.floor(y / 45);
      return "abcdefgh"[file] + (rank + 1);
    });
  }

  const text = (id) => document.getElementById(id).textContent.trim();

  /** All that the plate says now. */
  function plate() {
    const svg = document.querySelector("#plate svg.bd");
    const current = document.querySelectorAll("main [aria-current]");
    const slider = document.getElementById("sl");
    return {
      placement: placementOf(svg),
      traces: tracesOf(svg),
      view: isTurned(svg) ? "black" : "white",
      places: [...current].map((link) => link.id),
      caption: text("cap"),
      turn: text("turn"),
      title: text("line-now"),
      words: text("words"),
      picture: svg.getAttribute("aria-label"),
      live: text("live"),
      sets: [...svg.querySelectorAll(".set")].filter(shown).map((set) => set.dataset.at),
      roles: [...document.querySelectorAll("#lg li")].filter(shown).map((row) => row.dataset.r),
      rail: [...slider.querySelectorAll("svg.rail")].filter(shown).map((rail) => rail.dataset.line),
      slider: ["valuemin", "valuenow", "valuemax"].map((key) => Number(slider.getAttribute("aria-" + key))),
      said: slider.getAttribute("aria-valuetext"),
      back: document.getElementById("prv").getAttribute("aria-label"),
      onward: document.getElementById("nxt").getAttribute("aria-label"),
      atStart: document.getElementById("prv").getAttribute("aria-disabled") === "true",
      atEnd: document.getElementById("nxt").getAttribute("aria-disabled") === "true",
      choices: [...document.querySelectorAll("#alts a")].map((link) => decodeURIComponent(link.hash.slice(1))),
      leave: shown(document.getElementById("leave")),
      focus: document.activeElement.id,
    };
  }

  /** Whether the middle of an element can be seen: inside the window and nothing lies over it. */
  function isSeen(element) {
    const boxes = [...element.getClientRects()].filter((box) => box.width && box.height);
    return boxes.some((box) => {
      const x = Math.min(Math.max(box.x + box.width / 2, 0), innerWidth - 1);
      const y = box.y + box.height / 2;
      if (y < 0 || y >= innerHeight) return false;
      const top = document.elementFromPoint(x, y);
      return Boolean(top) && (element.contains(top) || top.contains(element));
    });
  }

  return { shown, placementOf, plate, isSeen };
})();
