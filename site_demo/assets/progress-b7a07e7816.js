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
const calls = [];
function today() {
const now = new Date();
return Math.floor(Date.UTC(now.getFullYear(), now.getMonth(), now.getDate()) / DAY);
}
function itemOf(value) {
const isItem =
Array.isArray(value) &&
value.length === 4 &&
value.every((part) => Number.isInteger(part) && part >= 0 && part < 1e6) &&
value[0] <= value[1] &&
value[3] < 2;
return isItem ? (value) : null;
}
function load() {
const items = {};
try {
const kept = JSON.parse(localStorage.getItem(key) || "{}");
if (kept.v !== 1) return items;
for (const [id, value] of Object.entries(kept.items || {})) {
const item = itemOf(value);
if (item && ID.test(id)) items[id] = item;
}
} catch (_) {
}
return items;
}
function save(items) {
try {
localStorage.setItem(key, JSON.stringify({ v: 1, items }));
} catch (_) {
}
for (const call of calls) call();
}
function update(id, change) {
const items = load();
const item = (items[id] = change(items[id]));
save(items);
return item;
}
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
record(id, help) {
const day = today();
return update(id, (item) => {
if (!item) return [day, day, 0, help ? 1 : 0];
if (help) return [item[0], day, 0, 1];
if (day < dueOn(item) || item[2] >= gaps.length) return [item[0], item[1], item[2], 0];
return [item[0], day, item[2] + 1, 0];
});
},
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
}
for (const call of calls) call();
},
exportText() {
const items = Object.entries(load()).sort(([a], [b]) => (a < b ? -1 : 1));
const rows = ["plybook work 1 " + course, ...items.map(([id, item]) => id + " " + item.join(" "))];
return rows.join("\n") + "\nsum " + sum(rows.join("\n")) + "\n";
},
readText(text) {
const rows = text.replace(/^\ufeff/, "").trim().split(/[ \t]*\r?\n/);
const head = /^plybook work 1 (.*)$/.exec(rows[0]);
if (!head || rows.length > MOST) return { fault: "not-ours" };
if (head[1] !== course) return { fault: "other-course" };
const end = rows.pop();
if (end !== "sum " + sum(rows.join("\n"))) return { fault: "damaged" };
const items = {};
for (const row of rows.slice(1)) {
const [id, ...parts] = row.split(" ");
const item = itemOf(parts.map((part) => (/^\d+$/.test(part) ? Number(part) : -1)));
if (!item || !ID.test(id)) return { fault: "damaged" };
items[id] = item;
}
return { items };
},
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
onChange(call) {
calls.push(call);
},
};
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
