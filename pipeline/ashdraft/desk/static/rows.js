// The sentences: which one is chosen, and the doubtful places among them.
export class Rows extends EventTarget {
  constructor(list, player) {
    super();
    this.list = list;
    this.player = player;
    this.chosen = null;
    this.doubt = null;
    this.visited = null;
    list.addEventListener("click", (event) => {
      const row = event.target.closest("li[data-start]");
      if (!row) return;
      this.choose(row, false);
      if (event.target.closest("button.t")) this.hear();
    });
    const first = list.querySelector("li");
    if (first) first.tabIndex = 0;
  }

  row(id) { return document.getElementById(`r${id}`); }

  get id() { return this.chosen ? Number(this.chosen.id.slice(1)) : null; }

  choose(row, focus = true) {
    if (!row) return;
    const before = this.chosen || this.list.querySelector("li[tabindex='0']");
    if (before) { before.removeAttribute("aria-current"); before.tabIndex = -1; }
    this.chosen = row;
    row.setAttribute("aria-current", "true");
    row.tabIndex = 0;
    this.at(row.contains(this.doubt) ? this.doubt : row.querySelector(".doubt"));
    if (focus) { row.focus({ preventScroll: true }); row.scrollIntoView({ block: "nearest" }); }
    this.dispatchEvent(new Event("chosen"));
  }

  at(doubt) {
    if (this.doubt) this.doubt.classList.remove("here");
    this.doubt = doubt;
    if (doubt) doubt.classList.add("here");
  }

  step(by) {
    const all = this.list.querySelectorAll("li[data-start]");
    if (!all.length) return;
    if (!this.chosen) { this.choose(all[0]); return; }
    let row = this.chosen;
    do row = by > 0 ? row.nextElementSibling : row.previousElementSibling;
    while (row && !row.dataset.start);
    if (row) { this.at(null); this.choose(row); }
  }

  hear() {
    const row = this.chosen || this.list.querySelector("li[data-start]");
    if (!row) return;
    this.choose(row);
    this.player.play(Math.max(0, Number(row.dataset.start) - 0.1), Number(row.dataset.end) + 0.2);
  }

  // The doubtful place after the one at hand, or after the sentence chosen; round the end.
  nextDoubt() {
    const all = [...this.list.querySelectorAll(".doubt")];
    if (!all.length) return null;
    const now = this.visited && this.chosen?.contains(this.visited) ? this.visited : this.chosen;
    const later = (one) => one !== now
      && now.compareDocumentPosition(one) & Node.DOCUMENT_POSITION_FOLLOWING;
    const doubt = (now ? all.find(later) : null) || all[0];
    this.visited = doubt;
    const row = doubt.closest("li");
    this.at(doubt);
    this.choose(row);
    const { begin, end } = doubt.dataset;
    const slow = begin ? { begin: Number(begin), end: Number(end) }
      : { begin: Number(row.dataset.start), end: Number(row.dataset.end) };
    this.player.play(Math.max(0, Number(row.dataset.start) - 0.1), Number(row.dataset.end) + 0.2, slow);
    return doubt;
  }

  replace(rows) {
    for (const [id, html] of Object.entries(rows)) {
      const old = this.row(id);
      if (!old) continue;
      const made = made_from(html);
      old.replaceWith(made);
      if (old === this.chosen) { this.chosen = null; this.doubt = null; this.choose(made); }
    }
  }
}

export function made_from(html) {
  const box = document.createElement("template");
  box.innerHTML = html;
  return box.content.firstElementChild;
}
