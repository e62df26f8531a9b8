// The score sheet: each box is written into draft.md when it is left; sums only when asked for.
import { Player, bar } from "./player.js";

const main = document.getElementById("main");
const told = document.getElementById("told");
const tell = (words) => { told.textContent = words; };
const player = new Player(document.getElementById("recordings"), tell);
const box = document.getElementById("total");

async function send(path, body) {
  try {
    const answer = await fetch(`${main.dataset.base}${path}`, {
      method: "POST", headers: { "content-type": "application/json" }, body: JSON.stringify(body),
    });
    return { ok: answer.ok, ...(await answer.json()) };
  } catch {
    return { ok: false, message: "Ashdraft does not answer. Nothing was written; is it still open on the computer?" };
  }
}

const rows = [...document.querySelectorAll(".criterion")];
for (const row of rows) {
  const [mark, comment] = ["mark", "comment"].map((name) => row.querySelector(`[name=${name}]`));
  const complaint = row.querySelector(".amiss");
  let was = { mark: mark.value, comment: comment.value };
  let queue = Promise.resolve();
  const save = async () => {
    if (mark.value === was.mark && comment.value === was.comment) return;
    if (comment.value && !mark.value) { complain("Words stand behind a mark or a dash."); return; }
    const done = await send("/mark", {
      row: row.dataset.row, mark: mark.value, comment: comment.value,
      was_mark: was.mark, was_comment: was.comment,
    });
    if (!done.ok || done.complaint) complain(done.complaint || done.message); else complain("");
    if (!done.cell) return;
    was = done.cell;
    if (!done.complaint || done.changed) { mark.value = was.mark; comment.value = was.comment; }
    box.replaceChildren();
  };
  const complain = (words) => {
    complaint.textContent = words;
    complaint.hidden = !words;
    mark.setAttribute("aria-invalid", String(Boolean(words)));
  };
  row.addEventListener("change", () => { queue = queue.then(save); });
}

document.getElementById("sheet").addEventListener("submit", (event) => event.preventDefault());
bar(player, {
  total: async () => {
    const done = await send("/total", {});
    if (done.ok) box.innerHTML = done.total; else box.textContent = done.message;
  },
});
document.addEventListener("keydown", (event) => {
  if (event.key === "Escape") player.pause();
});
