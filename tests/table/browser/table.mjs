// node table.mjs CHROMIUM PYTHON ROOT SOUND SCENARIO FOLDER   the page at the table, in Chromium
//   record   from start to draft, the server killed in the middle and started again
//   broken   reloaded while the server is dead, gone on with, stopped; a line that is cut
//   passed   over an encrypted line, with the browser's warning passed over
//   look     axe-core, screenshots into FOLDER, overflow; light and dark
// One JSON document on stdout.
import { spawn } from "node:child_process";
import { readFileSync } from "node:fs";
import { chromium } from "playwright-core";

const [executablePath, python, root, sound, scenario, folder] = process.argv.slice(2);
const AXE = readFileSync(new URL("./node_modules/axe-core/axe.min.js", import.meta.url), "utf8");
const PORT = 20000 + (process.pid % 20000);
const LAN = scenario === "passed" ? ["--lan", "--address", "127.0.0.1"] : [];
const HERE = LAN.length ? `https://127.0.0.1:${PORT + 1}` : `http://127.0.0.1:${PORT}`;
const PHONE = { width: 390, height: 844 };
const said = [];
let server = null;

function start() {
  const args = ["-m", "ashdraft", "open", root, "--no-browser", "--port", String(PORT), ...LAN];
  server = spawn(python, args, { stdio: ["ignore", "pipe", "inherit"] });
  return new Promise((resolve) => {
    let told = "";
    server.stdout.on("data", (data) => {
      told += data;
      const link = told.match(LAN.length ? /https:\/\/127\S+/ : /http:\/\/127\S+/);
      if (link && told.includes("ten minutes")) resolve(link[0]);
    });
  });
}

function kill() {
  return new Promise((resolve) => {
    server.once("exit", resolve);
    server.kill("SIGKILL");
  });
}

const browser = await chromium.launch({
  executablePath,
  args: [
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
    "--use-fake-device-for-media-stream", "--use-fake-ui-for-media-stream",
    `--use-file-for-fake-audio-capture=${sound}%noloop`,
  ],
});
const context = await browser.newContext({ viewport: PHONE, permissions: ["microphone"], ignoreHTTPSErrors: true });
const page = await context.newPage();
page.on("pageerror", (fault) => said.push(String(fault)));
page.on("console", (message) => {
  if (/policy|refused to/i.test(message.text())) said.push(message.text());
});

const phase = (name, timeout = 20000) => page.waitForSelector(`main[data-phase="${name}"]`, { timeout });
const line = () => page.textContent("#line");
const seconds = (count) => page.waitForTimeout(count * 1000);
async function confirmed() {
  await page.waitForFunction(() => document.querySelector("#line").textContent.includes("Everything is on"), null, { timeout: 40000 });
}
async function stop() {
  await page.click("#stop");
  await page.click("#stop");
}
async function drafted() {
  await page.waitForFunction(() => !document.querySelector("#desk").hidden, null, { timeout: 240000 });
  return page.textContent("#draft");
}

async function paired() {
  await page.goto(await start());
  await page.waitForURL(`${HERE}/`);
  await page.goto(`${HERE}/table`);
  await phase("ready");
}

async function record() {
  const steps = {};
  await page.click("#start");
  await phase("recording");
  await seconds(14);
  steps.level = Number(await page.getAttribute("#level", "aria-valuenow"));
  await kill();
  await page.click("[data-tap=touch-up]");
  await page.fill("#words", "cap cracked");
  await page.keyboard.press("Enter");
  await seconds(13);
  steps.dead = await line();
  await start();
  await confirmed();
  await page.click("[data-tap=relight]");
  await seconds(12);
  await stop();
  await phase("stopped");
  steps.draft = await drafted();
  steps.line = await line();
  return steps;
}

async function broken() {
  const steps = {};
  await page.click("#start");
  await phase("recording");
  await page.evaluate(() => navigator.serviceWorker.ready.then(() => null));
  await seconds(9);
  await context.setOffline(true);
  await page.click("[data-tap=ash-drop]");
  await seconds(3);
  steps.offline = await line();
  await context.setOffline(false);
  await confirmed();
  await kill();
  await seconds(5);
  await page.reload();
  await phase("broken");
  steps.taps = await page.textContent("[data-tap=ash-drop] b");
  await seconds(4);
  await page.click("#pause");
  await phase("recording");
  await seconds(8);
  await page.click("#pause");
  await phase("paused");
  await seconds(2);
  await page.click("#pause");
  await phase("recording");
  await seconds(7);
  await start();
  await stop();
  steps.draft = await drafted();
  return steps;
}

async function passed() {
  const steps = { secure: await page.evaluate(() => window.isSecureContext) };
  await page.click("#start");
  await phase("recording");
  await seconds(11);
  await confirmed();
  steps.level = Number(await page.getAttribute("#level", "aria-valuenow"));
  return steps;
}

async function look() {
  const found = [];
  const check = async (name) => {
    for (const colorScheme of ["light", "dark"]) {
      await page.emulateMedia({ colorScheme, reducedMotion: "reduce" });
      for (const [size, viewport] of Object.entries({ phone: PHONE, desk: { width: 1280, height: 900 } })) {
        await page.setViewportSize(viewport);
        await page.screenshot({ path: `${folder}/${name}-${size}-${colorScheme}.png` });
        const overflow = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
        const { violations, passes } = await page.evaluate(`${AXE}; axe.run()`);
        const small = await page.evaluate(() => [...document.querySelectorAll("main button, main a.button")]
          .filter((one) => one.offsetParent && Math.min(one.offsetHeight, one.offsetWidth) < 44).map((one) => one.textContent));
        found.push({ name, size, colorScheme, overflow, small, passed: passes.length,
          violations: violations.map((v) => `${v.id}: ${v.nodes[0].html}`) });
      }
    }
    await page.setViewportSize(PHONE);
  };
  await check("ready");
  await page.focus("#start");
  await page.keyboard.press("Enter");
  await phase("recording");
  await seconds(3);
  await page.focus("[data-tap=touch-up]");
  await page.keyboard.press("Enter");
  await check("recording");
  await page.focus("#pause");
  await page.keyboard.press("Enter");
  await phase("paused");
  await check("paused");
  await page.reload();
  await phase("broken");
  await check("broken");
  await page.focus("#stop");
  await page.keyboard.press("Enter");
  await page.keyboard.press("Enter");
  await drafted();
  await check("done");
  await page.goto(`${HERE}/`);
  await check("home");
  await page.goto(`${HERE}/pair/used`);
  await check("pair");
  return { found };
}

try {
  await paired();
  const steps = await { record, broken, passed, look }[scenario]();
  console.log(JSON.stringify({ ...steps, said }));
} finally {
  server?.kill("SIGKILL");
  await browser.close();
}
