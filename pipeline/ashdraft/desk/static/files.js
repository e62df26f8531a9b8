// Chapters and captions: a press plays them, and the caption of the second stands above its list.
import { Player, bar } from "./player.js";

const told = document.getElementById("told");
const player = new Player(document.getElementById("recordings"), (words) => { told.textContent = words; });
bar(player, {});

const line = document.getElementById("caption");
const cues = [...document.querySelectorAll("#cues li")].map((row) => ({
  row, start: Number(row.dataset.start), end: Number(row.dataset.end),
}));
let shown = null;
player.addEventListener("time", () => {
  const now = player.seconds;
  const cue = cues.find((one) => one.start <= now && now < one.end) || null;
  if (cue === shown) return;
  shown?.row.removeAttribute("aria-current");
  cue?.row.setAttribute("aria-current", "true");
  shown = cue;
  line.classList.remove("soft");
  line.textContent = cue ? cue.row.querySelector(".said").textContent : "";
});
document.addEventListener("keydown", (event) => {
  if (event.key === "Escape") player.pause();
});
