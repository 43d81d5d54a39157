// Runs axe over pages, at a phone's width and a desk's, in light and dark; one JSON line for each run.
//
//     node axe.mjs MODULES BROWSER PAGE...
//
// MODULES is a folder with a node_modules that holds axe-core and puppeteer-core, BROWSER the path of a chromium.
// With SHOTS set to a folder, pictures of each page are put there, and what the browser would print. Every size that can
// be chosen is looked at once more with one chosen, for then other colours show.

import { createRequire } from "node:module";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { basename, join, resolve } from "node:path";
import { pathToFileURL } from "node:url";

const [modules, browserPath, ...pages] = process.argv.slice(2);
const require = createRequire(pathToFileURL(resolve(modules, "node_modules", "from-here.js")));
const puppeteer = require("puppeteer-core");
const axe = require.resolve("axe-core/axe.min.js");
const shots = process.env.SHOTS;
const profile = mkdtempSync(join(tmpdir(), "axe-"));

const browser = await puppeteer.launch({
  executablePath: browserPath,
  userDataDir: profile,
  args: [
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
  ],
});
try {
  for (const page of pages) {
    for (const width of [320, 1280]) {
      for (const scheme of ["light", "dark"]) {
        await look(page, width, scheme);
      }
    }
  }
} finally {
  await browser.close();
  rmSync(profile, { recursive: true, force: true });
}

async function look(page, width, scheme) {
  const context = await browser.createBrowserContext(); // its own storage: nothing is left ticked from another run
  const tab = await context.newPage();
  const requests = [];
  const errors = [];
  tab.on("request", (request) => requests.push(request.url()));
  tab.on("pageerror", (error) => errors.push(String(error)));
  await tab.setViewport({ width, height: width < 600 ? 700 : 900 });
  await tab.emulateMediaFeatures([{ name: "prefers-color-scheme", value: scheme }]);
  await tab.goto(pathToFileURL(resolve(page)).href);
  await tab.addScriptTag({ path: axe });
  const name = basename(page).replace(/\.x?html$/, "");
  const states = (await tab.$(".pick")) ? ["", "chosen"] : [""];
  for (const state of states) {
    if (state) {
      const picks = await tab.$$(".pick");
      await picks[Math.floor(picks.length / 2)].click();
    }
    const found = await tab.evaluate(() => window.axe.run({ resultTypes: ["violations", "incomplete"] }));
    const sideways = await tab.evaluate(() => document.documentElement.scrollWidth - window.innerWidth);
    console.log(JSON.stringify({
      page: name, width, scheme, state,
      violations: found.violations.map((each) => ({
        id: each.id, impact: each.impact, nodes: each.nodes.length, first: each.nodes[0].html.slice(0, 200),
        why: each.nodes[0].failureSummary,
      })),
      unsure: found.incomplete.map((each) => `${each.id} (${each.nodes.length})`),
      sideways: Math.max(0, sideways),
      fetched: requests.filter((url) => !url.startsWith("file:") && !url.startsWith("data:")),
      errors,
    }));
    if (shots) {
      const shot = join(shots, [name, width, scheme, state].filter(Boolean).join("-"));
      await tab.screenshot({ path: `${shot}.png`, fullPage: true });
    }
  }
  if (shots && width > 600 && scheme === "light") {
    await tab.pdf({ path: join(shots, `${name}.pdf`), format: "a4", preferCSSPageSize: true });
  }
  await context.close();
}
