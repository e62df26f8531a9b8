// The page with transcript and draft: keys and buttons bound to what they do.
import { Player, bar } from "./player.js";
import { Strip } from "./strip.js";
import { Rows } from "./rows.js";
import { Changes } from "./change.js";

const main = document.getElementById("main");
const told = document.getElementById("told");
const tell = (words) => { told.textContent = words; };
const player = new Player(document.getElementById("recordings"), tell);
const rows = new Rows(document.getElementById("rows"), player);
const strip = new Strip(document.getElementById("strip"), player, Number(main.dataset.step));
const changes = new Changes(main, rows, strip, tell);
rows.addEventListener("chosen", () => changes.beside());
const keys = document.getElementById("keys");

const opened = (button, id) => {
  const box = document.getElementById(id);
  box.hidden = !box.hidden;
  button.setAttribute("aria-expanded", String(!box.hidden));
  return box.hidden ? null : box;
};
const button = (act) => document.querySelector(`.tools [data-act=${act}]`);
const doubtful = () => {
  const doubt = rows.nextDoubt();
  if (!doubt) { tell("No doubtful place is left."); return; }
  const { kind, heard, meant, why } = doubt.dataset;
  tell(kind === "repair" ? `Heard “${heard}”, written “${meant}” (${why}).`
    : kind === "suggestion" ? `Heard “${heard}”; “${meant}” may be meant (${why}).`
      : `“${heard}” may be mis-heard.`);
};
const counts = () => {
  const form = opened(button("counts"), "counts");
  if (form) { filled(); form.elements.total.focus(); }
};
const form = document.getElementById("counts");
const filled = () => {
  const now = (changes.counts || JSON.parse(form.dataset.now))[form.elements.which.value];
  form.elements.total.value = now.total;
  form.elements.third.forEach((one, n) => { one.value = now.by_third[n]; });
};
form.elements.which.addEventListener("change", filled);
form.addEventListener("submit", (event) => {
  event.preventDefault();
  const { which, total, third, reason } = form.elements;
  changes.make({
    do: "count", which: which.value, total: Number(total.value),
    by_third: [...third].map((one) => Number(one.value)), reason: reason.value,
  }, null).then(() => { if (!told.textContent) { reason.value = ""; tell("The count is set."); } });
});

const acts = bar(player, {
  previous: () => rows.step(-1),
  next: () => rows.step(1),
  doubtful,
  marks: () => {
    const on = rows.list.classList.toggle("marks");
    button("marks").setAttribute("aria-pressed", String(on));
  },
  undo: () => changes.make({ do: "undo" }, null),
  redo: () => changes.make({ do: "redo" }, null),
  counts,
  help: () => opened(button("help"), "help"),
  edit: () => changes.open("textarea"),
  close: () => changes.close(),
  strike: () => changes.make({ do: "strike" }),
  merge: () => changes.make({ do: "merge" }),
  accept: (from) => { if (from?.form) changes.sent(from.form, "accept"); else changes.doubt("accept"); },
  refuse: (from) => { if (from?.form) changes.sent(from.form, "refuse"); else changes.doubt("refuse"); },
  unnote: (from) => changes.sent(from.form, "unnote"),
});

document.getElementById("rows").addEventListener("submit", (event) => {
  event.preventDefault();
  changes.sent(event.target);
});

const KEYS = {
  " ": acts.play, b: acts.back, j: acts.next, ArrowDown: acts.next, k: acts.previous,
  ArrowUp: acts.previous, Enter: () => rows.hear(), d: doubtful, a: () => acts.accept(),
  r: () => acts.refuse(), t: () => changes.open("form[data-do=doubt] input"), e: acts.edit,
  m: () => changes.open("form[data-do=move] select"), n: () => changes.open("form[data-do=note] input"),
  x: acts.strike, g: acts.merge, s: () => changes.open("form[data-do=split] select"), c: counts,
  u: acts.undo, U: acts.redo, "-": acts.slower, "+": acts.faster, "=": acts.faster,
};
document.addEventListener("keydown", (event) => {
  if (event.key === "Escape") {
    if (changes.slip) changes.close(); else player.pause();
    return;
  }
  const typing = event.target.closest("input:not([type=checkbox]):not([type=range]), textarea, select");
  if (typing || !keys.checked || event.ctrlKey || event.metaKey || event.altKey) return;
  const pressed = event.target.closest("button, a, summary, [type=checkbox]");
  if (pressed && (event.key === " " || event.key === "Enter")) return;
  if (event.target.closest("[type=range]") && event.key.startsWith("Arrow")) return;
  const act = KEYS[event.key];
  if (!act) return;
  event.preventDefault();
  act();
});

changes.pane();
window.addEventListener("focus", () => changes.follow());
strip.load(`${main.dataset.base}/peaks`);
