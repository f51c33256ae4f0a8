/*! plybook, GPL-3.0-or-later */
/**
 * The preview's own script: it waits for the word that this page has changed, loads it anew, and
 * brings the reader back to where he was. The place on the board stands in the address.
 */
(function () {
  "use strict";
  const me = /** @type {HTMLScriptElement} */ (document.currentScript);
  const key = "plybook:preview:" + location.pathname;
  const folder = me.src.replace(/[^/]*$/, "");
  const shown = me.dataset.number;
  /** @type {EventSource|null} */
  let news = null;

  /** @returns {HTMLDetailsElement[]} */
  const folds = () => Array.from(document.querySelectorAll("details"));

  /** @param {HTMLDetailsElement} fold @returns {string} */
  const named = (fold) => fold.querySelector("summary")?.textContent || "";

  function keepPlace() {
    const place = {
      left: scrollX,
      top: scrollY,
      focus: document.activeElement?.id || "",
      open: folds().map((fold) => [named(fold), fold.open]),
    };
    try {
      sessionStorage.setItem(key, JSON.stringify(place));
    } catch (_) {
      // Without a store the page is shown from its top.
    }
  }

  function findPlace() {
    let text = null;
    try {
      text = sessionStorage.getItem(key);
      sessionStorage.removeItem(key);
    } catch (_) {
      // As above.
    }
    if (!text) return;
    const place = JSON.parse(text);
    const now = folds();
    place.open.forEach((/** @type {[string, boolean]} */ [name, isOpen], /** @type {number} */ at) => {
      const fold = now[at];
      if (fold && named(fold) === name) fold.open = isOpen;
    });
    if (place.focus) document.getElementById(place.focus)?.focus({ preventScroll: true });
    const back = () => scrollTo({ left: place.left, top: place.top, behavior: "instant" });
    back();
    // The board goes to its place when it is drawn, and pictures push the text down.
    requestAnimationFrame(() => requestAnimationFrame(back));
  }

  function listen() {
    if (news || document.hidden) return;
    news = new EventSource(folder + "news?page=" + encodeURIComponent(location.pathname));
    news.onmessage = (event) => {
      if (event.data === shown) return;
      keepPlace();
      location.reload();
    };
  }

  /** A page in the background gives its place up: a browser has few for one address. */
  function follow() {
    if (!document.hidden) return listen();
    if (news) news.close();
    news = null;
  }

  addEventListener("load", findPlace);
  document.addEventListener("visibilitychange", follow);
  listen();
})();
