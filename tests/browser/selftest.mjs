// Each check of webcheck.mjs passes on the three pages of selftest/good, and fails when the thing it guards is broken
// there by hand, one break at a time. Lighthouse has two breaks of its own; a name as argument runs one check's breaks.
//
//   node selftest.mjs [CHECK]      exit 0 all seen, 1 at least one not seen
import fs from 'node:fs'; import os from 'node:os'; import path from 'node:path'; import { spawnSync } from 'node:child_process';
const here = import.meta.dirname, B = ['--base', 'https://shop.example/'];
const run = (dir, ...args) => { const r = spawnSync('node', [path.join(here, 'webcheck.mjs'), dir, ...args], { encoding: 'utf8', maxBuffer: 1 << 28 }); return { rc: r.status, s: r.stdout ? JSON.parse(r.stdout) : null, err: r.stderr }; };
const S = ['--no-browser', '--no-vnu'], V = ['--no-browser'], W = ['--no-vnu', '--no-lighthouse', '--sample', '1'], L = ['--no-vnu', '--sample', '1', '--lh-pages', '1'];
const h = (a, b) => ['index.html', a, b], f = (a, b) => ['feed.xml', a, b], r = (a, b) => ['rss.xml', a, b], m = (a, b) => ['sitemap.xml', a, b];
const cases = [ // [check that must fail, what its message must contain, [file, from, to], flags]
  ['links', 'no such file', h('href="./about/"', 'href="./abuot/"'), S], ['links', 'no such fragment', h('#parts', '#partz'), S],
  ['links', 'scheme', h('href="./about/"', 'href="javascript:x()"'), S],
  ['links', 'no such file: bg.png', ['style.css', 'body {', 'body { background-image: url(bg.png);'], S],
  ['external', 'another host', h('</head>', '<link rel="preconnect" href="https://fonts.example"></head>'), S],
  ['basics', 'no lang', h(' lang="en"', ''), S], ['basics', 'no <title>', h(/<title>.*<\/title>/, ''), S], ['basics', '<h1>', h(/<h1>.*<\/h1>/, ''), S], ['basics', 'viewport', h(/<meta name="viewport".*>/, ''), S],
  ['jsonld', 'parse', h('"@type":"LocalBusiness"', '"@type":"LocalBusiness",,'), S], ['jsonld', '@type', h('"@type":"LocalBusiness",', ''), S], ['jsonld', '@context', h('"https://schema.org"', '"https://other.example"'), S],
  ['xml', '', f('</title>', '</titel>'), S], ['xml', '', r('<title>Jobs</title>', '<title>Jobs & more</title>'), S],
  ['feed', '<id>', f('<id>https://shop.example/feed.xml</id>', ''), S], ['feed', '<title>', f('<title>Jobs</title>', '<title/>'), S], ['feed', '<updated>', f('<updated>2026-01-02T03:04:05Z</updated>\n', ''), S],
  ['feed', 'RFC 3339', f('2026-01-02T03', '2026-01-02 03'), S], ['feed', 'no author', f(/<author>.*<\/author>/, ''), S], ['feed', 'rel=self', f('rel="self"', 'rel="related"'), S],
  ['feed', 'used twice', f('<entry><id>https://shop.example/jobs/a-100/', '<entry><id>https://shop.example/feed.xml'), S], ['feed', 'leads to no file', f('<link href="https://shop.example/jobs/a-100/"', '<link href="https://shop.example/jobs/a-999/"'), S],
  ['feed', 'RFC 822', r('Fri, 02 Jan 2026', '2026-01-02'), S], ['feed', 'no guid', r(/<guid>.*<\/guid>/, ''), S],
  ['sitemap', 'absolute', m('https://shop.example/about/', '/about/'), S], ['sitemap', 'no file', m('/about/', '/gone/'), S], ['sitemap', 'W3C', m('2026-01-02', '2 Jan 2026'), S], ['sitemap', 'twice', m('/about/', '/'), S],
  ['vnu', 'Stray end tag', h('</main>', '</main></div>'), V], ['vnu', 'CSS', ['style.css', 'padding: 1rem', 'paddng: 1rem'], V],
  ['axe', 'color-contrast', ['style.css', '--fg: #1a1a1a', '--fg: #bbb'], W], ['axe', 'color-contrast', ['style.css', '--fg: #eee', '--fg: #333'], W], ['axe', 'target-size', h('<p>See', '<p><button style="width:12px;height:12px;padding:0;border:0">x</button><button style="width:12px;height:12px;padding:0;border:0">y</button></p><p>See'), W],
  ['console', 'boom', h('</body>', '<script>throw new Error("boom")</script></body>'), W], ['console', 'logged', h('</body>', '<script>console.error("logged")</script></body>'), W],
  ['requests', '404', h('</body>', '<script>fetch("nothing.json")</script></body>'), W], ['external', 'request to another host', h('</body>', '<script>new Image().src="https://tracker."+"example/p.gif"</script></body>'), W],
  ['overflow', 'scrollWidth', h('<p>See', '<p style="width:600px">See'), W], ['overflow', 'laid out', h('width=device-width, initial-scale=1', 'width=1000'), W],
  ['nojs', 'heading', h('<h1>', '<h1 style="display:none" class="js">'), W], ['nojs', 'navigation', h('<nav ', '<nav hidden '), W],
  ['weight', 'over 1 KiB', h('', ''), [...W, '--max-kb', '1']], ['weight', 'before photos', ['style.css', 'body {', `/* ${[...Array(3000).keys()]} */ body {`], [...S, '--max-kb', '3']],
  ['lighthouse', 'seo', h(/<meta name="description".*>/, '<meta name="robots" content="noindex">'), L], ['lighthouse', 'accessibility', h('<p>See', '<p><img src="data:," width="9" height="9"><input><select><option>1</select>See'), L],
];
let bad = 0; const only = process.argv[2];
if (!only) { const g = run(path.join(here, 'selftest/good'), ...B, '--sample', '3', '--lh-pages', '1'); console.log(g.rc === 0 ? 'ok   selftest/good is clean' : (bad++, `BAD  selftest/good: rc ${g.rc}\n${g.err}`)); }
for (const [name, text, [file, from, to], flags] of cases) {
  if (only && name !== only) continue;
  const dir = fs.mkdtempSync(path.join(os.tmpdir(), 'webcheck-')); fs.cpSync(path.join(here, 'selftest/good'), dir, { recursive: true });
  const p = path.join(dir, file), before = fs.readFileSync(p, 'utf8'), after = before.replace(from, to); fs.writeFileSync(p, after);
  const { rc, s, err } = run(dir, ...B, ...flags), hit = s?.checks[name]?.failures.find(x => x.what.includes(text));
  const ok = rc === 1 && hit && (after !== before || !from); if (!ok) bad++;
  console.log(`${ok ? 'ok  ' : 'BAD '} ${name} fails on ${JSON.stringify(String(to)).slice(0, 70)} -> ${hit ? hit.what.slice(0, 110) : `rc ${rc} ${JSON.stringify(Object.fromEntries(Object.entries(s?.checks ?? {}).map(([k, v]) => [k, v.failures.slice(0, 2)]).filter(x => x[1].length)))}`}`);
  fs.rmSync(dir, { recursive: true });
}
console.log(`${cases.length} breaks, ${bad} not caught`); process.exitCode = bad ? 1 : 0;
