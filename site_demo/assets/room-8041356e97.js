(function () {
"use strict";
const FILES = "abcdefgh";
const STILL = 2500; // milliseconds without a stir after which the controls go
const data = JSON.parse(document.getElementById("room-data")?.textContent || "{}");
function byId(id) {
return (document.getElementById(id));
}
const frame = byId("board");
const svg = (frame.querySelector("svg"));
const board = window.plybook.startBoard(svg, data.boards[0]);
const sets = (svg.querySelectorAll(".set"));
const steps = ([...document.querySelectorAll(".step")]);
const first = (data.steps.find(Boolean));
let at = 0;
let isTurned = false;
let isEmpty = false;
function square(name) {
return FILES.indexOf(name[0]) + 8 * (Number(name[1]) - 1);
}
function rowAt() {
for (let step = at; step >= 0; step--) {
const row = data.steps[step];
if (row) return row;
}
return first;
}
function show() {
steps.forEach((step, index) => (step.hidden = index !== at));
const [placement, last, turned, marks, caption] = rowAt();
board.turn(Boolean(turned) !== isTurned);
board.show(data.boards[placement], last ? square(last) : -1, last ? square(last.slice(2)) : -1);
for (const set of sets) set.classList.toggle("on", set.dataset.at === marks && Boolean(data.steps[at]));
svg.setAttribute("aria-label", isEmpty ? data.text.empty : data.text.board.replace("{caption}", caption));
const isHeading = ["title", "part"].includes(steps[at].dataset.kind || "");
byId("part").textContent = (!isHeading && steps[at].dataset.part) || "";
byId("count").textContent = data.text.count
.replace("{at}", String(at + 1))
.replace("{count}", String(steps.length));
byId("ahead").textContent = ahead();
const isStart = at === 0;
document.body.classList.toggle("at-start", isStart);
byId("skip").setAttribute("aria-disabled", String(afterSide() === at));
const isEnd = at === steps.length - 1;
for (const id of ["back", "first", "before"]) byId(id).setAttribute("aria-disabled", String(isStart));
for (const id of ["on", "last", "after"]) byId(id).setAttribute("aria-disabled", String(isEnd));
byId("steps").scrollTop = 0;
}
function ahead() {
if (begins(at + 1)) return data.text.side;
const next = steps[at + 1]?.dataset.kind || "";
return ["hint", "answer"].includes(next) ? data.text[next] : "";
}
function depth(step) {
return Number(steps[step]?.dataset.depth || 0);
}
function begins(step) {
return steps[step]?.dataset.begins !== undefined;
}
function afterSide() {
const own = depth(at);
if (!own && !begins(at + 1)) return at;
let step = at + 1;
while (depth(step) > own || (own && depth(step) === own && !begins(step))) step += 1;
return step;
}
function go(wanted) {
const step = Math.max(0, Math.min(steps.length - 1, wanted));
if (step === at) return;
at = step;
empty(false);
show();
history.replaceState(history.state, "", "#" + (at + 1));
}
function partAt(way) {
const begins = (step) => steps[step].dataset.part !== steps[step - 1]?.dataset.part;
let step = at + way;
while (step > 0 && step < steps.length && !begins(step)) step += way;
return step;
}
function empty(isWanted) {
isEmpty = isWanted;
frame.classList.toggle("bare", isEmpty);
byId("empty").setAttribute("aria-pressed", String(isEmpty));
}
const acts = {
back: () => go(at - 1),
on: () => go(at + 1),
first: () => go(0),
last: () => go(steps.length - 1),
before: () => go(partAt(-1)),
after: () => go(partAt(1)),
skip: () => go(afterSide()),
turn: () => {
isTurned = !isTurned;
byId("turn").setAttribute("aria-pressed", String(isTurned));
show();
},
names: () => {
const isPlain = frame.classList.toggle("plain");
byId("names").setAttribute("aria-pressed", String(isPlain));
},
empty: () => {
empty(!isEmpty);
show();
},
};
for (const [id, act] of Object.entries(acts)) byId(id).addEventListener("click", act);
byId("dark").addEventListener("click", () => byId("lamp").click()); // the page's own, out of sight
const keys = {
ArrowRight: "on", " ": "on", PageDown: "on", ArrowLeft: "back", PageUp: "back",
Home: "first", End: "last", ArrowUp: "before", ArrowDown: "after", s: "skip", t: "turn", c: "names", e: "empty",
};
addEventListener("keydown", (event) => {
if (event.ctrlKey || event.metaKey || event.altKey) return;
const onControl = (event.target).closest("button, a");
if (event.key === " " && onControl) return;
const act = keys[event.key.length === 1 ? event.key.toLowerCase() : event.key];
if (!act) return;
event.preventDefault();
acts[act]();
});
let timer = 0;
for (const kind of ["pointermove", "pointerdown"]) {
addEventListener(kind, () => {
document.body.classList.add("stirred");
clearTimeout(timer);
timer = setTimeout(() => document.body.classList.remove("stirred"), STILL);
});
}
frame.addEventListener("click", acts.on);
const asked = Number(location.hash.slice(1));
if (asked >= 1 && asked <= steps.length) at = asked - 1;
show();
})();
