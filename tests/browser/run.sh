#!/usr/bin/env bash
# The demo's pages in a real browser. webcheck looks at links, XML, HTML and CSS on every page, and at a sample of pages
# in Chromium: accessibility in light and dark at two widths, overflow, requests, and without JavaScript.
# Argument: the folder that holds out/, papers/, pocket.html and the tools, inside target/.
set -euo pipefail
cd "$1"
# Each check of webcheck sees what it is for, on a page broken by hand: five minutes, so on demand (SELFTEST=1).
[ -z "${SELFTEST:-}" ] || node selftest.mjs
# Every page at the site's own address: the absolute links of the 404 page, the feeds and the sitemap lead to files.
node webcheck.mjs out/site --base https://example.com/ --max-kb 100 --no-browser --no-lighthouse --out site.json
# The same bytes under a path, in the browser. The 404 page takes its style from the site's own address, which is not
# this machine's, so the browser does not look at it here.
rm -rf under-a-path && cp -r out/site under-a-path && rm under-a-path/404.html
# One page of each kind; Lighthouse looks at the first five (home, the heaviest, about, an answer, the answers). For a
# table of all kinds: --lh-pages all.
node webcheck.mjs under-a-path --base /diary/ --sample kinds --lh-pages 2 --lh-min 90,100,100,100 --max-kb 100 --no-vnu --out under-a-path.json
# The office book is for nobody's search engine, so its scores are not asked for.
node webcheck.mjs out/office --sample 7 --no-lighthouse --out office.json
# Every kind of page with the Tab key alone, and at 320 points across.
node reach.mjs out/site
node reach.mjs out/office
# Charts without colour, without a mouse and without eyes.
node charts.mjs out/site
# What each page says it is, against the words of schema.org.
node jsonld-types.mjs out/site
# The office book again, from disk, with no server.
node from-disk.mjs out/office
# The paperwork of three jobs, on the screen and as it is printed; and the films' words, printed.
node webcheck.mjs papers --sample 7 --no-lighthouse --no-nav --out papers.json
node papers.mjs papers out/site
# The page for the phone: used as on a day on site, and its notes read back by the program, which is built beside.
node pocket.mjs pocket.html ../debug/daywork
# The search page: what it finds, by keyboard, from disk, without JavaScript; and how long and how much for 2,000 pages,
# which the tests of the index have left.
node search.mjs out/site ../tmp/search-2000
# Proof: a save seen in the open page, a fault over it and mended, a page that goes and comes back.
node proof.mjs diary ../debug/daywork
