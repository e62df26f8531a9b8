// node look.mjs CHROMIUM look FILE...   axe-core, requests, console and overflow of each page
// node look.mjs CHROMIUM play FILE      what the keyboard and the pointer do with the recording
// node look.mjs CHROMIUM print FILE...  each page printed by its own paper size, as FILE.pdf
// One JSON document on stdout.
import { readFileSync } from "node:fs";
import { pathToFileURL } from "node:url";
import { chromium } from "playwright-core";

const AXE = readFileSync(new URL("./node_modules/axe-core/axe.min.js", import.meta.url), "utf8");
const FLAGS = [
  "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
  "--disable-background-networking", "--disable-component-update", "--disable-sync",
  "--autoplay-policy=no-user-gesture-required",
];
const SIZES = { desk: { width: 1280, height: 900 }, phone: { width: 390, height: 844 } };

const [executablePath, what, ...files] = process.argv.slice(2);
const browser = await chromium.launch({ executablePath, args: FLAGS });

async function opened(file, options) {
  const page = await browser.newPage(options);
  const said = [];
  const asked = [];
  page.on("console", (message) => said.push(message.text()));
  page.on("pageerror", (fault) => said.push(String(fault)));
  page.on("request", (request) => asked.push(request.url()));
  await page.goto(pathToFileURL(file).href);
  return { page, said, asked };
}

async function look(file) {
  const found = [];
  for (const [size, viewport] of Object.entries(SIZES)) {
    for (const colorScheme of ["light", "dark"]) {
      const { page, said, asked } = await opened(file, { viewport, colorScheme });
      const overflow = await page.evaluate(
        () => document.documentElement.scrollWidth - document.documentElement.clientWidth,
      );
      await page.close();
      const checked = await opened(file, { viewport, colorScheme, bypassCSP: true });
      await checked.page.evaluate(AXE);
      const { violations, passes } = await checked.page.evaluate("axe.run()");
      await checked.page.close();
      found.push({
        file, size, colorScheme, said, overflow,
        asked: asked.filter((url) => url !== pathToFileURL(file).href),
        passed: passes.length,
        violations: violations.map((v) => `${v.id}: ${v.nodes[0].html}: ${v.nodes[0].failureSummary}`),
      });
    }
  }
  return found;
}

async function play(file) {
  const { page, said } = await opened(file, { viewport: SIZES.desk });
  const state = () => page.evaluate(() => {
    const sound = document.querySelector("audio");
    const here = document.querySelector("[aria-current]");
    return {
      at: sound.currentTime, paused: sound.paused, fault: sound.error && sound.error.message,
      pressed: here && here.textContent, shown: !document.querySelector(".player").hidden,
      told: document.querySelector(".player p").textContent,
    };
  });
  const steps = { before: await state() };
  await page.keyboard.press("Tab");
  steps.first = await page.evaluate(() => document.activeElement.textContent);
  const times = page.locator("span.said > a.t");
  await times.nth(3).focus();
  await page.keyboard.press("Enter");
  await page.waitForTimeout(1500);
  steps.entered = await state();
  steps.wanted = Number(await times.nth(3).getAttribute("data-at"));
  await page.keyboard.press("Escape");
  steps.escaped = await state();
  await times.nth(1).click();
  await page.waitForTimeout(400);
  steps.clicked = await state();
  steps.clickWanted = Number(await times.nth(1).getAttribute("data-at"));
  await times.nth(1).click();
  steps.again = await state();
  await page.locator(".wide svg[data-seconds]").click({ position: { x: 600, y: 200 } });
  await page.waitForTimeout(400);
  steps.strip = await state();
  await page.close();
  return { ...steps, said };
}

async function print(file) {
  const { page } = await opened(file, {});
  await page.pdf({ path: `${file}.pdf`, preferCSSPageSize: true });
  await page.close();
  return `${file}.pdf`;
}

const done = [];
for (const file of files) done.push(await { look, play, print }[what](file));
console.log(JSON.stringify(done.flat()));
await browser.close();
