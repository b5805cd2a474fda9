// The paperwork as it is printed: each PDF that the program made with the installed Chromium, read back page by page by
// another program (pdftotext). Each holds all the words of its page, no page is empty, and no page ends with a heading
// whose section begins on the next. Then the site's pages with what is said in a film: closed on the screen, open on paper.
//
//   node papers.mjs FOLDER SITE      exit 0 clean, 1 at least one failure

import { execFileSync } from 'node:child_process';
import fs from 'node:fs';
import path from 'node:path';
import { pathToFileURL } from 'node:url';
import { parse } from 'parse5';
import { chromium } from 'playwright-core';

const [folder, site] = process.argv.slice(2, 4).map((name) => path.resolve(name));
const failures = [];
const files = fs.readdirSync(folder, { recursive: true }).filter((name) => name.endsWith('.pdf')).sort();
let printed = 0;

const folded = (text) => text.replace(/\s+/g, ' ').trim();
const letters = (text) => text.replace(/[\s\u00ad]+/g, '').toLowerCase();

function text(node) {
  if (['style', 'script', 'title', 'head', 'svg'].includes(node.tagName)) return '';
  return node.nodeName === '#text' ? node.value : (node.childNodes ?? []).map(text).join(' ');
}

function* elements(node, name) {
  if (node.tagName === name) yield node;
  for (const child of node.childNodes ?? []) yield* elements(child, name);
}

if (files.length === 0) failures.push('no paper was printed');
for (const file of files) {
  const page = parse(fs.readFileSync(path.join(folder, file.replace(/\.pdf$/, '.html')), 'utf8'));
  const pdf = execFileSync('pdftotext', ['-layout', path.join(folder, file), '-'], { encoding: 'utf8' });
  // A form feed ends each page.
  const sheets = pdf.split('\f').slice(0, -1);
  printed += sheets.length;
  if (!pdf.includes('\f')) failures.push(`${file}: has no page`);
  const headings = [...elements(page, 'h2'), ...elements(page, 'h3')].map((heading) => letters(text(heading)));
  for (const [at, sheet] of sheets.entries()) {
    const lines = sheet.split('\n').map(folded).filter(Boolean);
    if (lines.length === 0) failures.push(`${file}: page ${at + 1} is empty`);
    const last = letters(lines.at(-1) ?? '');
    if (at + 1 < sheets.length && headings.includes(last)) failures.push(`${file}: page ${at + 1} ends with the heading ${lines.at(-1)}`);
  }
  const whole = letters(pdf);
  for (const heading of headings) if (!whole.includes(heading)) failures.push(`${file}: the heading ${heading} is not printed`);
  for (const cell of [...elements(page, 'td'), ...elements(page, 'th'), ...elements(page, 'h1')]) {
    for (const word of folded(text(cell)).split(' ')) {
      if (word && !whole.includes(letters(word))) failures.push(`${file}: the word ${word} is not printed`);
    }
  }
}

const browser = await chromium.launch({ executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium', args: ['--no-sandbox'] });
let films = 0;
for (const name of fs.readdirSync(site, { recursive: true }).filter((name) => name.endsWith('.html')).sort()) {
  const page = parse(fs.readFileSync(path.join(site, name), 'utf8'));
  const said = [...elements(page, 'figure')].flatMap((figure) => [...elements(figure, 'details')]);
  if (said.length === 0) continue;
  films += said.length;
  const tab = await browser.newPage();
  await tab.goto(pathToFileURL(path.join(site, name)).href);
  const whole = letters(execFileSync('pdftotext', ['-', '-'], { input: await tab.pdf(), encoding: 'utf8' }));
  await tab.close();
  for (const word of said.flatMap((part) => folded(text(part)).split(' '))) {
    if (!whole.includes(letters(word))) failures.push(`${name}: the word ${word} of a film is not printed`);
  }
}
await browser.close();
if (films === 0) failures.push('no page has what is said in a film');

console.log(`papers: ${files.length} printed on ${printed} pages, ${films} films, ${failures.length} failures`);
for (const failure of failures.slice(0, 30)) console.log(`  ${failure}`);
process.exit(failures.length ? 1 : 0);
