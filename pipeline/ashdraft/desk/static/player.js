// The recordings of a session played as one timeline, in seconds.
const FAR = 0.05;
export const SPEEDS = [0.5, 0.6, 0.7, 0.8, 0.9, 1, 1.1, 1.25, 1.5, 1.75, 2];

export class Player extends EventTarget {
  constructor(list, tell) {
    super();
    this.recordings = [...list.children].map((one) => ({
      href: one.dataset.href, name: one.dataset.name,
      offset: Number(one.dataset.offset), duration: Number(one.dataset.duration),
    }));
    this.tell = tell;
    this.sound = new Audio();
    this.sound.preload = "metadata";
    this.sound.preservesPitch = true;
    this.here = null;
    this.until = null;
    this.slow = null;
    this.speed = 1;
    this.sound.addEventListener("error", () => {
      if (this.here) this.tell(`${this.here.name} cannot be played by this browser.`);
    });
    for (const kind of ["play", "pause", "ended"]) {
      this.sound.addEventListener(kind, () => this.changed());
    }
    this.sound.addEventListener("ended", () => this.following());
    this.sound.addEventListener("seeked", () => this.changed());
    this.watch = null;
  }

  get seconds() { return this.here ? this.here.offset + this.sound.currentTime : 0; }

  get playing() { return !this.sound.paused; }

  // Play from a second of the timeline, up to `until` if that is given. `slow` is a span that
  // is played slower than the rest.
  play(from, until = null, slow = null) {
    const recording = this.recordings.find(
      (one) => one.offset <= from + FAR && from < one.offset + one.duration,
    );
    if (!recording) { this.tell("No recording of this second is at hand."); return; }
    this.until = until;
    this.slow = slow;
    const at = Math.max(0, from - recording.offset);
    if (this.here !== recording) {
      this.here = recording;
      this.sound.src = recording.href;
      this.sound.addEventListener("loadedmetadata", () => { this.sound.currentTime = at; }, { once: true });
    } else this.sound.currentTime = at;
    this.start();
  }

  start() {
    this.sound.playbackRate = this.speed;
    this.sound.play().catch((fault) => {
      if (fault.name !== "AbortError") this.tell("The recording cannot be played.");
    });
  }

  toggle() {
    if (this.playing) { this.sound.pause(); return; }
    this.until = null;
    this.slow = null;
    if (this.here) this.start(); else this.play(this.recordings[0]?.offset ?? 0);
  }

  pause() { this.sound.pause(); }

  back(seconds) {
    if (!this.here) return;
    this.until = null;
    this.sound.currentTime = Math.max(0, this.sound.currentTime - seconds);
  }

  faster(step) {
    const now = SPEEDS.indexOf(this.speed);
    this.speed = SPEEDS[Math.min(SPEEDS.length - 1, Math.max(0, now + step))];
    this.sound.playbackRate = this.speed;
    this.changed();
  }

  changed() {
    if (this.playing && this.watch === null) this.watch = setInterval(() => this.step(), 50);
    if (!this.playing && this.watch !== null) { clearInterval(this.watch); this.watch = null; }
    this.dispatchEvent(new Event("time"));
  }

  step() {
    const now = this.seconds;
    if (this.until !== null && now >= this.until) { this.until = null; this.pause(); }
    const slowed = this.slow && now >= this.slow.begin - 0.15 && now <= this.slow.end + 0.1;
    this.sound.playbackRate = slowed ? Math.max(0.5, this.speed * 0.6) : this.speed;
    this.dispatchEvent(new Event("time"));
  }

  following() {
    const next = this.recordings[this.recordings.indexOf(this.here) + 1];
    if (next && this.until === null) this.play(next.offset);
  }
}

export function clock(seconds) {
  const whole = Math.max(0, Math.floor(seconds));
  const [h, m, s] = [Math.floor(whole / 3600), Math.floor(whole / 60) % 60, whole % 60];
  const two = (n) => String(n).padStart(2, "0");
  return h ? `${h}:${two(m)}:${two(s)}` : `${m}:${two(s)}`;
}

// Bind a bar's buttons and its readings to a player; `acts` are the page's own.
export function bar(player, acts) {
  const all = {
    play: () => player.toggle(), back: () => player.back(3),
    slower: () => player.faster(-1), faster: () => player.faster(1), ...acts,
  };
  const play = document.querySelector(".player [data-act=play]");
  const readings = [document.getElementById("clock"), document.getElementById("speed")];
  player.addEventListener("time", () => {
    play.textContent = player.playing ? "Pause" : "Play";
    const now = [clock(player.seconds), `${player.speed.toFixed(player.speed === 1.25 || player.speed === 1.75 ? 2 : 1)}×`];
    readings.forEach((one, n) => { if (one.textContent !== now[n]) one.textContent = now[n]; });
  });
  document.addEventListener("click", (event) => {
    const button = event.target.closest("[data-act]");
    if (button && all[button.dataset.act]) all[button.dataset.act](button);
    const link = event.target.closest("a.t");
    if (link && !event.ctrlKey && !event.metaKey && !event.shiftKey) {
      event.preventDefault();
      player.play(Number(link.dataset.start));
    }
  });
  return all;
}
