// Drives customer sheets in a real browser: slider, finger, keys, paper, no script, nothing fetched, nothing that an
// accessibility checker (axe-core) objects to.
//
//   node tests/show_page/drive.mjs [--shots FOLDER] PAGE.html...
//
// Pages come from `LAMPWALK_KEEP_PAGES=FOLDER cargo test --no-default-features --test show_page`. Needs node, npm and
// chromium (CHROMIUM names another one); what it drives with is installed into a temporary folder.
import { execFileSync } from "node:child_process";
import { existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { basename, join, resolve } from "node:path";
import { pathToFileURL } from "node:url";

const words = process.argv.slice(2);
const shots = words[0] === "--shots" ? words.splice(0, 2)[1] : null;
if (!words.length) {
  console.error("usage: node drive.mjs [--shots FOLDER] PAGE.html...");
  process.exit(2);
}
if (shots) mkdirSync(shots, { recursive: true });
const tools = mkdtempSync(join(tmpdir(), "show-page-"));
process.on("exit", () => rmSync(tools, { recursive: true, force: true }));
writeFileSync(join(tools, "package.json"), '{"private": true}');
execFileSync("npm", ["install", "--silent", "--no-audit", "--no-fund", "puppeteer-core@24", "axe-core@4"], { cwd: tools, stdio: "inherit" });
const require = createRequire(join(tools, "package.json"));
const puppeteer = require("puppeteer-core");
const axe = readFileSync(require.resolve("axe-core/axe.min.js"), "utf8");
const chromium = [process.env.CHROMIUM, "/usr/bin/chromium", "/usr/bin/chromium-browser", "/usr/bin/google-chrome"].find((path) => path && existsSync(path));
if (!chromium) {
  console.error("no chromium found: install it, or name one in CHROMIUM");
  process.exit(2);
}

const PHONE = { width: 390, height: 844, deviceScaleFactor: 2, hasTouch: true, isMobile: true };
const DESK = { width: 1280, height: 800 };
/** Pages with names so long that they need not keep to a first screen or to two sheets. */
const LONG = ["hostile"];
let checks = 0;
const failures = [];
function hold(true_, what) {
  checks += 1;
  if (!true_) failures.push(what);
}

const browser = await puppeteer.launch({ executablePath: chromium, args: ["--no-sandbox"] });
for (const file of words) await drive(resolve(file));
await browser.close();
console.log(`${checks} checks, ${failures.length} failed`);
failures.forEach((what) => console.log(`FAILED ${what}`));
process.exit(failures.length ? 1 : 0);

/** Opens a page and watches what it asks for and complains of. */
async function open(file, viewport, { script = true, still = false } = {}) {
  const page = await browser.newPage();
  const trouble = [];
  page.on("request", (request) => {
    const url = request.url();
    if (!url.startsWith("data:") && url !== pathToFileURL(file).href) trouble.push(`asks for ${url.slice(0, 80)}`);
  });
  page.on("dialog", (dialog) => (trouble.push("a dialog opens"), dialog.dismiss()));
  page.on("pageerror", (error) => trouble.push(String(error)));
  page.on("console", (message) => ["error", "warn"].includes(message.type()) && trouble.push(message.text()));
  await page.setViewport(viewport);
  await page.setJavaScriptEnabled(script);
  await page.emulateMediaFeatures([{ name: "prefers-reduced-motion", value: still ? "reduce" : "no-preference" }]);
  await page.goto(pathToFileURL(file).href);
  return { page, trouble };
}

async function drive(file) {
  const name = basename(file, ".html");
  await onDesk(file, name);
  await onPhone(file, name);
  await withoutScript(file, name);
  await onPaper(file, name);
}

/** Where the page says that the customer stands. */
function state(page) {
  return page.evaluate(() => ({
    at: Number(document.getElementById("way").value),
    last: Number(document.getElementById("way").max),
    text: document.getElementById("way").getAttribute("aria-valuetext"),
    said: [...document.querySelectorAll("#stage .said")].map((one) => one.textContent),
    picture: document.getElementById("picture-0")?.src.length ?? 0,
    hand: document.getElementById("hand").style.transform,
    data: JSON.parse(document.getElementById("walk-data").textContent),
  }));
}

async function agrees(page, at, what) {
  const now = await state(page);
  hold(now.at === at, `${what}: at ${now.at}, not ${at}`);
  now.data.fits.forEach((fit, index) => {
    hold(now.said[index] === fit.told[at].said, `${what}: the sentence of fit ${index}`);
    hold(now.text.includes(fit.told[at].said), `${what}: the slider's words`);
    if (fit.pictures[at] && index === 0) hold(now.picture === fit.pictures[at].length, `${what}: the picture`);
  });
  const turned = Number(now.hand.match(/-?[\d.]+/)[0]);
  hold(Math.abs(((turned - now.data.places[at].degrees) % 360 + 540) % 360 - 180) < 0.01, `${what}: the hand at ${now.hand}`);
}

async function complains(page, what) {
  await page.evaluate(axe);
  const found = await page.evaluate(() => axe.run(document, { resultTypes: ["violations"] }));
  for (const one of found.violations) hold(false, `${what}: ${one.id} ${one.nodes.map((node) => `${node.target} ${node.failureSummary}`).join(" | ").slice(0, 600)}`);
  hold(found.passes.length > 10, `${what}: axe looked`);
}

async function onDesk(file, name) {
  const { page, trouble } = await open(file, DESK, { still: true }); // at once, so that buttons stand still
  const first = await state(page);
  await agrees(page, first.data.start, `${name}: at first`);
  await page.focus("#way");
  const count = first.last + 1;
  for (let step = 1; step <= 3; step += 1) await page.keyboard.press("ArrowRight");
  await agrees(page, (first.data.start + 3) % count, `${name}: three steps right`);
  await page.keyboard.press("Home");
  await page.keyboard.press("ArrowLeft");
  await agrees(page, first.last, `${name}: left of the first is the last`);
  await page.keyboard.press("ArrowRight");
  await agrees(page, 0, `${name}: and back`);
  await page.evaluate(() => document.activeElement.blur());
  await page.keyboard.press("ArrowRight");
  await agrees(page, 1, `${name}: keys without the slider`);
  await page.click("#back");
  await agrees(page, 0, `${name}: the step button`);
  await page.evaluate(() => document.querySelector(".plot").scrollIntoView());
  const box = await (await page.$(".plot")).boundingBox();
  await page.mouse.click(box.x + box.width * 0.9, box.y + box.height / 2);
  const right = first.data.places.findIndex((place) => Math.abs(place.degrees - 90) < 0.1);
  await agrees(page, right, `${name}: a click on the right of the rings`);
  if (first.picture) {
    await page.evaluate(() => document.querySelector("#stage").scrollIntoView());
    const stage = await (await page.$("#stage .view")).boundingBox();
    await page.mouse.move(stage.x + 40, stage.y + 60);
    await page.mouse.down();
    await page.mouse.move(stage.x + 40 + stage.width / 4, stage.y + 60, { steps: 6 });
    await page.mouse.up();
    await agrees(page, (right + Math.round(count / 8)) % count, `${name}: the picture drawn to the right`);
  }
  for (const button of (await page.$$(".turn")).slice(0, 4)) {
    const place = await button.evaluate((one) => Number(one.dataset.place));
    await button.click();
    await agrees(page, place, `${name}: a finding's button`);
    hold(await page.evaluate(() => document.activeElement.id === "way"), `${name}: the slider has the focus after it`);
  }
  const both = await page.$$eval("#stage .view", (views) => views.every((view) => view.offsetWidth > 0));
  hold(both, `${name}: both fits stand side by side`);
  await page.evaluate(() => scrollTo(0, 0));
  await new Promise((done) => setTimeout(done, 700));
  if (shots) {
    await page.screenshot({ path: join(shots, `${name}-desk.png`) });
    await page.screenshot({ path: join(shots, `${name}-desk-whole.png`), fullPage: true });
  }
  await complains(page, `${name}: axe, desk`);
  trouble.forEach((what) => hold(false, `${name}, desk: ${what}`));
  await page.close();
}

async function onPhone(file, name) {
  const long = LONG.includes(name);
  const { page, trouble } = await open(file, PHONE, { still: true });
  const first = await state(page);
  const count = first.last + 1;
  const view = await (await page.$("#stage .view")).boundingBox();
  const y = view.y + 40;
  const inside = await page.evaluate((y) => y < innerHeight, y);
  hold(inside || long, `${name}: the picture is on the first screen of a phone`);
  await page.evaluate((top) => scrollTo(0, top), view.y - 200);
  const now = await (await page.$("#stage .view")).boundingBox();
  if (first.picture) {
    await page.touchscreen.touchStart(now.x + 30, now.y + 40);
    for (let n = 1; n <= 8; n += 1) await page.touchscreen.touchMove(now.x + 30 + (now.width / 2) * (n / 8), now.y + 40);
    await page.touchscreen.touchEnd();
    await agrees(page, (first.data.start + Math.round(count / 4)) % count, `${name}: a finger across half the picture`);
  }
  const seen = () => page.$$eval("#stage .view", (views) => views.map((one) => one.offsetWidth > 0));
  if (first.data.fits.length > 1) {
    hold(String(await seen()) === "true,false", `${name}: one fit at a time on a phone`);
    await (await page.$$("input[name=fit]"))[1].click();
    hold(String(await seen()) === "false,true", `${name}: the switch shows the other`);
    await page.evaluate(() => document.querySelector("#compare").scrollIntoView({ block: "center" }));
    const compare = await (await page.$("#compare")).boundingBox();
    await page.touchscreen.touchStart(compare.x + 20, compare.y + 20);
    hold(String(await seen()) === "true,false", `${name}: held, the first is back`);
    await page.touchscreen.touchEnd();
    hold(String(await seen()) === "false,true", `${name}: let go, the other again`);
    await page.focus("#compare");
    await page.keyboard.down(" ");
    hold(String(await seen()) === "true,false", `${name}: held by the keyboard`);
    await page.keyboard.up(" ");
    hold(String(await seen()) === "false,true", `${name}: let go by the keyboard`);
    await (await page.$$("input[name=fit]"))[0].click();
  }
  const small = await page.$$eval("button, input[type=range], label", (all) =>
    all.filter((one) => one.offsetWidth && one.tagName !== "LABEL" && (one.offsetHeight < 44 || one.offsetWidth < 44)).map((one) => one.id || one.textContent));
  hold(small.length === 0, `${name}: too small for a finger: ${small}`);
  await page.evaluate(() => scrollTo(0, 0));
  if (shots) {
    await page.screenshot({ path: join(shots, `${name}-phone.png`) });
    await page.screenshot({ path: join(shots, `${name}-phone-whole.png`), fullPage: true });
  }
  await complains(page, `${name}: axe, phone`);
  await page.setViewport({ ...PHONE, width: 320 });
  hold(await page.evaluate(() => document.documentElement.scrollWidth <= 320), `${name}: nothing is wider than 320`);
  if (shots) await page.screenshot({ path: join(shots, `${name}-320.png`) });
  trouble.forEach((what) => hold(false, `${name}, phone: ${what}`));
  await page.close();
}

async function withoutScript(file, name) {
  const { page, trouble } = await open(file, PHONE, { script: false });
  const shown = await page.$$eval(".spot-view", (all) => all.filter((one) => one.offsetHeight > 0).length);
  hold(shown >= 3, `${name}: ${shown} places without a script`);
  const idle = await page.$$eval("button, input", (all) => all.filter((one) => one.offsetHeight > 0).length);
  hold(idle === 0, `${name}: ${idle} controls that do nothing`);
  if (shots) await page.screenshot({ path: join(shots, `${name}-still.png`), fullPage: true });
  trouble.forEach((what) => hold(false, `${name}, without a script: ${what}`));
  await page.close();
  // The checker needs scripts: the same look, with the mark that the page's own sets taken back.
  const again = await open(file, PHONE);
  await again.page.evaluate(() => document.documentElement.classList.replace("live", "still"));
  await complains(again.page, `${name}: axe, without a script`);
  await again.page.close();
}

async function onPaper(file, name) {
  const long = LONG.includes(name);
  for (const script of [true, false]) {
    const { page } = await open(file, DESK, { script });
    const pdf = await page.pdf({ preferCSSPageSize: true, printBackground: true });
    const pages = Buffer.from(pdf).toString("latin1").match(/\/Type\s*\/Page\b(?!s)/g)?.length ?? 0;
    hold(pages === 2 || long, `${name}: ${pages} sheets of paper${script ? "" : " without a script"}`);
    if (shots && script) writeFileSync(join(shots, `${name}.pdf`), pdf);
    await page.close();
  }
}
