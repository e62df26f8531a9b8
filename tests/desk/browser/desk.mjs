// node desk.mjs CHROMIUM look  URL TOKEN   axe-core, requests, console and overflow of each page
// node desk.mjs CHROMIUM work  URL TOKEN   a session worked on with the keyboard alone
// node desk.mjs CHROMIUM sheet URL TOKEN   the score sheet, filled and added up
// node desk.mjs CHROMIUM load  URL TOKEN   milliseconds until the page answers, and until edits show
// One JSON document on stdout. Screenshots go where ASHDRAFT_SHOTS says, if it says so.
import { readFileSync } from "node:fs";
import { chromium } from "playwright-core";

const AXE = readFileSync(new URL("./node_modules/axe-core/axe.min.js", import.meta.url), "utf8");
const FLAGS = [
  "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
  "--disable-background-networking", "--disable-component-update", "--disable-sync",
  "--autoplay-policy=no-user-gesture-required",
];
const SIZES = { desk: { width: 1280, height: 900 }, phone: { width: 390, height: 844 } };
const SHOTS = process.env.ASHDRAFT_SHOTS;

const [executablePath, what, url, token] = process.argv.slice(2);
const browser = await chromium.launch({ executablePath, args: FLAGS });

async function opened(path, options) {
  const context = await browser.newContext(options);
  await context.addCookies([{ name: "ashdraft", value: token, url }]);
  const page = await context.newPage();
  const said = [];
  page.on("console", (message) => said.push(message.text()));
  page.on("pageerror", (fault) => said.push(String(fault)));
  page.on("request", (request) => {
    if (!request.url().startsWith(new URL(url).origin) && !request.url().startsWith("data:")) said.push(request.url());
  });
  await page.goto(url + path);
  if (!path) await page.waitForFunction(() => document.querySelector("#draft").children.length > 3);
  return { page, said };
}

const state = (page) => page.evaluate(() => ({
  row: document.querySelector("#rows [aria-current]")?.id,
  text: document.querySelector("#rows [aria-current] .said")?.textContent,
  about: document.querySelector("#rows [aria-current] .about")?.textContent,
  doubt: document.querySelector(".doubt.here")?.textContent,
  told: document.getElementById("told").textContent,
  doubts: document.getElementById("doubts").textContent,
  rows: document.querySelectorAll("#rows > li[data-start]").length,
  draft: document.getElementById("draft").textContent,
  play: document.querySelector(".player [data-act=play]").textContent,
  speed: document.getElementById("speed").textContent,
  clock: document.getElementById("clock").textContent,
}));

async function look() {
  const found = [];
  for (const [name, path, keys] of [["work", "", []], ["slip", "", ["d", "e"]], ["sheet", "/sheet", []], ["files", "/files", []]]) {
    for (const [size, viewport] of Object.entries(SIZES)) {
      for (const colorScheme of ["light", "dark"]) {
        const { page, said } = await opened(path, { viewport, colorScheme, reducedMotion: "reduce", bypassCSP: true });
        for (const key of keys) { await page.keyboard.press(key); await page.waitForTimeout(300); }
        if (SHOTS) await page.screenshot({ path: `${SHOTS}/${name}-${size}-${colorScheme}.png` });
        const overflow = await page.evaluate(
          () => document.documentElement.scrollWidth - document.documentElement.clientWidth,
        );
        await page.evaluate(AXE);
        const { violations, passes } = await page.evaluate("axe.run()");
        found.push({
          name, size, colorScheme, said, overflow, passed: passes.length,
          violations: violations.map((v) => `${v.id}: ${v.nodes[0].html}: ${v.nodes[0].failureSummary}`),
        });
        await page.context().close();
      }
    }
  }
  return found;
}

async function work() {
  const { page, said } = await opened("", { viewport: SIZES.desk });
  const steps = {};
  const press = async (name, ...keys) => {
    for (const key of keys) {
      if (key.length > 1 && key.startsWith("=")) await page.keyboard.type(key.slice(1));
      else await page.keyboard.press(key);
      await page.waitForTimeout(500);
    }
    await page.waitForTimeout(600);
    steps[name] = await state(page);
  };
  await press("doubtful", "d");
  await press("paused", "Escape");
  await press("accepted", "a");
  await press("typed", "d", "Escape", "t", "=sudden", "Enter");
  await press("struck", "k", "x");
  await press("back", "u");
  await press("moved", "m", "=verdict", "Tab", "Tab", "Enter");
  await press("noted", "n", "=hay", "Enter");
  await press("split", "s", "Tab", "Enter");
  await press("merged", "g");
  await press("slower", "-", "-");
  await press("played", "Enter");
  steps.said = said;
  return steps;
}

async function sheet() {
  const { page, said } = await opened("/sheet", { viewport: SIZES.desk });
  const box = page.locator('[data-row="balance"] [name=mark]');
  const before = await page.textContent("#total");
  await box.fill("12");
  await box.press("Tab");
  await page.waitForTimeout(500);
  const complaint = await page.textContent('[data-row="balance"] .amiss');
  await box.fill("7");
  await box.press("Tab");
  await page.waitForTimeout(500);
  const quiet = await page.textContent("#total");
  const evidence = page.locator('[data-row="burn-line"] a.t').first();
  await evidence.focus();
  await page.keyboard.press("Enter");
  await page.waitForTimeout(900);
  const clock = await page.textContent("#clock");
  await page.locator("[data-act=total]").press("Enter");
  await page.waitForTimeout(1500);
  return { before, complaint, quiet, clock, wanted: await evidence.textContent(), total: await page.textContent("#total"), said };
}

async function load() {
  const { page } = await opened("", { viewport: SIZES.desk });
  await page.goto(url);
  const interactive = await page.evaluate(() => performance.getEntriesByType("navigation")[0].domInteractive);
  await page.waitForFunction(() => document.querySelector("#draft").children.length > 3);
  await page.waitForTimeout(1000);
  const edits = [];
  for (let n = 0; n < 9; n += 1) {
    await page.keyboard.press("d");
    await page.keyboard.press("Escape");
    await page.waitForTimeout(2500);
    edits.push(await page.evaluate(() => new Promise((resolve) => {
      const row = document.querySelector("#rows [aria-current]");
      const began = performance.now();
      new MutationObserver((_, watch) => {
        watch.disconnect();
        requestAnimationFrame(() => resolve(performance.now() - began));
      }).observe(row.parentElement, { childList: true });
      row.dispatchEvent(new KeyboardEvent("keydown", { key: "a", bubbles: true }));
    })));
  }
  return { interactive, edits };
}

console.log(JSON.stringify(await { look, work, sheet, load }[what]()));
await browser.close();
