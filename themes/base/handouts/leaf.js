/**
 * Many pages in one file: shows the one that the address names, as if it were alone.
 *
 * Without it all pages stand one after another and every link works. Ids and fragments begin with
 * the name of their page, `lessons/forks/`; the page that is shown gets back the plain ids that the
 * scripts behind this one look for. Only places (`line@4...g6`) keep the long form, so that an
 * address names its page.
 */
(function () {
  "use strict";
  const leaves = /** @type {NodeListOf<HTMLElement>} */ (document.querySelectorAll(".leaf"));

  /** @returns {string} the fragment of the address, without `#` */
  function asked() {
    try {
      return decodeURIComponent(location.hash.slice(1));
    } catch (_) {
      return "";
    }
  }

  /** @param {string} fragment @returns {HTMLElement} the page that a fragment names, else the first */
  function leafOf(fragment) {
    const named = [...leaves].find((leaf) => fragment === leaf.id || fragment.startsWith(leaf.id + "/"));
    return named || leaves[0];
  }

  const names = [...leaves].map((leaf) => leaf.id);
  const shown = leafOf(asked());
  const lead = shown.id + "/";

  /** @param {string} name */
  function plain(name) {
    return name.startsWith(lead) && !name.includes("@") ? name.slice(lead.length) : name;
  }

  for (const leaf of leaves) {
    if (leaf !== shown) leaf.remove();
  }
  for (const name of ["id", "for", "aria-labelledby", "aria-describedby", "aria-controls"]) {
    for (const element of shown.querySelectorAll("[" + name + "]")) {
      const value = element.getAttribute(name) || "";
      element.setAttribute(name, value.split(" ").map(plain).join(" "));
    }
  }
  shown.classList.add("now");
  document.documentElement.dataset.parts = shown.dataset.parts;
  document.documentElement.lang = shown.lang;
  document.documentElement.dir = shown.dir;
  document.title = shown.dataset.title || document.title;

  /** @param {string} fragment */
  function turnTo(fragment) {
    const target = fragment.includes("@") ? null : document.getElementById(plain(fragment));
    if (!target || target === shown) return;
    target.tabIndex = -1;
    target.focus({ preventScroll: true });
    target.scrollIntoView();
  }

  document.addEventListener("click", (event) => {
    const link = /** @type {Element} */ (event.target).closest("a[href]");
    const address = (link && link.getAttribute("href")) || "";
    if (address.startsWith("#")) setTimeout(() => turnTo(decodeURIComponent(address.slice(1))));
    // A link that a script made leads to a page by its file.
    const page = /^([^:#?]+)\.html(?:#(.*))?$/.exec(address);
    const name = page && new URL(page[1], "file:///" + shown.id).pathname.slice(1);
    if (!page || !name || !names.includes(name)) return;
    event.preventDefault();
    location.hash = name + (page[2] ? "/" + page[2] : "");
  });
  addEventListener("hashchange", () => {
    // Another page starts afresh: its scripts find it as they would in a file of its own.
    if (leafOf(asked()) !== shown) location.reload();
  });
  addEventListener("load", () => turnTo(asked()));
})();
