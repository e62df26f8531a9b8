// Changes: sent one after another, shown at once, with the draft following.
import { made_from } from "./rows.js";

export class Changes {
  constructor(main, rows, strip, tell) {
    this.base = main.dataset.base;
    this.line = Number(main.dataset.line);
    this.rows = rows;
    this.strip = strip;
    this.tell = tell;
    this.queue = Promise.resolve();
    this.wait = 60;
    this.slip = null;
    this.counts = null;
  }

  // Make one change of a sentence (or of none, `id` null).
  make(what, id = this.rows.id) {
    const done = this.queue.then(() => this.send({ ...what, id }));
    this.queue = done.catch(() => {});
    return done;
  }

  async send(body) {
    let answer;
    try {
      answer = await fetch(`${this.base}/change`, {
        method: "POST", headers: { "content-type": "application/json" },
        body: JSON.stringify({ ...body, line: this.line }),
      });
    } catch {
      this.tell("Ashdraft does not answer. Nothing was changed; is it still open on the computer?");
      return;
    }
    const told = await answer.json().catch(() => ({ message: "That did not work." }));
    if (!answer.ok) {
      if (answer.status === 409) await this.again();
      this.tell(told.message);
      return;
    }
    this.line = told.line;
    this.close();
    if (told.all) await this.again(); else this.rows.replace(told.rows);
    this.standing(told);
    this.sentences(told.texts);
    this.offer(told.offers, body.id);
    this.follow();
  }

  standing(told) {
    document.getElementById("doubts").textContent = String(told.doubts);
    document.querySelector("[data-act=undo]").disabled = !told.undo;
    document.querySelector("[data-act=redo]").disabled = !told.redo;
    if (document.activeElement === document.body) this.rows.chosen?.focus({ preventScroll: true });
    this.counts = told.counts;
  }

  // Put the new wording into the draft before it is assembled anew.
  sentences(texts) {
    for (const [id, text] of Object.entries(texts)) {
      const said = document.querySelector(`#draft .said#u${id}`);
      if (!said || said.querySelectorAll("a.t, span.t").length !== 1) continue;
      const time = said.querySelector(".t");
      said.replaceChildren(time, text);
      this.mark(said);
    }
  }

  mark(said) {
    document.querySelector("#draft .touched")?.classList.remove("touched");
    said.classList.add("touched");
  }

  // Show in the draft where the chosen sentence stands; beside the transcript only.
  beside() {
    const box = document.getElementById("draft");
    const said = document.querySelector(`#draft .said#u${this.rows.id}`);
    if (!said) return;
    this.mark(said);
    const [one, other] = [said, box].map((element) => element.getBoundingClientRect());
    if (getComputedStyle(box).overflowY === "auto") box.scrollTop += one.top - other.top - 60;
  }

  // Fetch the draft as it is assembled now; the last of several changes only.
  follow() {
    clearTimeout(this.later);
    this.later = setTimeout(() => this.pane(), this.wait);
  }

  async pane() {
    const began = performance.now();
    const answer = await fetch(`${this.base}/pane`);
    const told = await answer.json();
    this.wait = Math.min(1500, 60 + 0.5 * (performance.now() - began));
    const line = document.getElementById("draft-told");
    if (!answer.ok) { line.textContent = told.message; return; }
    const box = document.getElementById("draft");
    const touched = box.querySelector(".touched")?.id;
    const top = box.scrollTop;
    box.innerHTML = told.draft;
    box.scrollTop = top;
    const said = touched && document.getElementById(touched);
    if (said) this.mark(said);
    this.strip.replaced(told.strips);
    line.textContent = told.edited
      ? "draft.md was edited by hand and is left as it is. With the changes made here, the draft is: " : "";
    if (!told.edited) return;
    const link = document.createElement("a");
    link.href = `${this.base}/file/${encodeURIComponent(told.file)}`;
    link.download = told.file;
    link.textContent = told.file;
    line.append(link);
  }

  // Read every row again: sentences came or went, or another page changed them.
  async again() {
    const answer = await fetch(this.base);
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    const at = this.rows.chosen ? Number(this.rows.chosen.dataset.start) : null;
    this.line = Number(page.getElementById("main").dataset.line);
    const list = page.getElementById("rows");
    this.rows.chosen = this.rows.doubt = null;
    this.rows.list.replaceChildren(...list.children);
    const near = at === null ? null
      : [...this.rows.list.children].filter((row) => Number(row.dataset.start) <= at).pop();
    this.rows.choose(near || this.rows.list.firstElementChild, at !== null);
    for (const act of ["undo", "redo"]) {
      document.querySelector(`.tools [data-act=${act}]`).disabled = page.querySelector(`.tools [data-act=${act}]`).disabled;
    }
    document.getElementById("doubts").textContent = page.getElementById("doubts").textContent;
    this.follow();
  }

  // A correction that names something one may taste: offered, and noted only on a press.
  offer(terms, id) {
    this.tell("");
    const told = document.getElementById("told");
    for (const term of terms) {
      const button = document.createElement("button");
      button.type = "button";
      button.textContent = `Note “${term}”`;
      button.addEventListener("click", () => this.make(
        { do: "note", term, polarity: "present", source: "palate", intensity: "plain" }, id,
      ));
      told.append(button, " ");
    }
  }

  doubt(kind) {
    const doubt = this.rows.doubt;
    if (!doubt) { this.tell("Nothing in this sentence is marked as doubtful. D goes to the next place."); return; }
    const { heard, meant } = doubt.dataset;
    this.make({ do: kind, heard, meant }, Number(doubt.closest("li").id.slice(1)));
  }

  async open(field) {
    const id = this.rows.id;
    if (id === null) return;
    this.close();
    const answer = await fetch(`${this.base}/slip/${id}`);
    if (!answer.ok) return;
    const place = document.createElement("li");
    place.className = "slip-place";
    place.append(made_from(await answer.text()));
    this.rows.chosen.after(place);
    this.slip = place;
    const wanted = place.querySelector(field) || place.querySelector("textarea");
    wanted.focus({ preventScroll: true });
    if (wanted.matches("input")) wanted.select();
    place.scrollIntoView({ block: "nearest" });
  }

  close() {
    if (!this.slip) return;
    const inside = this.slip.contains(document.activeElement);
    this.slip.remove();
    this.slip = null;
    if (inside && this.rows.chosen) this.rows.chosen.focus({ preventScroll: true });
  }

  // What a form of the slip, or a button in it, asks for.
  sent(form, act) {
    const id = Number(this.slip.querySelector(".slip").dataset.id);
    const value = (name) => form.elements[name].value;
    const note = () => ({
      term: value("term"), polarity: value("polarity"), source: value("source"),
      intensity: value("intensity"),
    });
    const { heard, meant, was, old, oldPolarity } = form.dataset;
    const said = () => [...this.rows.row(id).querySelectorAll(".said")][0].textContent;
    const changes = {
      accept: () => ({ do: "accept", heard, meant }),
      refuse: () => ({ do: "refuse", heard, meant }),
      doubt: () => ({ do: "correct", was, now: value("now"), nth: 0 }),
      correct: () => ({ do: "correct", was: said(), now: value("now"), nth: 0 }),
      move: () => ({ do: "move", section: value("section"), third: Number(value("third")) || null }),
      renote: () => ({ do: "renote", old, old_polarity: oldPolarity, ...note() }),
      unnote: () => ({ do: "unnote", old, old_polarity: oldPolarity }),
      note: () => ({ do: "note", ...note() }),
      split: () => {
        const cut = form.elements.cut.selectedOptions[0].dataset;
        return { do: "split", before: cut.before, time: Number(cut.time) };
      },
    };
    this.make(changes[act || form.dataset.do](), id);
  }
}
