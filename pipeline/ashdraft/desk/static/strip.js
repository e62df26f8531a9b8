// The strip: where the recording is, how loud it is, and a press that plays from there.
export class Strip {
  constructor(figure, player, step) {
    this.figure = figure;
    this.player = player;
    this.step = step;
    this.loud = new Uint8Array();
    this.place = figure.querySelector("#place");
    figure.addEventListener("click", (event) => {
      const panel = event.target.closest(".wide, .narrow");
      if (panel) player.play(this.at(panel, event.clientX));
    });
    this.place.addEventListener("change", () => player.play(Number(this.place.value)));
    player.addEventListener("time", () => this.moved());
    new ResizeObserver(() => this.drawn()).observe(figure);
    matchMedia("(prefers-color-scheme: dark)").addEventListener("change", () => this.drawn());
    this.measured();
  }

  measured() {
    const svg = this.figure.querySelector("svg");
    this.seconds = Number(svg.dataset.seconds);
    this.place.max = String(Math.floor(this.seconds));
  }

  async load(address) {
    const answer = await fetch(address);
    if (!answer.ok) return;
    this.loud = new Uint8Array(await answer.arrayBuffer());
    this.drawn();
  }

  replaced(strips) {
    for (const [name, svg] of Object.entries(strips)) {
      this.figure.querySelector(`.${name} .picture`).innerHTML = svg;
    }
    this.measured();
    this.drawn();
  }

  // Where the time axis begins and ends in a panel, in CSS pixels.
  axis(panel) {
    const svg = panel.querySelector("svg");
    const scale = svg.clientWidth / svg.viewBox.baseVal.width;
    return [Number(svg.dataset.from) * scale, Number(svg.dataset.to) * scale];
  }

  at(panel, x) {
    const [from, to] = this.axis(panel);
    const share = (x - panel.getBoundingClientRect().left - from) / (to - from);
    return Math.min(Math.max(share, 0), 1) * (this.seconds - 0.5);
  }

  moved() {
    const now = this.player.seconds;
    for (const panel of this.figure.querySelectorAll(".wide, .narrow")) {
      if (!panel.clientWidth) continue;
      const [from, to] = this.axis(panel);
      const head = panel.querySelector(".head");
      head.hidden = false;
      head.style.left = `${from + (now / this.seconds) * (to - from)}px`;
    }
    if (document.activeElement !== this.place) this.place.value = String(Math.floor(now));
    this.place.setAttribute("aria-valuetext", document.getElementById("clock").textContent);
  }

  drawn() {
    for (const panel of this.figure.querySelectorAll(".wide, .narrow")) {
      const canvas = panel.querySelector("canvas");
      if (!panel.clientWidth) continue;
      const [from, to] = this.axis(panel);
      const dots = window.devicePixelRatio || 1;
      const height = canvas.clientHeight;
      canvas.width = Math.round(panel.clientWidth * dots);
      canvas.height = Math.round(height * dots);
      const pen = canvas.getContext("2d");
      pen.scale(dots, dots);
      pen.fillStyle = getComputedStyle(canvas).color;
      const perPixel = this.seconds / (to - from) / this.step;
      for (let x = 0; x < to - from; x += 1) {
        const first = Math.floor(x * perPixel);
        let most = 0;
        for (let n = first; n < Math.max(first + 1, (x + 1) * perPixel); n += 1) most = Math.max(most, this.loud[n] || 0);
        const tall = (most / 255) * (height - 2);
        if (tall > 3) pen.fillRect(from + x, height - tall, 1, tall);
      }
      pen.fillRect(from, height - 1, to - from, 1);
    }
    this.place.style.marginInlineStart = `${this.axis(this.shown())[0] - 8}px`;
    this.place.style.width = `${this.axis(this.shown())[1] - this.axis(this.shown())[0] + 16}px`;
  }

  shown() {
    return [...this.figure.querySelectorAll(".wide, .narrow")].find((one) => one.clientWidth);
  }
}
