(function () {
"use strict";
const { playDelta, progress, startBoard } = window.plybook;
const SVG = "http://www.w3.org/2000/svg";
const CODE = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_";
const FILES = "abcdefgh";
const PIECES = "NBRQK";
const PAUSE = 650; // milliseconds before the opponent answers
const STIR = 6; // pixels: a press that moves further is a drag
function readRow(text) {
const [move, san, kind = "", reply = "", replySan = "", cost = "", next = "", say = ""] = text.split(",");
return {
move, san, kind, reply, replySan, cost, say,
from: CODE.indexOf(move[0]),
to: CODE.indexOf(move[1]),
becomes: move[2] === "=" ? move[3] : "",
next: next === "" ? -1 : Number(next),
};
}
function readTurn([number, rows, refused]) {
const refusals = new Map();
for (const [sentence, moves] of Object.entries(refused)) {
for (const move of moves.split(" ")) refusals.set(move, sentence);
}
return { number, rows: rows.split(" ").map(readRow), refusals };
}
function readFen(fen) {
const ranks = fen.split(" ")[0].replace(/\d/g, (count) => ".".repeat(Number(count))).split("/");
return ranks.reverse().join("");
}
const nameOf = (square) => FILES[square & 7] + ((square >> 3) + 1);
function fill(pattern, values) {
return pattern.split(/\{(\w+)\}/).map((part, at) => (at % 2 ? values[part] : part));
}
function need(root, selector) {
const found = (root.querySelector(selector));
if (!found) throw new Error("an exercise has no " + selector);
return found;
}
function startFrame(section, id, words) {
const out = need(section, ".xo");
const mark = need(section, ".xs");
const solution = (need(section, ".sol"));
const hints = ([...section.querySelectorAll(".hint")]);
const frame = {
isHelped: false,
tell(...parts) {
out.replaceChildren(...parts);
},
solve(wasShown) {
frame.isHelped = frame.isHelped || wasShown;
progress.record(id, frame.isHelped);
section.classList.add("done");
},
again() {
frame.isHelped = hints.some((hint) => hint.open);
section.classList.remove("done");
solution.open = false;
},
};
const paint = () => {
const item = progress.load()[id];
mark.textContent = item ? words.mark[item[3]] : "";
mark.classList.toggle("half", Boolean(item && item[3]));
};
for (const hint of hints) hint.addEventListener("toggle", () => (frame.isHelped = frame.isHelped || hint.open));
progress.onChange(paint);
paint();
section.classList.add("live");
(need(section, ".xc")).hidden = false;
return frame;
}
function startWords(section, data, words) {
const frame = startFrame(section, data.id, words);
const solution = (need(section, ".sol"));
const plain = (text) => text.trim().toLowerCase().replace(/\s+/g, " ").replace(/[.!?]$/, "");
const right = data.answers.map(plain);
const answer = (text) => {
if (!right.includes(plain(text))) {
frame.isHelped = frame.isHelped || choices.length > 0;
frame.tell(words.no);
return;
}
frame.solve(false);
solution.open = true;
frame.tell(words.right + " " + (frame.isHelped ? words.helped : words.done));
};
const choices = ([...section.querySelectorAll("[data-say]")]);
for (const choice of choices) choice.addEventListener("click", () => answer(choice.dataset.say || ""));
const field = (section.querySelector(".xtype input"));
if (field) onEntry(section, field, answer);
const show = (need(section, ".xshow"));
show.addEventListener("click", () => {
frame.solve(true);
solution.open = true;
frame.tell(words.was);
(need(section, ".sol summary")).focus();
});
}
function onEntry(section, field, take) {
const enter = () => {
if (field.value.trim()) take(field.value);
};
(need(section, ".xplay")).addEventListener("click", enter);
field.addEventListener("keydown", (event) => {
if (event.key !== "Enter") return;
event.preventDefault();
enter();
});
}
function startMoves(section, data, words) {
const frame = startFrame(section, data.id, words);
const svg = (need(section, "svg.bd"));
const first = readFen(data.fen);
const side = data.fen.split(" ")[1] === "w" ? 0 : 1;
const turns = data.turns.map(readTurn);
const before = [...(data.last || "")].map((sign) => CODE.indexOf(sign));
const board = startBoard(svg, first);
const grid = drawGrid(svg);
const cells = ([]);
for (const cell of (grid.querySelectorAll(".sq"))) {
cells[Number(cell.dataset.s)] = cell;
}
const part = {
back: need(section, ".xback"), show: need(section, ".xshow"), again: need(section, ".xagain"),
turn: need(section, ".xturn"), men: need(section, ".xmen"),
};
const field = (need(section, ".xtype input"));
let turn = turns[0];
let shown = first;
let trace = before.length ? before : [-1, -1];
let state = "ask";
let taken = -1;
let focused = turn.rows[0].from;
let isTurned = svg.classList.contains("turned");
let timer = 0;
let kept = { shown, trace };
let isShowing = false; // the solution, move by move
let pending = null;
function put(position, squares) {
shown = position;
trace = squares;
board.show(shown, trace[0], trace[1]);
}
function play(move) {
const done = playDelta(shown, move, 0);
put(done.board, [done.from, done.to]);
}
const isOwn = (square) => shown[square] !== "." && (shown[square] < "a") === !side;
function paint() {
const goals = new Set(turn.rows.filter((row) => row.from === taken).map((row) => row.to));
cells.forEach((cell, square) => {
const man = words.men[shown[square]];
const name = nameOf(square) + (man ? ", " + man : "");
const isGoal = taken >= 0 && goals.has(square);
const pattern = square === taken ? words.taken : isGoal ? words.open : "";
cell.setAttribute("aria-label", pattern ? pattern.replace("{square}", name) : name);
cell.setAttribute("aria-selected", String(square === taken));
cell.classList.toggle("up", square === taken);
cell.classList.toggle("to", isGoal);
cell.classList.toggle("own", state === "ask" && isOwn(square));
cell.tabIndex = square === focused ? 0 : -1;
});
part.back.hidden = state !== "wrong";
part.show.hidden = state === "done";
part.show.textContent = isShowing ? words.next : words.show;
part.again.hidden = state === "wrong" || (state === "ask" && shown === first);
}
function focus(square, isCarried = true) {
focused = square;
cells.forEach((cell, at) => (cell.tabIndex = at === square ? 0 : -1));
if (isCarried) cells[square].focus();
}
function later(call) {
state = "wait";
clearTimeout(timer);
if (matchMedia("(prefers-reduced-motion:reduce)").matches) call();
else timer = setTimeout(call, PAUSE);
paint();
}
function moveOf(san, isReply) {
const span = document.createElement("span");
span.className = "mt";
const isWhite = (side === 0) !== isReply;
const number = turn.number + (isReply && side ? 1 : 0);
span.append(number + (isWhite ? ".\u202f" : "\u2026"));
for (const part of san.includes("O") ? [san] : san.split(/([NBRQK])/)) {
const at = part ? PIECES.indexOf(part) : -1;
if (at >= 0 && words.figurines) {
const figure = document.createElement("i");
figure.textContent = part;
span.append(figure);
} else span.append(at >= 0 ? words.letters[at] : part);
}
return span;
}
function answerOf(row) {
return row.reply ? [" ", ...fill(words.answers[1 - side], { move: moveOf(row.replySan, true) })] : [];
}
function feedbackOf(row) {
if (row.say) return [data.say[Number(row.say)]];
if (row.kind[0] !== "w") return [];
const said = section.querySelectorAll(".wrong .fb")[Number(row.kind.slice(1))];
return [...said.childNodes].map((node) => node.cloneNode(true));
}
function press(square) {
if (state === "wrong") takeBack();
if (state !== "ask" || pending) return;
if (!part.men.hidden) return layDown();
focus(square, false);
if (taken >= 0 && square !== taken && !isOwn(square)) return attempt(taken, square);
if (square === taken) return layDown();
if (!isOwn(square)) {
const isMan = shown[square] !== ".";
frame.tell(isMan ? words.turn[side] : words.nobody.replace("{square}", nameOf(square)));
return;
}
takeUp(square);
}
function takeUp(square) {
if (!turn.rows.some((row) => row.from === square)) {
layDown();
frame.tell(turn.refusals.get(CODE[square]) || words.stuck);
return;
}
taken = square;
part.men.hidden = true;
frame.tell();
paint();
}
function layDown() {
taken = -1;
part.men.hidden = true;
paint();
}
function attempt(from, to) {
const rows = turn.rows.filter((row) => row.from === from && row.to === to);
if (!rows.length) {
const generic = words.reach[shown[from].toLowerCase()].replace("{square}", nameOf(to));
const reason = turn.refusals.get(CODE[from] + CODE[to]) || turn.refusals.get(CODE[from]);
frame.tell(reason || generic);
} else if (rows.length > 1) askWhich(rows);
else judge(rows[0]);
}
function askWhich(rows) {
const buttons = [..."qrbn"].flatMap((man) => {
const row = rows.find(({ becomes }) => becomes.toLowerCase() === man);
if (!row) return [];
const button = document.createElement("button");
const drawing = document.createElementNS(SVG, "svg");
const use = document.createElementNS(SVG, "use");
button.type = "button";
button.setAttribute("aria-label", words.becomes[man]);
drawing.setAttribute("viewBox", "0 0 45 45");
use.setAttribute("href", "#p-" + (side ? "b" : "w") + man);
drawing.append(use);
button.append(drawing);
button.addEventListener("click", () => {
focus(row.to);
judge(row);
});
return [button];
});
need(part.men, ".xm").replaceChildren(...buttons);
part.men.hidden = false;
buttons[0].focus();
}
function judge(row) {
kept = { shown, trace };
taken = -1;
part.men.hidden = true;
play(row.move);
const comment = feedbackOf(row);
if (row.kind === "k" || row.kind === "r") return accept(row, comment);
frame.tell(...(comment.length ? comment : [words.not_this]));
later(() => {
state = "wrong";
if (row.reply) play(row.reply);
const mild = row.reply ? words.not_this : words.other;
const lead = comment.length ? comment : [data.judged ? words.judged : mild];
frame.tell(...lead, ...answerOf(row), ...(comment.length ? [] : costOf(row)));
paint();
});
}
function costOf(row) {
if (row.cost === "#") return [" " + words.mated];
return row.cost && row.reply ? [" " + data.cost[row.cost]] : [];
}
function accept(row, comment) {
const lead = [words.right + " ", ...comment];
if (!row.reply) return advance(row, lead);
frame.tell(...lead);
later(() => {
play(row.reply);
advance(row, [...lead, ...answerOf(row)]);
});
}
function advance(row, lead) {
if (row.next >= 0) {
state = "ask";
turn = turns[row.next];
frame.tell(...lead, " " + words.go_on);
} else finish(lead, false);
paint();
}
function finish(lead, wasShown) {
state = "done";
frame.solve(wasShown);
frame.tell(...lead, " ", wasShown ? words.was : frame.isHelped ? words.helped : words.done);
paint();
}
function takeBack() {
const hadFocus = document.activeElement === part.back;
state = "ask";
put(kept.shown, kept.trace);
frame.tell();
paint();
if (hadFocus) focus(focused);
}
function startAgain() {
clearTimeout(timer);
state = "ask";
pending = null;
isShowing = false;
taken = -1;
part.men.hidden = true;
turn = turns[0];
put(first, before.length ? before : [-1, -1]);
frame.again();
frame.tell();
paint();
focus(turn.rows[0].from);
}
function showNext() {
if (state === "wait") return;
if (state === "wrong") takeBack();
layDown();
isShowing = frame.isHelped = true;
const row = pending || turn.rows.find(({ kind }) => kind === "k") || turn.rows[0];
play(pending ? row.reply : row.move);
const lead = [moveOf(pending ? row.replySan : row.san, Boolean(pending)), "."];
const isOver = Boolean(pending) || !row.reply;
pending = isOver ? null : row;
if (isOver && row.next < 0) {
const hadFocus = document.activeElement === part.show;
finish(lead, true);
if (hadFocus) part.again.focus();
return;
}
if (isOver) turn = turns[row.next];
frame.tell(...lead);
paint();
}
function readTyped(text) {
if (state === "wrong") takeBack();
if (state !== "ask" || pending) return;
const rows = typed(text, turn.rows, shown, words.letters);
if (!rows.length) return frame.tell(refused(text) || words.unread);
layDown();
const [{ from, to }] = rows;
field.value = "";
if (rows.length === 1) judge(rows[0]);
else if (rows.every((row) => row.from === from && row.to === to)) askWhich(rows);
else frame.tell(words.which);
}
function refused(text) {
const found = readMove(text, words.letters);
if (!found) return "";
const men = [...shown].flatMap((_, square) => (isOwn(square) && fits(found, square, shown) ? [square] : []));
if (men.length !== 1) return "";
const to = FILES.indexOf(found.to[0]) + 8 * (Number(found.to[1]) - 1);
const generic = words.reach[shown[men[0]].toLowerCase()].replace("{square}", found.to);
return turn.refusals.get(CODE[men[0]] + CODE[to]) || turn.refusals.get(CODE[men[0]]) || generic;
}
grid.addEventListener("click", (event) => {
const cell = ((event.target).closest(".sq"));
if (cell) press(Number(cell.dataset.s));
});
grid.addEventListener("focusin", (event) => {
const square = Number((event.target).dataset.s);
if (square !== focused) focus(square, false);
});
grid.addEventListener("keydown", (event) => {
if (event.ctrlKey || event.metaKey || event.altKey) return;
const steps = { ArrowRight: [1, 0], ArrowLeft: [-1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1], Home: [-8, 0], End: [8, 0] };
if (event.key in steps) {
const [right, up] = steps[event.key].map((step) => (isTurned ? -step : step));
const within = (at) => Math.max(0, Math.min(7, at));
focus(within((focused & 7) + right) + 8 * within((focused >> 3) + up));
} else if (event.key === "Enter" || event.key === " ") press(focused);
else if (event.key === "Escape") layDown();
else return;
event.preventDefault();
});
part.men.addEventListener("keydown", (event) => {
if (event.key !== "Escape") return;
const from = taken >= 0 ? taken : focused;
layDown();
focus(from);
});
dragging(grid, svg, {
man: (square) => (state === "ask" && !pending && isOwn(square) ? board.man(square) : undefined),
lift: (square) => {
if (taken !== square) takeUp(square);
return taken === square;
},
drop: (from, to) => (to < 0 || to === from ? layDown() : isOwn(to) ? layDown() : attempt(from, to)),
});
part.back.addEventListener("click", takeBack);
part.again.addEventListener("click", startAgain);
part.show.addEventListener("click", showNext);
part.turn.addEventListener("click", () => {
isTurned = !isTurned;
board.turn(isTurned);
grid.classList.toggle("flip", isTurned);
});
onEntry(section, field, readTyped);
grid.classList.toggle("flip", isTurned);
put(first, trace);
paint();
}
function drawGrid(svg) {
const grid = document.createElement("div");
grid.className = "xg";
grid.setAttribute("role", "grid");
grid.setAttribute("aria-label", svg.getAttribute("aria-label") || "");
for (let rank = 7; rank >= 0; rank--) {
const row = document.createElement("div");
row.setAttribute("role", "row");
for (let file = 0; file < 8; file++) {
const cell = document.createElement("div");
cell.className = "sq";
cell.dataset.s = String(8 * rank + file);
cell.setAttribute("role", "gridcell");
row.append(cell);
}
grid.append(row);
}
svg.setAttribute("aria-hidden", "true");
svg.after(grid);
return grid;
}
function dragging(grid, svg, hand) {
let held = null;
const squareAt = (event) => {
const under = document.elementsFromPoint(event.clientX, event.clientY);
const cell = (under.find((element) => element.parentElement?.parentElement === grid));
return cell ? Number(cell.dataset.s) : -1;
};
const end = () => {
if (!held) return;
held.man.style.transform = held.home;
held.man.classList.remove("held");
held = null;
};
grid.addEventListener("pointerdown", (event) => {
const from = squareAt(event);
const man = event.button || held ? undefined : hand.man(from);
if (man) held = { from, man, home: man.style.transform, id: event.pointerId, x: event.clientX, y: event.clientY, isUp: false };
});
grid.addEventListener("pointermove", (event) => {
if (!held || event.pointerId !== held.id) return;
if (!held.isUp) {
if (Math.hypot(event.clientX - held.x, event.clientY - held.y) < STIR) return;
if (!hand.lift(held.from)) return end();
held.isUp = true;
held.man.classList.add("held");
held.man.parentNode?.append(held.man);
grid.setPointerCapture(event.pointerId);
}
const place = new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM()?.inverse());
held.man.style.transform = "translate(" + (place.x - 22.5) + "px," + (place.y - 22.5) + "px)";
});
grid.addEventListener("pointerup", (event) => {
if (!held || event.pointerId !== held.id) return;
const { from, isUp } = held;
end();
if (isUp) hand.drop(from, squareAt(event));
});
grid.addEventListener("pointercancel", () => {
const wasUp = held && held.isUp;
end();
if (wasUp) hand.drop(-1, -1);
});
}
function readMove(text, letters) {
const plain = text.replace(/^\s*\d+\s*\.+|[\s+#!?=x:×–—-]|e\.?p\.?$/g, "");
if (/^[0oO]{2,3}$/.test(plain)) return { castles: plain.length === 2 ? "O-O" : "O-O-O", man: "K", file: "", rank: "", to: "", becomes: "" };
const found = /^(\D\D??)??([a-h])?([1-8])?([a-h][1-8])(\D)?$/.exec(plain);
if (!found) return null;
const [, man = "", file = "", rank = "", to, becomes = ""] = found;
const read = { castles: "", man: letterOf(man, letters), file, rank, to, becomes: letterOf(becomes, letters) };
return (man && !read.man) || (becomes && !read.becomes) ? null : read;
}
function letterOf(sign, letters) {
const upper = sign.toUpperCase();
const at = letters.findIndex((letter) => letter.toUpperCase() === upper);
return at >= 0 ? PIECES[at] : [...PIECES].includes(upper) ? upper : "";
}
function fits(read, square, board) {
const man = board[square].toUpperCase();
const isNamed = read.man ? man === read.man : man === "P" || Boolean(read.file && read.rank);
return isNamed && (!read.file || FILES[square & 7] === read.file) && (!read.rank || (square >> 3) + 1 === Number(read.rank));
}
function typed(text, rows, board, letters) {
const meant = (read) =>
rows.filter((row) => {
if (!read) return false;
if (read.castles) return row.san.replace(/[+#]/, "") === read.castles;
return (
nameOf(row.to) === read.to && fits(read, row.from, board) && (!row.san.includes("O") || read.file !== "") &&
(!read.becomes || row.becomes.toUpperCase() === read.becomes)
);
});
const found = meant(readMove(text, letters));
return found.length || !/^\s*b/.test(text) ? found : meant(readMove(text.replace("b", "B"), letters));
}
function giveWay(sections) {
const seen = new Set();
const watcher = new IntersectionObserver(
(entries) => {
for (const entry of entries) {
if (entry.isIntersecting) seen.add(entry.target);
else seen.delete(entry.target);
}
document.body.classList.toggle("solving", seen.size > 0);
},
{ rootMargin: "-45% 0px -45% 0px" },
);
for (const section of sections) watcher.observe(section);
}
document.addEventListener("DOMContentLoaded", () => {
const store = document.getElementById("exercise-words");
if (!store) return;
const words = JSON.parse(store.textContent || "{}");
giveWay([...document.querySelectorAll(".ex")].filter((one) => one instanceof HTMLElement));
for (const table of document.querySelectorAll("script.xd")) {
const section = (table.closest(".ex"));
const data = JSON.parse(table.textContent || "{}");
if (section) (data.turns ? startMoves : startWords)(section, data, words);
}
});
})();
