// The office book opened from disk: every link of every page leads to a file, and a sample of pages shows its
// style and font in Chromium, without an error and without a request to any host.
//
//   node from-disk.mjs FOLDER      exit 0 clean, 1 at least one failure

import fs from 'node:fs';
import path from 'node:path';
import { pathToFileURL } from 'node:url';
import { parse } from 'parse5';
import { chromium } from 'playwright-core';

const folder = path.resolve(process.argv[2]);
const failures = [];
const pages = fs.readdirSync(folder, { recursive: true }).filter((name) => name.endsWith('.html')).sort();
let links = 0;

function* nodes(node) {
  yield node;
  for (const child of node.childNodes ?? []) yield* nodes(child);
}

for (const page of pages) {
  const file = path.join(folder, page);
  const tree = parse(fs.readFileSync(file, 'utf8'));
  const ids = new Set([...nodes(tree)].flatMap((node) => node.attrs ?? []).filter((a) => a.name === 'id').map((a) => a.value));
  for (const node of nodes(tree)) {
    for (const attribute of node.attrs ?? []) {
      if (!['href', 'src'].includes(attribute.name) || node.tagName === 'use') continue;
      const [where, anchor] = attribute.value.split('#');
      if (/^(https?|mailto|tel):/.test(where)) continue;
      links += 1;
      if (where === '') {
        if (anchor && !ids.has(decodeURIComponent(anchor))) failures.push(`${page}: no #${anchor} on the page`);
        continue;
      }
      const target = path.resolve(path.dirname(file), decodeURIComponent(where));
      if (!fs.existsSync(target) || !fs.statSync(target).isFile()) failures.push(`${page}: ${where} is no file`);
    }
  }
}

const sample = pages.filter((_, at) => at % Math.ceil(pages.length / 8) === 0).concat('index.html', 'hours.html', 'rates.html', 'cover.html');
const browser = await chromium.launch({ executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium', args: ['--no-sandbox'] });
for (const page of new Set(sample)) {
  const tab = await browser.newPage({ viewport: { width: 360, height: 740 } });
  tab.on('request', (request) => {
    if (!request.url().startsWith('file:')) failures.push(`${page}: asks for ${request.url()}`);
  });
  tab.on('requestfailed', (request) => failures.push(`${page}: ${request.url()} did not load`));
  tab.on('pageerror', (error) => failures.push(`${page}: ${error}`));
  await tab.goto(pathToFileURL(path.join(folder, page)).href);
  const font = await tab.evaluate(() => document.fonts.ready.then(() => getComputedStyle(document.body).fontFamily));
  if (!font.includes('Docket')) failures.push(`${page}: has no style`);
  const width = await tab.evaluate(() => document.documentElement.scrollWidth);
  if (width > 360) failures.push(`${page}: ${width} pixels wide on a phone of 360`);
  await tab.close();
}
await browser.close();

console.log(`from disk: ${pages.length} pages, ${links} links, ${new Set(sample).size} pages in the browser, ${failures.length} failures`);
for (const failure of failures.slice(0, 30)) console.log(`  ${failure}`);
process.exit(failures.length ? 1 : 0);
