"use strict";
(() => {
  const player = document.querySelector(".player");
  if (!player) return;
  const sound = player.querySelector("audio");
  const line = player.querySelector("p");
  const box = document.getElementById("clips");
  const clips = box ? JSON.parse(box.textContent) : {};
  const links = [...document.querySelectorAll("a.t")];
  let current = null;
  const mark = (link) => {
    if (current) current.removeAttribute("aria-current");
    current = link;
    if (link) link.setAttribute("aria-current", "true");
  };
  const play = (link) => {
    player.hidden = false;
    if (link === current && !sound.paused) { sound.pause(); return; }
    if (link === current && sound.currentTime > 0 && !sound.ended) { sound.play().catch(failed); return; }
    mark(link);
    const clip = clips[link.dataset.u];
    const from = clip ? 0 : Number(link.dataset.at);
    const file = clip || link.getAttribute("href").split("#")[0];
    line.textContent = `${link.textContent}, ${clip ? "clip" : link.dataset.name}`;
    if (sound.getAttribute("src") === file) sound.currentTime = from;
    else {
      sound.src = file;
      sound.addEventListener("loadedmetadata", () => { sound.currentTime = from; }, { once: true });
    }
    sound.play().catch(failed);
  };
  const failed = (fault) => {
    if (fault && fault.name === "AbortError") return;
    line.textContent = `${current ? current.dataset.name : "The recording"} cannot be played from here.`;
  };
  document.addEventListener("click", (event) => {
    if (event.ctrlKey || event.metaKey || event.shiftKey || event.altKey) return;
    const link = event.target.closest("a.t");
    if (link) { event.preventDefault(); play(link); return; }
    const strip = event.target.closest("svg[data-seconds]");
    if (!strip || !links.length) return;
    const view = strip.viewBox.baseVal;
    const x = (event.clientX - strip.getBoundingClientRect().left) * view.width / strip.clientWidth;
    const { from, to, seconds } = strip.dataset;
    const at = (x - from) / (to - from) * seconds;
    const off = (one) => Math.abs(Number(one.dataset.start) - at);
    play(links.reduce((best, one) => (off(one) < off(best) ? one : best)));
  });
  document.addEventListener("keydown", (event) => {
    if (event.key === "Escape") sound.pause();
  });
  sound.addEventListener("error", () => failed());
})();
