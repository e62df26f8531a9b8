// The page at the table: one recording, from start to draft, through reloads and lost lines.
import { Cutter } from "./cutter.js";
import { Microphone } from "./microphone.js";
import { Sender } from "./sender.js";
import * as show from "./show.js";
import * as store from "./store.js";

const CRUMB = 1; // seconds
const SILENT = 5000;
const LOUD_SHOWN = 3000;
const CLIPPED = 32700;
const LITTLE_SPACE = 200e6;
const ASK_EVERY = 3000;
const AGAIN = 2000;

let now = null; // the recording as it is kept
let running = false;
let last = { sounded: 0, clipped: 0, block: 0, peak: 0 };
let little = false;
let full = false;
let line = { waiting: 0, fault: "" };
let crumb = { blocks: [], samples: 0 };
let lock = null;
let writing = Promise.resolve();

const sender = new Sender((told) => {
  line = told;
  sentence();
});
const cutter = new Cutter((samples, rate, begins) => piece(samples, rate, begins));
const microphone = new Microphone(block, () => broken("lost"));

/** ISO 8601 with this phone's own offset. */
function moment(at = Date.now()) {
  const offset = -new Date(at).getTimezoneOffset();
  const two = (n) => String(Math.floor(Math.abs(n))).padStart(2, "0");
  const local = new Date(at + offset * 60000).toISOString().slice(0, -1);
  return `${local}${offset < 0 ? "-" : "+"}${two(offset / 60)}:${two(offset % 60)}`;
}

/** One write after another; where this phone takes nothing more, again until it does. */
function keep(work) {
  writing = writing.then(async () => {
    for (;;) {
      try {
        await work();
        full = false;
        return;
      } catch {
        full = true;
        await new Promise((resolve) => setTimeout(resolve, AGAIN));
      }
    }
  });
  return writing;
}

function piece(samples, rate, begins) {
  crumb = { blocks: [], samples: 0 };
  const item = { kind: "piece", key: now.key, begun: now.begun, number: ++now.pieces, rate, moment: moment(begins), samples };
  return keep(() => store.queue(now, item, true)).then(() => sender.nudge());
}

function entry(what, at = Date.now()) {
  const item = { kind: "entry", key: now.key, begun: now.begun, entry: { n: ++now.entries, moment: moment(at), ...what } };
  return keep(() => store.queue(now, item)).then(() => sender.nudge());
}

function block(samples, peak, rate, at) {
  if (!running) return;
  last.block = at;
  last.peak = peak;
  if (peak > 2) last.sounded = at;
  if (peak >= CLIPPED) last.clipped = at;
  crumb.blocks.push(samples.slice());
  crumb.samples += samples.length;
  if (crumb.samples >= CRUMB * rate) {
    const whole = { key: now.key, rate, at, blocks: crumb.blocks };
    crumb = { blocks: [], samples: 0 };
    keep(() => store.crumb(whole));
  }
  cutter.add(samples, rate, at);
}

/** What a closed page left of a piece becomes a piece. */
async function gather() {
  for (const left of await store.crumbs()) {
    if (left.key !== now.key) continue;
    let after = left.blocks.reduce((sum, part) => sum + part.length, 0);
    for (const part of left.blocks) {
      after -= part.length;
      cutter.add(part, left.rate, left.at - (after / left.rate) * 1000);
    }
  }
  cutter.end();
  await writing;
  await store.sweep();
}

async function listen(mark) {
  show.phase("asking");
  try {
    await microphone.open();
  } catch (fault) {
    const why = { NotAllowedError: "This page may not use the microphone. Allow it in the browser's settings for this page.", NotFoundError: "There is no microphone." };
    show.say("#warning", why[fault.name] ?? "The microphone cannot be opened. Does another program use it?");
    show.phase(now ? "broken" : "ready");
    return;
  }
  if (!now) now = { key: key(), begun: moment(), since: Date.now(), pieces: 0, entries: 0, taps: {}, stopped: false };
  await keep(() => store.remember(now));
  if (mark) entry({ mark });
  last = { sounded: Date.now(), clipped: 0, block: Date.now(), peak: 0 };
  running = true;
  navigator.storage?.persist?.();
  awake();
  show.phase("recording");
}

function key() {
  return Array.from(crypto.getRandomValues(new Uint8Array(16)), (n) => n.toString(16).padStart(2, "0")).join("");
}

function silence() {
  running = false;
  microphone.close();
  cutter.end();
  lock?.release();
  lock = null;
}

function broken(mark) {
  if (!running) return;
  silence();
  entry({ mark });
  show.phase("broken");
}

async function stop() {
  silence();
  now.stopped = true;
  await entry({ mark: "stop" });
  show.phase("stopped");
  show.understood(null);
  ask();
}

/** The screen stays on while recording; the lock is lost whenever the page is hidden. */
async function awake() {
  try {
    lock = running && !document.hidden ? await navigator.wakeLock?.request("screen") : lock;
  } catch {
    lock = null; // low battery: the phone decides
  }
}

function sentence() {
  const waits = line.waiting ? `${line.waiting} ${line.waiting === 1 ? "part waits" : "parts wait"} on this phone.` : "";
  const safe = now && !line.waiting ? "Everything is on the computer." : "";
  show.say("#line", [line.fault, waits, safe].filter(Boolean).join(" "));
}

function warnings() {
  const at = Date.now();
  const told = [];
  if (running) {
    if (at - last.block > SILENT) told.push("No sound comes from the microphone.");
    else if (at - last.sounded > SILENT) told.push("Nothing is heard. Is the microphone covered or muted?");
    if (at - last.clipped < LOUD_SHOWN) told.push("Too loud. Move the phone away.");
  }
  if (full) told.push("This phone keeps nothing more. Free some space on it now.");
  else if (little) told.push("Little space is left on this phone.");
  if (running || little || full) show.say("#warning", told.join(" "));
}

async function ask() {
  if (!now) return;
  try {
    const answer = await fetch(`/table/${now.key}`);
    if (!answer.ok) return;
    const state = await answer.json();
    if (state.unknown) return; // nothing has reached the computer yet
    const known = state.understood;
    show.understood(known);
    if (!now.stopped) return;
    if (known.fault) {
      show.say("#draft", `${known.fault} ${known.next ?? ""} The recording is safe in “${state.name}”.`);
      show.phase("done");
    } else if (state.draft && known.written) {
      show.say("#draft", `The draft of “${state.name}” is ready.`);
      show.$("#desk").href = `/desk/${state.draft}`;
      show.$("#desk").hidden = false;
      show.phase("done");
    } else if (state.stopped) {
      show.say("#draft", "The computer is writing the draft.");
    } else {
      show.say("#draft", "Being sent to the computer. Leave this page open until it says that the draft is ready.");
    }
  } catch {
    if (now.stopped) show.say("#draft", "The computer does not answer. Nothing is lost: leave this page open, or come back to it.");
  }
}

async function begin() {
  now = (await store.recording()) ?? null;
  if (now) await gather();
  show.taps(now?.taps ?? {});
  show.phase(now ? (now.stopped ? "stopped" : "broken") : "ready");
  if (!window.isSecureContext) show.say("#warning", "The browser gives the microphone only to pages at https or on the same computer.");
  if (now) ask();
  sentence();
}

show.$("#start").onclick = () => listen(null);
show.$("#stop").onclick = stop;
show.$("#pause").onclick = () => {
  if (running) {
    silence();
    entry({ mark: "pause" });
    show.phase("paused");
  } else {
    listen(show.$("main").dataset.phase === "paused" ? "resume" : "back");
  }
};
show.$("#again").onclick = async () => {
  if (await store.count()) return;
  now = null;
  await store.forget();
  location.reload();
};
for (const button of document.querySelectorAll("[data-tap]")) {
  button.onclick = () => {
    now.taps[button.dataset.tap] = (now.taps[button.dataset.tap] ?? 0) + 1;
    show.taps(now.taps);
    entry({ tap: button.dataset.tap });
    navigator.vibrate?.(30);
  };
}
show.$("#note").onsubmit = (event) => {
  event.preventDefault();
  const words = show.$("#words").value.trim();
  if (words) entry({ note: words });
  show.$("#words").value = "";
};
document.addEventListener("visibilitychange", awake);
window.addEventListener("online", () => sender.nudge());
window.addEventListener("beforeunload", (event) => {
  if (running) event.preventDefault();
});
setInterval(() => {
  if (running) show.level(last.peak);
  if (now && !now.stopped) show.say("#elapsed", show.clock((Date.now() - now.since) / 1000));
  warnings();
}, 100);
setInterval(ask, ASK_EVERY);
setInterval(async () => {
  const { quota, usage } = (await navigator.storage?.estimate?.()) ?? {};
  little = quota !== undefined && quota - usage < LITTLE_SPACE;
}, 30000);
navigator.serviceWorker?.register("/table/offline.js", { scope: "/table" }).catch(() => {});
begin();
