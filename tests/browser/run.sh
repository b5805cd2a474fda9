#!/usr/bin/env bash
# The demo's pages in a real browser: webcheck (links, HTML, CSS, XML, accessibility in light and dark at two widths)
# over the site, and over the office book as it stands on disk. Argument: the folder that holds out/ and the tools.
set -euo pipefail
cd "$1"
# The site at its domain's root: every absolute link of the 404 page and the feeds must lead to a file.
node webcheck.mjs out/site --base https://example.com/ --sample 10 --lh-pages 1 --lh-min 85,95,95,90 --out site.json
# The same bytes under a path.
node webcheck.mjs out/site --base /diary/ --no-browser --no-lighthouse --no-vnu --out site-under-path.json
# The office book is not for search engines, so its search score is not asked for.
node webcheck.mjs out/office --sample 8 --no-lighthouse --out office.json
