(function () {
"use strict";
const { progress } = window.plybook;
const rows = (document.querySelectorAll(".judge[data-id]"));
for (const row of rows) {
const id = row.dataset.id || "";
const buttons = row.querySelectorAll("button");
const show = () => {
const item = progress.load()[id];
for (const button of buttons) {
const isKnew = Boolean(button.dataset.knew);
button.setAttribute("aria-pressed", String(Boolean(item && isKnew !== Boolean(item[3]))));
}
};
for (const button of buttons) {
button.addEventListener("click", () => {
if (button.dataset.knew) progress.record(id, false);
else progress.fail(id);
});
}
progress.onChange(show);
show();
}
})();
