// What the page shows. Nothing here records or sends.
const QUIETEST = 60;
export const $ = (selector) => document.querySelector(selector);

export function clock(seconds) {
  const whole = Math.max(0, Math.floor(seconds));
  const two = (n) => String(n).padStart(2, "0");
  const [h, m, s] = [Math.floor(whole / 3600), Math.floor(whole / 60) % 60, whole % 60];
  return h ? `${h}:${two(m)}:${two(s)}` : `${m}:${two(s)}`;
}

const PARTS = {
  ready: { before: true, buttons: { start: "Start" }, state: "Not recording" },
  asking: { before: true, buttons: {}, state: "Asking for the microphone" },
  recording: { taps: true, buttons: { pause: "Pause", stop: "Stop" }, state: "Recording" },
  paused: { taps: true, buttons: { pause: "Go on", stop: "Stop" }, state: "Paused" },
  broken: { broken: true, buttons: { pause: "Go on", stop: "Stop" }, state: "Broken off" },
  stopped: { after: true, buttons: {}, state: "Ended" },
  done: { after: true, buttons: { again: "Record another" }, state: "Ended" },
};

export function phase(name) {
  const parts = PARTS[name];
  $("main").dataset.phase = name;
  $("#state").textContent = parts.state;
  for (const part of ["before", "broken", "taps", "after"]) $(`.${part}`).hidden = !parts[part];
  for (const id of ["start", "pause", "stop", "again"]) {
    const button = $(`#${id}`);
    button.hidden = !(id in parts.buttons);
    button.textContent = parts.buttons[id] ?? button.textContent;
  }
  if (name !== "recording") level(0);
}

export function level(peak) {
  const share = peak ? Math.max(0, 1 + (20 * Math.log10(peak / 32768)) / QUIETEST) : 0;
  const percent = Math.round(share * 100);
  $("#level i").style.width = `${percent}%`;
  $("#level").setAttribute("aria-valuenow", String(percent));
}

/** Put words there, unless they stand there already (a screen reader would read them again). */
export function say(selector, words) {
  if ($(selector).textContent !== words) $(selector).textContent = words;
}

export function taps(counts) {
  for (const button of document.querySelectorAll("[data-tap]")) {
    button.querySelector("b").textContent = counts[button.dataset.tap] || "";
  }
}

export function understood(known) {
  const there = known && known.notes;
  $(".understood").hidden = !there;
  if (!there) return;
  say("#until", clock(known.until));
  const count = (of) => (of ? of.slice(0, 3).map((n) => n || "–") : ["–", "–", "–"]);
  const rows = [
    ["Touch-ups", ...count(known.touch_ups)],
    ["Relights", ...count(known.relights)],
    ["Notes", ...["1", "2", "3"].map((third) => known.notes[third].join(", ") || "–")],
  ];
  $("#thirds").replaceChildren(...rows.map(([name, ...cells]) => {
    const row = document.createElement("tr");
    const head = row.appendChild(document.createElement("th"));
    head.scope = "row";
    head.textContent = name;
    for (const text of cells) row.appendChild(document.createElement("td")).textContent = text;
    return row;
  }));
}
