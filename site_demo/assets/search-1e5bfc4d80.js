/*! plybook, GPL-3.0-or-later */
(function () {
"use strict";
const FIRST =
"RNBQKBNR" + "PPPPPPPP" + "........".repeat(4) + "pppppppp" + "rnbqkbnr";
const MOST = 40; // hits that are shown
const AROUND = 90; // characters before and after the first word that is found
const SLICE = 12; // milliseconds of work at a time while nobody waits
const TOKEN = /O-O(?:-O)?|[a-h]8=[QRBN]|[\p{L}\p{N}]+/gu;
const FEN = /^\s*((?:[pnbrqk1-8]+\/){7}[pnbrqk1-8]+)(?:\s+([wb]))?(?:\s|$)/i;
const FEN_LIKE = /^\s*[pnbrqk0-9]+(?:\/[pnbrqk0-9]+){3,}/i;
const SAN = /^(?:O-O(?:-O)?|[KQRBN]?[a-h]?[1-8]?x?[a-h][1-8](?:=?[QRBN])?)[+#]?[!?]*$/;
const NUMBER = /^[0-9]+\.+/;
const RESULTS = new Set(["1-0", "0-1", "1/2-1/2", "*"]);
const found = document.getElementById("find");
const query = (document.getElementById("query"));
const hits = document.getElementById("hits");
const count = document.getElementById("count");
const said = document.getElementById("search-words");
if (!found || !query || !hits || !count || !said || !window.plybook.searchData) return;
const data = (window.plybook.searchData);
const words = JSON.parse(said.textContent || "{}");
const folded = (term) =>
term.toLowerCase().normalize("NFD").replace(/\p{M}/gu, "").replace(/ß/g, "ss");
const index = new MiniSearch({
fields: ["title", "heading", "text"],
storeFields: [],
tokenize: (text) => text.match(TOKEN) || [],
processTerm: folded,
searchOptions: {
boost: { title: 3, heading: 2 },
prefix: (term) => term.length > 2,
fuzzy: (term) => (term.length > 3 ? 0.2 : false),
combineWith: "AND",
},
});
let isIndexed = false;
function makeIndex() {
if (isIndexed) return;
isIndexed = true;
index.addAll(
data.records.map(([page, , heading, text], id) => ({
id,
title: data.pages[page][1],
heading,
text,
})),
);
}
function findWords(text) {
makeIndex();
let rows = index.search(text);
if (!rows.length) rows = index.search(text, { combineWith: "OR" });
return rows.slice(0, MOST).map((row) => {
const [page, fragment, heading, body] = data.records[row.id];
const [path, title] = data.pages[page];
return {
href: fragment ? path + "#" + fragment : path,
where: heading || title,
within: heading ? title : "",
text: body,
terms: row.terms,
};
});
}
const bare = (san) => san.replace(/[x+#=!?]/g, "");
const short = (san) => san.replace(/^([KQRBN])[a-h]?[1-8]?([a-h][1-8])$/, "$1$2");
const trees = [];
const positions = new Map();
const boards = [];
function readLine(at) {
const [, name, , start, moves, sans] = data.lines[at];
const [first, turn, number] = start || [FIRST, "w", 1];
const san = sans ? sans.split(" ") : [];
const places = [
{
parent: -1,
depth: 0,
move: "",
loose: "",
way: name + "@",
fragment: name + "@start",
label: "",
},
];
const men = [first];
const counts = new Map();
const branches = [];
let here = 0;
let begins = false;
let sign = 0;
while (sign < moves.length) {
if (moves[sign] === "(") {
branches.push(here);
here = places[here].parent;
begins = true;
sign += 1;
continue;
}
if (moves[sign] === ")") {
here = branches.pop() || 0;
sign += 1;
continue;
}
const moved = window.plybook.playDelta(men[here], moves, sign);
sign = moved.end;
const before = places[here];
const plies = before.depth + (turn === "w" ? 0 : 1);
const label = number + (plies >> 1) + (plies % 2 ? "..." : ".");
const move = san[places.length - 1];
let fragment = before.way + label + move.replace(/[+#]+$/, "");
const times = (counts.get(fragment) || 0) + 1;
counts.set(fragment, times);
if (times > 1) fragment += "~" + times;
places.push({
parent: here,
depth: before.depth + 1,
move: bare(move),
loose: short(bare(move)),
way: begins ? fragment + "~" : before.way,
fragment,
label: label.replace("...", "…") + move,
});
begins = false;
here = places.length - 1;
men.push(moved.board);
}
trees[at] = places;
boards[at] = men;
men.forEach((board, place) => {
const white = (places[place].depth % 2 === 0) === (turn === "w");
const key = board + (white ? "w" : "b");
const others = positions.get(key);
if (others) others.push([at, place]);
else positions.set(key, [[at, place]]);
});
}
function readSome(until) {
while (trees.length < data.lines.length) {
readLine(trees.length);
if (performance.now() > until) break;
}
return trees.length === data.lines.length;
}
function placeHit(line, place, note) {
const [page, , title] = data.lines[line];
const [path, lesson] = data.pages[page];
const { fragment, label } = trees[line][place];
return {
href: path + "#" + fragment,
where: label ? words.after.replace("{move}", label) : words.start,
within: words.line_of.replace("{lesson}", lesson).replace("{line}", title),
text: note,
terms: [],
};
}
function menOf(field) {
const ranks = field
.split("/")
.map((rank) => rank.replace(/[1-8]/g, (digit) => ".".repeat(Number(digit))));
return ranks.every((rank) => rank.length === 8) ? ranks.reverse().join("") : null;
}
function findPosition(men, turn) {
const places = (turn ? [turn] : ["w", "b"]).flatMap((side) => positions.get(men + side) || []);
return places.map(([line, place]) => placeHit(line, place, ""));
}
function readMoves(text) {
const tokens = text
.replace(/…/g, "...")
.split(/\s+/)
.map((token) => token.replace(NUMBER, ""))
.filter((token) => token && !/^\.+$/.test(token) && !RESULTS.has(token));
const moves = tokens.map(asSan);
return moves.length && moves.every((move) => move !== "") ? moves : null;
}
function asSan(token) {
let move = token.replace(/0/g, "O").replace(/^o-o/, "O-O").replace(/-o/g, "-O");
const own = data.letters ? data.letters.indexOf(move[0]) : -1;
if (own >= 0) move = "NBRQK"[own] + move.slice(1);
if (/^[nrqk](?=[a-h1-8x])/.test(move)) move = move[0].toUpperCase() + move.slice(1);
return SAN.test(move) ? bare(move) : "";
}
function findMoves(moves, fromStart) {
const found = [];
const last = moves.length - 1;
trees.forEach((places, line) => {
for (let place = 1; place < places.length; place++) {
if (!fits(places[place], moves[last])) continue;
if (leads(line, place, moves, last, fromStart, new Set())) found.push([line, place]);
}
});
const others = fromStart && found.length ? otherWays(found) : [];
const rows = [
...found.slice(0, MOST).map(([line, place]) => placeHit(line, place, "")),
...others.slice(0, MOST).map(([line, place]) => placeHit(line, place, words.other_way)),
];
return { rows, total: found.length + others.length };
}
function leads(line, place, moves, at, fromStart, passed) {
const places = trees[line];
let here = place;
while (at >= 0 && here > 0) {
if (!fits(places[here], moves[at])) return false;
here = places[here].parent;
at -= 1;
}
if (at < 0 && !fromStart) return true;
if (here > 0) return false;
const start = data.lines[line][3];
if (!start) return at < 0;
passed.add(line);
return (positions.get(start[0] + start[1]) || []).some(
([other, from]) =>
from > 0 && !passed.has(other) && leads(other, from, moves, at, fromStart, passed),
);
}
function fits(place, asked) {
return place.move === asked || place.loose === asked;
}
function otherWays(found) {
const seen = new Set(found.map(([line, place]) => line + ":" + place));
const [line, place] = found[0];
const start = data.lines[line][3];
const begins = start ? start[1] : "w";
const side = trees[line][place].depth % 2 === 0 ? begins : begins === "w" ? "b" : "w";
const places = positions.get(boards[line][place] + side) || [];
return places.filter(([other, at]) => !seen.has(other + ":" + at));
}
function search(text) {
const fen = FEN.exec(text);
const men = fen && menOf(fen[1]);
if (fen && men) {
readSome(Infinity);
const rows = findPosition(men, (fen[2] || "").toLowerCase());
return { rows, total: rows.length, note: "" };
}
if (FEN_LIKE.test(text)) return { rows: [], total: 0, note: words.bad_fen };
const moves = readMoves(text);
const spoken = findWords(text);
if (!moves) return { rows: spoken, total: spoken.length, note: "" };
readSome(Infinity);
const { rows, total } = findMoves(moves, /^\s*1\.(?!\.)/.test(text));
return { rows: [...rows, ...spoken], total: total + spoken.length, note: "" };
}
function putBit(into, hit) {
const plain = hit.text;
const terms = new Set(hit.terms);
const marks = [];
for (const token of plain.matchAll(TOKEN)) {
if (terms.has(folded(token[0]))) marks.push([token.index, token.index + token[0].length]);
}
const first = marks.length ? marks[0][0] : 0;
let begin = Math.max(0, first - AROUND);
if (begin) begin = plain.indexOf(" ", begin) + 1 || begin;
let end = Math.min(plain.length, first + 2 * AROUND);
if (end < plain.length) end = plain.lastIndexOf(" ", end);
let at = begin;
into.append(begin ? "… " : "");
for (const [from, to] of marks) {
if (to > end) break;
const mark = document.createElement("mark");
mark.textContent = plain.slice(from, to);
into.append(plain.slice(at, from), mark);
at = to;
}
into.append(plain.slice(at, end), end < plain.length ? " …" : "");
}
function itemOf(hit) {
const item = document.createElement("li");
const where = document.createElement("p");
where.className = "where";
const link = document.createElement("a");
link.href = hit.href;
link.textContent = hit.where;
where.append(link);
item.append(where);
if (hit.within) {
const within = document.createElement("p");
within.className = "in";
within.textContent = hit.within;
item.append(within);
}
if (hit.text) {
const bit = document.createElement("p");
bit.className = "bit";
putBit(bit, hit);
item.append(bit);
}
return item;
}
function show() {
if (!query || !hits || !count) return;
const text = query.value.trim();
history.replaceState(null, "", text ? "#q=" + encodeURIComponent(text) : "#");
if (text.length < 2) {
hits.replaceChildren();
count.textContent = "";
return;
}
const { rows, total, note } = search(text);
hits.replaceChildren(...rows.slice(0, MOST).map(itemOf));
const more = total > MOST ? ", " + words.more : "";
count.textContent =
note || (total ? words.found.replace("{count}", String(total)) + more : words.none);
}
found.hidden = false;
query.addEventListener("input", show);
const asked = /^#q=(.*)$/.exec(location.hash);
if (asked) {
try {
query.value = decodeURIComponent(asked[1]);
} catch (_) {
}
show();
}
(function prepare() {
makeIndex();
if (!readSome(performance.now() + SLICE)) setTimeout(prepare, 0);
})();
})();
