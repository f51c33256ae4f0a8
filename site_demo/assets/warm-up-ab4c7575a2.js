(function () {
"use strict";
const { progress } = window.plybook;
const root = document.documentElement;
const SVG = "http://www.w3.org/2000/svg";
const FILES = "abcdefgh";
const ROUND = 12; // questions of a round: about ten minutes at the start of a lesson
const FIGURINE = /\u0001(.)/;
const data = window.plybookWarmUp || { items: [], lessons: [] };
const words = JSON.parse(document.getElementById("warm-words")?.textContent || "{}");
const byName = new Map(data.items.map((item) => [item.id, item]));
function byId(id) {
return (document.getElementById(id));
}
function fill(phrase, values) {
return phrase.replace(/\{(\w+)\}/g, (_, name) => String(values[name]));
}
const PLACE = document.documentElement.lang.replace(/^en$/, "en-GB");
function dayWords(day) {
const date = new Date(day * 86400000);
const form = ({ weekday: "long", day: "numeric", month: "long", timeZone: "UTC" });
return date.toLocaleDateString(PLACE, form);
}
function setText(place, text) {
const parts = text.split(FIGURINE).map((part, at) => {
if (at % 2 === 0) return part;
const figurine = document.createElement("i");
figurine.textContent = part;
return figurine;
});
place.replaceChildren(...parts);
}
function inWords(placement) {
return ["w", "b"]
.map((side, at) => {
const groups = [];
for (const man of "kqrbnp") {
const letter = side === "w" ? man.toUpperCase() : man;
const squares = [];
for (let square = 0; square < 64; square++) {
if (placement[square] === letter) squares.push(FILES[square & 7] + ((square >> 3) + 1));
}
if (!squares.length) continue;
const name = words.men[man][squares.length > 1 ? 1 : 0];
const last = squares.pop() || "";
const listed = squares.length ? squares.join(", ") + " " + words.both + " " + last : last;
groups.push(fill(words.man_on, { man: name, squares: listed }));
}
return fill(words.men_of, { side: words.sides[at], men: groups.join(", ") || words.no_men });
})
.join(" ");
}
function setBoard(place, code) {
place.replaceChildren();
if (!code) return;
const isTurned = code[0] === "-";
const placement = isTurned ? code.slice(1) : code;
const svg = document.createElementNS(SVG, "svg");
svg.setAttribute("class", "bd");
svg.setAttribute("viewBox", "-20 -5 385 389");
svg.setAttribute("role", "img");
svg.setAttribute("aria-label", fill(words.board_of, { words: inWords(placement) }));
const use = (parent, id, x, y) => {
const element = document.createElementNS(SVG, "use");
element.setAttribute("href", "#" + id);
if (x) element.setAttribute("x", String(x));
if (y) element.setAttribute("y", String(y));
parent.append(element);
};
use(svg, "p-bg", 0, 0);
use(svg, isTurned ? "p-cb" : "p-cw", 0, 0);
const men = document.createElementNS(SVG, "g");
men.setAttribute("class", "men");
for (let square = 0; square < 64; square++) {
const letter = placement[square];
if (letter === ".") continue;
const file = isTurned ? 7 - (square & 7) : square & 7;
const row = isTurned ? square >> 3 : 7 - (square >> 3);
use(men, "p-" + (letter < "a" ? "w" : "b") + letter.toLowerCase(), 45 * file, 45 * row);
}
svg.append(men);
place.append(svg);
}
function mixed(items, day) {
const byLesson = new Map();
for (const item of items) byLesson.set(item.l, [...(byLesson.get(item.l) || []), item]);
const piles = [...byLesson.values()];
const turned = [...piles.slice(day % (piles.length || 1)), ...piles.slice(0, day % (piles.length || 1))];
const found = [];
for (let at = 0; found.length < items.length; at++) {
for (const pile of turned) if (at < pile.length) found.push(pile[at]);
}
return found;
}
function turnedBy(list, day) {
const at = list.length ? (day * 7) % list.length : 0;
return [...list.slice(at), ...list.slice(0, at)];
}
function dueItems() {
return progress.due().flatMap((id) => byName.get(id) || []);
}
let round = [];
let at = 0;
let known = [];
function showState() {
const due = dueItems();
const start = byId("start");
start.hidden = !due.length;
byId("state").textContent = stateWords(due.length);
}
function stateWords(due) {
if (!progress.isKept()) return words.refused;
if (due > ROUND) return fill(words.more, { count: due, part: ROUND });
if (due) return fill(words.due, { count: due });
const seen = Object.entries(progress.load()).filter(([id]) => byName.has(id));
const next = Math.min(...seen.map(([, item]) => progress.dueOn(item)), Infinity);
if (next < Infinity) return fill(words.none, { date: dayWords(next) });
return seen.length ? words.finished : words.never;
}
function begin(items) {
round = items;
known = [];
at = 0;
byId("begin").hidden = true;
byId("asked").hidden = false;
ask();
}
function ask() {
const item = round[at];
const face = (document.querySelector(".face"));
face.classList.toggle("bare", !item.qb);
face.lang = data.lessons[item.l].lang || root.lang;
byId("at").textContent = fill(words.round, { at: at + 1, count: round.length });
setBoard(byId("qb"), item.qb);
setText(byId("q"), item.q);
byId("turn").textContent = item.t || "";
byId("turn").classList.toggle("b", Boolean(item.qb && item.qb[0] === "-"));
for (const id of ["back", "came", "on"]) byId(id).hidden = true;
byId("show").hidden = false;
for (const button of [byId("knew"), byId("not-yet")]) button.setAttribute("aria-pressed", "false");
byId("at").focus();
}
byId("show").addEventListener("click", () => {
const item = round[at];
setText(byId("a"), item.a);
setBoard(byId("ab"), item.ab);
byId("show").hidden = true;
byId("back").hidden = false;
byId("told").textContent = byId("a").textContent;
byId("knew").focus();
});
function judge(isKnown) {
const item = round[at];
const before = known[at];
if (before === isKnown) return;
const kept = isKnown ? progress.record(item.id, false) : progress.fail(item.id);
known[at] = isKnown;
byId("knew").setAttribute("aria-pressed", String(isKnown));
byId("not-yet").setAttribute("aria-pressed", String(!isKnown));
showSource(item, kept);
byId("on").hidden = false;
byId("on").focus();
}
byId("knew").addEventListener("click", () => judge(true));
byId("not-yet").addEventListener("click", () => judge(false));
function showSource(item, kept) {
const lesson = data.lessons[item.l];
byId("from").textContent = fill(words.from, { number: lesson.n });
const link = (byId("link"));
link.textContent = lesson.t;
link.href = addressOf(item);
byId("when").textContent = "; " + whenWords(kept);
byId("came").hidden = false;
}
function addressOf(item) {
const name = item.id.slice(item.id.indexOf("/") + 1);
return "lessons/" + data.lessons[item.l].s + ".html#" + (item.t === undefined ? "" : "x-") + name;
}
function whenWords(kept) {
const day = progress.dueOn(kept);
return day === Infinity ? words.settled : fill(words.again, { date: dayWords(day) });
}
byId("on").addEventListener("click", () => {
at += 1;
if (at < round.length) ask();
else finish();
});
function finish() {
byId("asked").hidden = true;
byId("end").hidden = false;
const count = known.filter(Boolean).length;
byId("score").textContent = fill(words.score, { known: count, count: round.length });
const kept = progress.load();
byId("list").replaceChildren(
...round.map((item) => {
const row = document.createElement("li");
const question = document.createElement("a");
setText(question, item.q);
question.href = addressOf(item);
const note = document.createElement("span");
note.className = "note";
note.textContent = kept[item.id] ? whenWords(kept[item.id]) : "";
row.append(question, " ", note);
return row;
})
);
byId("end-h").focus();
}
const upto = (byId("upto"));
const kept = Object.keys(progress.load()).flatMap((id) => byName.get(id)?.l ?? []);
data.lessons.forEach((lesson, index) => {
const option = document.createElement("option");
option.value = String(index);
option.textContent = lesson.n + " " + lesson.t;
upto.append(option);
});
upto.value = String(Math.max(0, ...kept));
byId("start").addEventListener("click", () => begin(mixed(dueItems().slice(0, ROUND), progress.today())));
byId("mixed").addEventListener("click", () => {
const day = progress.today();
const last = Number(upto.value);
const items = turnedBy(data.items.filter((item) => item.l <= last), day);
begin(mixed(mixed(items, day).slice(0, ROUND), day));
});
progress.onChange(showState);
showState();
})();
