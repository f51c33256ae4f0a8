(function () {
"use strict";
const { progress } = window.plybook;
const TOO_LARGE = 1e6; // characters: beyond any course's work
const READS = 2000; // milliseconds that "Copied" stays
const words = JSON.parse(document.getElementById("work-words")?.textContent || "{}");
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
const marks = (document.querySelectorAll("a.mark"));
function show() {
const items = progress.load();
const today = progress.today();
let due = 0;
let next = Infinity;
let seen = 0;
for (const mark of marks) {
const item = items[mark.dataset.id || ""];
const on = item ? progress.dueOn(item) : Infinity;
const isDue = on <= today;
mark.classList.toggle("alone", Boolean(item && !item[3]));
mark.classList.toggle("helped", Boolean(item && item[3]));
mark.classList.toggle("due", isDue);
mark.classList.toggle("settled", Boolean(item && on === Infinity));
const state = item ? [item[3] ? words.helped : words.alone] : [words.open];
if (isDue) state.push(words.due);
else if (item) state.push(on === Infinity ? words.settled : fill(words.next, { date: dayWords(on) }));
const name = fill(words.named, { name: mark.dataset.name || "", state: state.join(", ") });
mark.title = name;
(mark.querySelector(".vh")).textContent = name;
if (!item) continue;
seen += 1;
due += isDue ? 1 : 0;
next = Math.min(next, isDue ? Infinity : on);
}
byId("now").textContent = said(seen, due, next);
byId("out").textContent = progress.exportText();
}
function said(seen, due, next) {
if (!progress.isKept()) return words.refused;
if (due) return fill(words.today, { count: due });
if (next < Infinity) return fill(words.later, { date: dayWords(next) });
return seen ? words.finished : words.never;
}
const out = (byId("out"));
const box = (byId("in"));
const copy = byId("copy");
const copyText = copy.textContent || "";
copy.addEventListener("click", () => {
const done = () => {
copy.textContent = words.copied;
setTimeout(() => (copy.textContent = copyText), READS);
};
const chosen = () => {
out.focus();
out.select();
};
if (navigator.clipboard) navigator.clipboard.writeText(out.value).then(done, chosen);
else chosen();
});
byId("save").addEventListener("click", () => {
const link = document.createElement("a");
link.href = URL.createObjectURL(new Blob([out.value], { type: "text/plain" }));
link.download = words.file;
link.click();
setTimeout(() => URL.revokeObjectURL(link.href), READS);
});
function take(text) {
const said = byId("said");
if (!text.trim()) {
said.textContent = words.empty;
return;
}
const read = progress.readText(text);
if ("fault" in read) {
said.textContent = words[read.fault];
return;
}
const before = progress.load();
progress.merge(read.items);
const counts = { new: 0, later: 0, same: 0 };
const after = progress.load();
for (const id of Object.keys(read.items)) {
const own = before[id];
if (!own) counts.new += 1;
else if (String(own.slice(1)) !== String((after[id] || own).slice(1))) counts.later += 1;
else counts.same += 1;
}
said.textContent = fill(words.taken, counts);
box.value = "";
}
byId("take").addEventListener("click", () => take(box.value));
const chosen = (byId("file"));
chosen.addEventListener("change", () => {
const file = chosen.files && chosen.files[0];
if (!file) return;
if (file.size > TOO_LARGE) byId("said").textContent = words["too-large"];
else file.text().then(take, () => (byId("said").textContent = words["not-ours"]));
chosen.value = "";
});
const clear = byId("clear");
const sure = byId("sure");
function ask(isAsked) {
sure.hidden = !isAsked;
clear.setAttribute("aria-expanded", String(isAsked));
(isAsked ? byId("no") : clear).focus();
}
clear.addEventListener("click", () => {
byId("cleared").textContent = "";
ask(sure.hidden);
});
byId("no").addEventListener("click", () => ask(false));
byId("yes").addEventListener("click", () => {
progress.clear();
ask(false);
byId("cleared").textContent = words.cleared;
});
sure.addEventListener("keydown", (event) => {
if (event.key === "Escape") ask(false);
});
progress.onChange(show);
show();
})();
