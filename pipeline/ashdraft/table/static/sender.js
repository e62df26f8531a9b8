// Sends what waits, oldest first, and takes it away once the computer has it on its disk.
import * as store from "./store.js";

const FIRST_WAIT = 1000;
const LONGEST_WAIT = 10000;

export class Sender {
  /** `told` is called with {waiting, fault} whenever either may have changed. */
  constructor(told) {
    this.told = told;
    this.wait = FIRST_WAIT;
    this.awake = null;
    this.begun = new Set();
    this.running = this.run();
  }

  /** Something waits, or the line may be back: try now. */
  nudge() {
    this.wait = FIRST_WAIT;
    this.awake?.();
  }

  async run() {
    let refused = 0;
    for (;;) {
      const item = await store.first(refused);
      if (!item) {
        this.told({ waiting: 0, fault: "" });
        await this.sleep(60000);
        continue;
      }
      const fault = await this.send(item);
      if (fault === "") {
        await store.sent(item.id);
        this.wait = FIRST_WAIT;
        this.told({ waiting: await store.count(), fault: "" });
      } else if (fault.refused) {
        refused = item.id;
        this.told({ waiting: await store.count(), fault: fault.refused });
      } else {
        this.told({ waiting: await store.count(), fault });
        await this.sleep(this.wait);
        this.wait = Math.min(this.wait * 2, LONGEST_WAIT);
      }
    }
  }

  /** "" when it is confirmed; words when it should be tried again. */
  async send(item) {
    try {
      let answer = await this.begin(item);
      if (answer.ok) answer = await this.ask(item);
      if (answer.ok) return "";
      if (answer.status === 404) this.begun.clear(); // the folder was taken away: it is made anew
      if (answer.status === 401) return "This phone is not paired any more. Scan the square on the computer again.";
      const said = await answer.json().catch(() => ({}));
      if (answer.status === 422) return { refused: `The computer does not take this: ${said.refused}` };
      return said.refused ?? "The computer is busy.";
    } catch {
      return "The computer does not answer.";
    }
  }

  /** Tell the computer of the recording, once while this page is open. */
  async begin(item) {
    if (this.begun.has(item.key)) return { ok: true };
    const answer = await fetch(`/table/${item.key}`, json({ moment: item.begun }));
    if (answer.ok) this.begun.add(item.key);
    return answer;
  }

  ask(item) {
    if (item.kind === "piece") {
      const about = new URLSearchParams({ rate: item.rate, moment: item.moment });
      const body = new Blob([item.samples.buffer]);
      return fetch(`/table/${item.key}/pieces/${item.number}?${about}`, { method: "PUT", body });
    }
    return fetch(`/table/${item.key}/entries`, json(item.entry));
  }

  sleep(milliseconds) {
    return new Promise((resolve) => {
      const timer = setTimeout(resolve, milliseconds);
      this.awake = () => {
        clearTimeout(timer);
        resolve();
      };
    });
  }
}

const json = (value) => ({
  method: "POST",
  headers: { "content-type": "application/json" },
  body: JSON.stringify(value),
});
