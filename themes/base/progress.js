/**
 * What a pupil has solved, kept by this browser alone: in local storage, never sent, never needed.
 *
 * Under the key `plybook:COURSE:work` lies `{"v":1,"items":{ID:[first,last,step,help]}}`. An ID is
 * `lesson/exercise` or `lesson/card-DIGEST`; first and last are days since 1970-01-01 by the local
 * calendar; step counts the recalls that went well; help is 1 when the last solution was helped.
 * A recall is due some weeks after `last`: the first number of `data-recall` on the page's root
 * (`1 3 8` where it says nothing) for step 0, the next for step 1; after the last number an item
 * is done.
 *
 * As text, one row an item (`ID first last step help`) between `plybook work 1 COURSE` and `sum N`.
 *
 * `plybook.progress` offers:
 *   load()             all items by ID; empty where storage is refused
 *   record(id, help)   it was solved today (or a card was known): returns its item
 *   fail(id)           it was asked again and not known: begins anew
 *   dueOn(item)        the day it is due, Infinity when it is done
 *   due(day?)          the IDs that are due on a day (today), the longest due first
 *   clear()            forgets all
 *   exportText()       all items as text
 *   readText(text)     {items} or {fault: "not-ours" | "other-course" | "damaged"}
 *   merge(items)       takes items in, the later of two for an ID (of one day the one with more
 *                      recalls): returns how many were new
 *   today(), isKept()  the day's number; whether this browser keeps anything
 *   onChange(call)     called after each change, also one made in another window
 */
(function () {
  "use strict";
  const root = document.documentElement;
  const course = root.dataset.course || "";
  const key = "plybook:" + course + ":work";
  const DAY = 86400000; // milliseconds
  const WEEK = 7; // days
  const MOST = 5000; // items: far beyond a course, and little to store
  const ID = /^[a-z0-9-]{1,80}\/[A-Za-z0-9_-]{1,80}$/;
  const gaps = (root.dataset.recall || "1 3 8").split(" ").map(Number);
  /** @type {(() => void)[]} */
  const calls = [];

  function today() {
    const now = new Date();
    return Math.floor(Date.UTC(now.getFullYear(), now.getMonth(), now.getDate()) / DAY);
  }

  /** Returns an item if it is one. @param {unknown} value @returns {WorkItem|null} */
  function itemOf(value) {
    const isItem =
      Array.isArray(value) &&
      value.length === 4 &&
      value.every((part) => Number.isInteger(part) && part >= 0 && part < 1e6) &&
      value[0] <= value[1] &&
      value[3] < 2;
    return isItem ? /** @type {WorkItem} */ (value) : null;
  }

  /** @returns {Work} */
  function load() {
    /** @type {Work} */
    const items = {};
    try {
      const kept = JSON.parse(localStorage.getItem(key) || "{}");
      if (kept.v !== 1) return items;
      for (const [id, value] of Object.entries(kept.items || {})) {
        const item = itemOf(value);
        if (item && ID.test(id)) items[id] = item;
      }
    } catch (_) {
      // Storage may be refused, or hold what another page wrote: nothing is known then.
    }
    return items;
  }

  /** @param {Work} items */
  function save(items) {
    try {
      localStorage.setItem(key, JSON.stringify({ v: 1, items }));
    } catch (_) {
      // Refused or full: the page works without.
    }
    for (const call of calls) call();
  }

  /** @param {string} id @param {(item: WorkItem|undefined) => WorkItem} change */
  function update(id, change) {
    const items = load();
    const item = (items[id] = change(items[id]));
    save(items);
    return item;
  }

  /** @param {WorkItem} item */
  function dueOn(item) {
    return item[2] < gaps.length ? item[1] + WEEK * gaps[item[2]] : Infinity;
  }

  const progress = {
    today,
    load,
    dueOn,

    isKept() {
      try {
        localStorage.setItem(key + "?", "1");
        localStorage.removeItem(key + "?");
        return true;
      } catch (_) {
        return false;
      }
    },

    /** @param {string} id @param {boolean} help @returns {WorkItem} */
    record(id, help) {
      const day = today();
      return update(id, (item) => {
        if (!item) return [day, day, 0, help ? 1 : 0];
        if (help) return [item[0], day, 0, 1];
        // Once more before its time is practice: the next date stays.
        if (day < dueOn(item) || item[2] >= gaps.length) return [item[0], item[1], item[2], 0];
        return [item[0], day, item[2] + 1, 0];
      });
    },

    /** @param {string} id @returns {WorkItem} */
    fail(id) {
      const day = today();
      return update(id, (item) => [item ? item[0] : day, day, 0, 1]);
    },

    due(day = today()) {
      const items = Object.entries(load()).filter(([, item]) => dueOn(item) <= day);
      items.sort((a, b) => dueOn(a[1]) - dueOn(b[1]) || (a[0] < b[0] ? -1 : 1));
      return items.map(([id]) => id);
    },

    clear() {
      try {
        localStorage.removeItem(key);
      } catch (_) {
        // Where storage is refused there is nothing to forget.
      }
      for (const call of calls) call();
    },

    exportText() {
      const items = Object.entries(load()).sort(([a], [b]) => (a < b ? -1 : 1));
      const rows = ["plybook work 1 " + course, ...items.map(([id, item]) => id + " " + item.join(" "))];
      return rows.join("\n") + "\nsum " + sum(rows.join("\n")) + "\n";
    },

    /** @param {string} text @returns {ReadWork} */
    readText(text) {
      const rows = text.replace(/^\ufeff/, "").trim().split(/[ \t]*\r?\n/);
      const head = /^plybook work 1 (.*)$/.exec(rows[0]);
      if (!head || rows.length > MOST) return { fault: "not-ours" };
      if (head[1] !== course) return { fault: "other-course" };
      const end = rows.pop();
      if (end !== "sum " + sum(rows.join("\n"))) return { fault: "damaged" };
      /** @type {Work} */
      const items = {};
      for (const row of rows.slice(1)) {
        const [id, ...parts] = row.split(" ");
        const item = itemOf(parts.map((part) => (/^\d+$/.test(part) ? Number(part) : -1)));
        if (!item || !ID.test(id)) return { fault: "damaged" };
        items[id] = item;
      }
      return { items };
    },

    /** @param {Work} more */
    merge(more) {
      const items = load();
      let taken = 0;
      for (const [id, item] of Object.entries(more)) {
        const own = items[id];
        if (!own) taken += 1;
        const isLater = !own || item[1] > own[1] || (item[1] === own[1] && item[2] > own[2]);
        const later = isLater ? item : own;
        items[id] = [Math.min(item[0], own ? own[0] : item[0]), later[1], later[2], later[3]];
      }
      save(items);
      return taken;
    },

    /** @param {() => void} call */
    onChange(call) {
      calls.push(call);
    },
  };

  /** Returns a check sum that notices a slip of the hand. @param {string} text */
  function sum(text) {
    let value = 1;
    for (const sign of text) value = (value * 31 + (sign.codePointAt(0) || 0)) % 999983;
    return value;
  }

  addEventListener("storage", (event) => {
    if (event.key === key || event.key === null) for (const call of calls) call();
  });

  Object.assign(window.plybook, { progress });
})();
