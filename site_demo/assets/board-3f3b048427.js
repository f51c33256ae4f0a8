/*! plybook, GPL-3.0-or-later */
(function () {
"use strict";
const root = document.documentElement;
root.classList.add("js");
const lightKey = "plybook:" + (root.dataset.course || "") + ":light";
try {
const kept = localStorage.getItem(lightKey);
if (kept === "day" || kept === "night") root.dataset.light = kept;
} catch (_) {
}
function isNight() {
const chosen = root.dataset.light;
return chosen ? chosen === "night" : matchMedia("(prefers-color-scheme:dark)").matches;
}
function startLamp() {
const lamp = document.getElementById("lamp");
if (!lamp) return;
const paint = () => lamp.setAttribute("aria-pressed", String(isNight()));
lamp.addEventListener("click", () => {
root.dataset.light = isNight() ? "day" : "night";
try {
localStorage.setItem(lightKey, root.dataset.light);
} catch (_) {
}
paint();
});
paint();
}
const SVG = "http://www.w3.org/2000/svg";
const CODE = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_";
const FILES = "abcdefgh";
const LEAP = 10; // plies of PageUp and PageDown
const REST = 150; // milliseconds
function readPlaces(data) {
const places = [{ parent: -1, depth: 0, board: data.from, from: -1, to: -1, next: [] }];
const branches = [];
const text = data.moves;
let here = 0;
let at = 0;
while (at < text.length) {
if (text[at] === "(") {
branches.push(here);
here = places[here].parent;
at += 1;
} else if (text[at] === ")") {
here = branches.pop() || 0;
at += 1;
} else {
const before = places[here];
const moved = playDelta(before.board, text, at);
at = moved.end;
before.next.push(places.length);
const depth = before.depth + 1;
places.push({ parent: here, depth, board: moved.board, from: moved.from, to: moved.to, next: [] });
here = places.length - 1;
}
}
return places;
}
function playDelta(before, text, at) {
const board = before.split("");
const from = CODE.indexOf(text[at]);
const to = CODE.indexOf(text[at + 1]);
let man = board[from];
board[from] = ".";
at += 2;
for (;;) {
const sign = text[at];
if (sign === "+") {
const start = CODE.indexOf(text[at + 1]);
const rook = before[start];
if (start !== to) board[start] = ".";
board[CODE.indexOf(text[at + 2])] = rook;
at += 3;
} else if (sign === "!") {
board[CODE.indexOf(text[at + 1])] = ".";
at += 2;
} else if (sign === "=") {
man = text[at + 1];
at += 2;
} else {
break;
}
}
board[to] = man;
return { board: board.join(""), from, to, end: at };
}
function startBoard(svg, first) {
const men = (svg.querySelector(".men"));
const traces = (svg.querySelector(".tr"));
const standing = new Map();
let board = first;
let turned = svg.classList.contains("turned");
let from = -1;
let to = -1;
const corner = (square) => {
const file = square & 7;
const rank = square >> 3;
return turned ? [45 * (7 - file), 45 * rank] : [45 * file, 45 * (7 - rank)];
};
const put = (man, square) => {
const [x, y] = corner(square);
man.style.transform = "translate(" + x + "px," + y + "px)";
};
const use = (id, square) => {
const element = document.createElementNS(SVG, "use");
element.setAttribute("href", "#" + id);
put(element, square);
return element;
};
const trace = () =>
traces.replaceChildren(...(from < 0 ? [] : [use("p-lo", from), use("p-lt", to)]));
for (const man of (men.querySelectorAll("use"))) {
const square = Number(man.dataset.s);
standing.set(square, man);
put(man, square);
man.removeAttribute("transform");
}
requestAnimationFrame(() => svg.classList.add("live"));
return {
show(wanted, left, reached) {
const gone = [];
const come = [];
for (let square = 0; square < 64; square++) {
if (board[square] === wanted[square]) continue;
if (board[square] !== ".") gone.push(square);
if (wanted[square] !== ".") come.push(square);
}
const arrivals = come.map((square) => {
const nearest = gone
.filter((other) => board[other] === wanted[square])
.sort((a, b) => distance(a, square) - distance(b, square))[0];
const man = nearest === undefined ? undefined : standing.get(nearest);
if (man) {
gone.splice(gone.indexOf(nearest), 1);
standing.delete(nearest);
}
return { man, square };
});
for (const square of gone) {
const man = standing.get(square);
if (man) man.remove();
standing.delete(square);
}
for (const { man, square } of arrivals) {
const letter = wanted[square];
const side = letter < "a" ? "w" : "b";
const shown = man || use("p-" + side + letter.toLowerCase(), square);
men.append(shown);
put(shown, square);
standing.set(square, shown);
}
board = wanted;
from = left;
to = reached;
trace();
},
turn(wanted) {
if (wanted === turned) return;
turned = wanted;
svg.classList.toggle("turned", turned);
standing.forEach((man, square) => put(man, square));
trace();
},
man: (square) => standing.get(square),
};
}
function distance(a, b) {
return Math.max(Math.abs((a & 7) - (b & 7)), Math.abs((a >> 3) - (b >> 3)));
}
function byId(id) {
const found = document.getElementById(id);
if (!found) throw new Error("the page has no #" + id);
return found;
}
function startLesson() {
const store = document.getElementById("lesson-data");
if (!store) return;
const data = JSON.parse(store.textContent || "{}");
const words = Object.assign(
{
start: "The start", after: "After", white: "White to move", black: "Black to move",
mate: "Checkmate", stalemate: "Stalemate", sideline: "Sideline", back: "Back to", on: "On to",
end: "end of line", hidden: "next move", copied: "Copied",
board: "Board. {place}. {turn}.", men_of: "{side}: {men}.", man_on: "{man} on {squares}",
both: "and", no_men: "no men", sides: ["White", "Black"],
out: "Men out: {counts}", lost: "Queen\u2019s tempi lost: {counts}", count_of: "{side} {count}",
men: {
k: ["king", "kings"], q: ["queen", "queens"], r: ["rook", "rooks"],
b: ["bishop", "bishops"], n: ["knight", "knights"], p: ["pawn", "pawns"],
},
},
data.text
);
const plate = byId("plate");
const svg = (plate.querySelector("svg.bd"));
const slider = byId("sl");
const back = byId("prv");
const onward = byId("nxt");
const leave = byId("leave");
const choices = byId("alts");
const live = byId("live");
const copy = byId("copy");
const sets = (svg.querySelectorAll(".set"));
const legend = (byId("lg").querySelectorAll("li"));
const hide = (byId("hide"));
const tracks = data.lines.map(readTrack);
const index = new Map();
tracks.forEach((track, line) =>
track.links.forEach((link, place) => index.set(link.id, [line, place]))
);
const linksTo = new Map();
for (const link of document.querySelectorAll('a[href^="#"]')) {
const target = fragmentOf(link);
if (index.has(target)) linksTo.set(target, (linksTo.get(target) || []).concat(link));
}
const [firstLine, firstPlace] = index.get(data.at) || [0, 0];
const board = startBoard(svg, tracks[firstLine].places[firstPlace].board);
let line = firstLine;
let place = firstPlace;
let flipped = false;
let addressTimer = 0;
hide.checked = Boolean(data.hide);
function readTrack(lineData) {
const section = byId("l-" + lineData.name);
const links = ([...section.querySelectorAll("a.st[id], a.m[id]")]);
const rail = (
[...slider.querySelectorAll("svg.rail")].find(
(drawn) => (drawn).dataset.line === lineData.name
) || null
);
return { data: lineData, places: readPlaces(lineData), links, rail };
}
function pathThrough(track, end) {
const path = [];
for (let at = end; at >= 0; at = track.places[at].parent) path.unshift(at);
for (let at = track.places[end].next[0]; at !== undefined; at = track.places[at].next[0]) path.push(at);
return path;
}
function sidelineOf(track, end) {
for (let at = end; at > 0; at = track.places[at].parent) {
if (track.places[track.places[at].parent].next[0] !== at) return at;
}
return 0;
}
function letterOf(track, at) {
const around = (track.links[at].closest(".side"));
return (around && around.dataset.letter) || "";
}
function nameOf(track, at, plain) {
const name = document.createElement("span");
const link = track.links[at];
const number = /(\d+)(\.+)[^~]*$/.exec(link.id);
if (number && !/^\d/.test(link.textContent || "")) {
name.append(number[1] + (number[2].length > 1 ? "\u2026" : ".\u202f"));
}
for (const part of link.childNodes) name.append(part.cloneNode(true));
const last = name.lastChild;
if (plain && last) last.textContent = (last.textContent || "").replace(/[!?]+$/, "");
return name;
}
function titleOf(track) {
return track.links[0].textContent || "";
}
function fill(pattern, values) {
return pattern.replace(/\{(\w+)\}/g, (_, key) => values[key]);
}
function inWords(shown) {
return [0, 1]
.map((side) => {
const groups = [];
for (const man of "kqrbnp") {
const letter = side ? man : man.toUpperCase();
const squares = [];
for (const file of FILES) {
for (let rank = 0; rank < 8; rank++) {
if (shown[8 * rank + FILES.indexOf(file)] === letter) squares.push(file + (rank + 1));
}
}
if (!squares.length) continue;
const name = words.men[man][squares.length > 1 ? 1 : 0];
const last = squares.pop();
const listed = squares.length ? squares.join(", ") + " " + words.both + " " + last : last;
groups.push(fill(words.man_on, { man: name, squares: listed || "" }));
}
return fill(words.men_of, { side: words.sides[side], men: groups.join(", ") || words.no_men });
})
.join(" ");
}
function turnAt(track, at) {
if ((track.data.mate || []).includes(at)) return words.mate;
if ((track.data.stale || []).includes(at)) return words.stalemate;
return isWhiteToMove(track, at) ? words.white : words.black;
}
function isWhiteToMove(track, at) {
return (track.places[at].depth % 2 === 0) === (track.data.turn !== "b");
}
function spoken(track, at) {
const letter = letterOf(track, at);
const said = at ? track.data.say[at - 1] : words.start + ", " + titleOf(track);
return (letter ? words.sideline + " " + letter + ". " : "") + said;
}
function counted(track, at) {
const said = (pattern, signs, least) => {
const counts = [0, 1]
.map((side) => ({ side: words.sides[side], count: signs ? parseInt(signs[2 * at + side], 36) : -1 }))
.filter(({ count }) => count >= least)
.map(({ side, count }) => fill(words.count_of, { side, count: String(count) }));
return counts.length ? [fill(pattern, { counts: counts.join(", ") })] : [];
};
const { out, lost } = track.data;
return [...said(words.out, out, 0), ...said(words.lost, lost, 1)].join(". ");
}
function go(newLine, newPlace, reason) {
const fragment = tracks[newLine].links[newPlace].id;
const was = tracks[line].links[place].id;
line = newLine;
place = newPlace;
const track = tracks[line];
const here = track.places[place];
board.turn((track.data.view === "black") !== flipped);
board.show(here.board, here.from, here.to);
for (const link of linksTo.get(was) || []) link.classList.remove("on");
for (const link of linksTo.get(fragment) || []) link.classList.add("on");
document.getElementById(was)?.removeAttribute("aria-current");
track.links[place].setAttribute("aria-current", "true");
showCaption(track);
showMarks(fragment);
showRail(track);
showControls(track);
showPrinciples(track);
byId("words").textContent = inWords(here.board);
const caption = byId("cap").textContent || "";
svg.setAttribute("aria-label", fill(words.board, { place: caption, turn: turnAt(track, place) }));
if (reason === "press" || reason === "address") {
live.textContent = spoken(track, place);
bringPlateIntoView();
}
if (reason !== "page") keepAddress(fragment);
}
function keepAddress(fragment) {
clearTimeout(addressTimer);
addressTimer = setTimeout(() => history.replaceState(history.state, "", "#" + fragment), REST);
}
function showCaption(track) {
const caption = byId("cap");
const letter = letterOf(track, place);
plate.classList.toggle("inside", letter !== "");
const lead = letter ? words.sideline + " " + letter + ": " : words.after + " ";
if (place) caption.replaceChildren(lead, nameOf(track, place, true));
else caption.replaceChildren(words.start);
const turn = byId("turn");
turn.textContent = turnAt(track, place);
turn.classList.toggle("b", !isWhiteToMove(track, place));
const title = (byId("line-now"));
title.textContent = titleOf(track);
title.setAttribute("href", "#l-" + track.data.name);
leave.hidden = !sidelineOf(track, place);
}
function showMarks(fragment) {
let roles = [];
for (const set of sets) {
const isHere = set.dataset.at === fragment;
set.classList.toggle("on", isHere);
if (isHere) roles = (set.dataset.roles || "").split(" ");
}
for (const row of legend) {
row.classList.toggle("on", roles.includes(row.dataset.r || "-"));
}
}
function showRail(track) {
const path = pathThrough(track, place);
const at = path.indexOf(place);
slider.setAttribute("aria-valuemax", String(path.length - 1));
slider.setAttribute("aria-valuenow", String(at));
const count = counted(track, place);
byId("out").textContent = count;
slider.setAttribute("aria-valuetext", spoken(track, place) + (count && ". " + count + "."));
for (const other of tracks) other.rail?.classList.toggle("on", other === track);
const rail = track.rail;
if (!rail) return;
const left = Number(rail.dataset.x);
const x = left + at * Number(rail.dataset.w);
const entered = path.slice(0, at + 1).map(String);
let y = 20;
let fork = x;
for (const run of rail.querySelectorAll(".seg[data-i]")) {
run.classList.toggle("on", entered.includes((run).dataset.i || ""));
}
for (const hook of (rail.querySelectorAll(".br"))) {
const isOn = entered.includes(hook.dataset.i || "");
hook.classList.toggle("on", isOn);
if (isOn) {
y = Number(hook.dataset.y || 19) + 1;
fork = left + (track.places[Number(hook.dataset.i)].depth - 0.5) * Number(rail.dataset.w);
}
}
rail.classList.toggle("inside", fork < x);
rail.querySelector(".veil")?.setAttribute("transform", "translate(" + x + ")");
rail.querySelector(".go")?.setAttribute("d", "M" + left + " 20H" + fork);
rail.querySelector(".now")?.setAttribute("transform", "translate(" + x + " " + (y - 20) + ")");
}
function showControls(track) {
const { parent, next } = track.places[place];
const isHidden = hide.checked && next.length > 0;
name(back, parent, parent === 0 ? words.start : "", words.back);
name(onward, isHidden ? -1 : next[0], isHidden ? words.hidden : words.end, words.on);
back.setAttribute("aria-disabled", String(parent < 0));
onward.setAttribute("aria-disabled", String(!next.length));
choices.replaceChildren(
...(isHidden ? [] : next.slice(1)).map((at) => {
const link = document.createElement("a");
const letter = letterOf(track, at);
link.className = "m s";
link.href = "#" + track.links[at].id;
if (letter) {
const tag = document.createElement("b");
tag.className = "lt-box";
tag.textContent = letter;
link.append(tag, " ");
}
link.append(nameOf(track, at, false));
return link;
})
);
function name(button, at, otherwise, lead) {
const shown = (button.querySelector(".w"));
if (at !== undefined && at > 0) shown.replaceChildren(nameOf(track, at, false));
else shown.replaceChildren(otherwise);
const text = shown.textContent || words.start;
button.setAttribute("aria-label", at === undefined ? text : lead + " " + text);
}
}
function showPrinciples(track) {
const shared = new Map();
const rows = [];
for (const [rule, verb, sentence] of (track.data.why || {})[place] || []) {
const link = document.createElement("a");
[link.textContent, link.href] = data.rules[rule];
const started = sentence ? undefined : shared.get(verb);
if (started) {
started.append(", ", link);
continue;
}
const row = document.createElement("p");
const lead = document.createElement("b");
lead.className = "verb";
lead.textContent = verb;
row.append(lead, " ", link);
if (sentence) row.append(": " + sentence);
else shared.set(verb, row);
rows.push(row);
}
byId("why").replaceChildren(...rows);
}
function bringPlateIntoView() {
const seen = svg.getBoundingClientRect();
if (seen.bottom >= 60 && seen.top <= innerHeight - 60) return;
svg.closest(".pa")?.scrollIntoView({ block: "start" });
}
function fragmentOf(link) {
return plainFragment(link.getAttribute("href") || link.getAttribute("data-go") || "");
}
function plainFragment(hash) {
try {
return decodeURIComponent(hash.slice(1));
} catch (_) {
return "";
}
}
function onPress(button, where) {
button.addEventListener("click", () => {
const target = where();
if (target !== undefined && target >= 0) go(line, target, "press");
});
}
onPress(back, () => tracks[line].places[place].parent);
onPress(onward, () => tracks[line].places[place].next[0]);
onPress(leave, () => tracks[line].places[sidelineOf(tracks[line], place)].parent);
leave.addEventListener("click", () => onward.focus({ preventScroll: true }));
document.addEventListener("click", (event) => {
if (event.ctrlKey || event.metaKey || event.shiftKey || event.altKey) return;
const touched = (event.target).closest('a[href^="#"], [data-go]');
const target = touched && index.get(fragmentOf(touched));
if (!target) return;
event.preventDefault();
const wasChoice = choices.contains(touched);
go(target[0], target[1], "press");
if (wasChoice) onward.focus({ preventScroll: true });
});
slider.addEventListener("keydown", (event) => {
const path = pathThrough(tracks[line], place);
const at = path.indexOf(place);
const wanted = {
ArrowRight: at + 1, ArrowUp: at + 1, ArrowLeft: at - 1, ArrowDown: at - 1,
PageUp: at + LEAP, PageDown: at - LEAP, Home: 0, End: path.length - 1,
};
if (!(event.key in wanted) || event.ctrlKey || event.metaKey || event.altKey) return;
event.preventDefault();
const target = path[Math.max(0, Math.min(path.length - 1, wanted[event.key]))];
if (target !== place) go(line, target, "slider");
});
const step = (event) => {
const { next, parent } = tracks[line].places[place];
const target = event.key === "ArrowRight" ? next[0] : event.key === "ArrowLeft" ? parent : -1;
if (target === undefined || target < 0 || event.defaultPrevented) return;
if (event.ctrlKey || event.metaKey || event.shiftKey || event.altKey) return;
event.preventDefault();
go(line, target, "press");
const focused = (event.target);
if (!focused.getClientRects().length) onward.focus({ preventScroll: true });
};
svg.tabIndex = -1; // a click gives it the focus
for (const held of [plate, ...[...linksTo.values()].flat()]) {
held.addEventListener("keydown", (event) => step((event)));
}
let drag = null;
const follow = (event) => {
if (!drag) return;
const { path, rail, letter, first } = drag;
const box = rail.getBoundingClientRect();
const x = ((event.clientX - box.left) * rail.viewBox.baseVal.width) / box.width;
const past = letter ? x - letter.x.baseVal.value : -1;
const isOnLetter = letter && past >= 0 && past <= letter.width.baseVal.value;
const column = Math.round((x - Number(rail.dataset.x)) / Number(rail.dataset.w));
const target = path[isOnLetter ? first : Math.max(0, Math.min(path.length - 1, column))];
if (target !== place) go(line, target, "slider");
};
slider.addEventListener("pointerdown", (event) => {
const track = tracks[line];
if (!track.rail || event.button) return;
const hook = ((event.target).closest(".br"));
const branch = hook ? Number(hook.dataset.i) : 0;
drag = {
path: pathThrough(track, branch),
rail: track.rail,
letter: hook && hook.querySelector("rect"),
first: track.places[branch].depth,
};
slider.setPointerCapture(event.pointerId);
follow(event);
});
slider.addEventListener("pointermove", follow);
for (const end of ["pointerup", "pointercancel"]) slider.addEventListener(end, () => (drag = null));
byId("flip").addEventListener("click", () => {
flipped = !flipped;
board.turn((tracks[line].data.view === "black") !== flipped);
});
hide.addEventListener("change", () => showControls(tracks[line]));
const copyText = copy.textContent || "";
copy.addEventListener("click", () => {
const address = location.href.split("#")[0] + "#" + tracks[line].links[place].id;
const done = () => {
copy.textContent = live.textContent = words.copied;
setTimeout(() => (copy.textContent = copyText), 2000);
};
const shown = () => history.replaceState(history.state, "", address);
if (navigator.clipboard) navigator.clipboard.writeText(address).then(done, shown);
else shown();
});
addEventListener("hashchange", (event) => {
clearTimeout(addressTimer);
const target = index.get(plainFragment(new URL(event.newURL).hash));
if (target && (target[0] !== line || target[1] !== place)) go(target[0], target[1], "address");
});
const asked = index.get(plainFragment(location.hash));
go(asked ? asked[0] : line, asked ? asked[1] : place, "page");
}
Object.assign(window, { plybook: { startBoard, playDelta } });
document.addEventListener("DOMContentLoaded", () => {
startLamp();
startLesson();
});
})();
