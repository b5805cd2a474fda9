#!/usr/bin/env bash
# The one test command: form, lints, tests, documents, and the demo's pages in a real browser.
# Needs Rust. What else the checks need (sqlite3, zsh, fish, groff; for the browser Node, Chromium, Java, pdftotext; for photos, schemas and others Python) is
# installed where this runs as root with apt-get; elsewhere the script says what is missing and goes on without it, unless CI is set.
set -euo pipefail
cd "$(dirname "$0")/.."

say() { printf '\n== %s\n' "$*"; }
has() { command -v "$1" >/dev/null 2>&1; }
missing() {
    printf 'Not run: %s\n' "$*" >&2
    if [ -n "${CI:-}" ]; then exit 1; fi
}

# A Python of its own in the folder $1, with the packages that the file $2 names.
python_in() {
    if has python3 && ! python3 -c 'import ensurepip' >/dev/null 2>&1 && [ "$(id -u)" = 0 ] && has apt-get; then
        { apt-get update -qq && DEBIAN_FRONTEND=noninteractive apt-get install -y -qq python3-venv; } >/dev/null 2>&1 || true
    fi
    has python3 && { [ -x "$1/bin/python" ] || python3 -m venv "$1" >/dev/null 2>&1; } &&
        "$1/bin/python" -m pip install --quiet --disable-pip-version-check -r "$2" >/dev/null 2>&1
}

before=$(git status --porcelain 2>/dev/null || true)

say "form"
if cargo fmt --version >/dev/null 2>&1; then
    cargo fmt --all --check
else
    missing "the form of the source: rustfmt is not installed (rustup component add rustfmt)"
fi

say "lints"
if cargo clippy --version >/dev/null 2>&1; then
    cargo clippy --locked --all-targets --all-features --quiet -- -D warnings
else
    missing "the lints: clippy is not installed (rustup component add clippy)"
fi

say "tests"
wanted=()
for program in sqlite3 zsh fish groff; do has "$program" || wanted+=("$program"); done
if [ "${#wanted[@]}" != 0 ] && [ "$(id -u)" = 0 ] && has apt-get; then
    { apt-get update -qq && DEBIAN_FRONTEND=noninteractive apt-get install -y -qq "${wanted[@]}"; } >/dev/null 2>&1 || true
fi
for program in zsh fish groff; do has "$program" || echo "Not run: the check of what is written for $program, which is not installed" >&2; done
has sqlite3 || missing "the check of the exported database from outside: it needs the program sqlite3"
# INSTA_UPDATE=no: a snapshot is accepted by a person who has read it, never by a test run.
INSTA_UPDATE=no cargo test --locked

say "supply chain"
# Licences, duplicates and sources stand in Cargo.lock; the list of advisories is fetched by who runs this (cargo deny fetch).
if has cargo-deny; then
    cargo-deny --offline --locked check licenses bans sources
    if compgen -G "${CARGO_HOME:-$HOME/.cargo}/advisory-dbs/*" >/dev/null; then
        cargo-deny --offline --locked check advisories
    else
        echo "Not run: advisories about libraries: cargo deny fetch gets the list" >&2
    fi
else
    echo "Not run: deny.toml, licences and duplicates: cargo install --locked cargo-deny" >&2
fi

say "documents"
RUSTDOCFLAGS="-D warnings" cargo doc --locked --no-deps --quiet

say "browser"
if ! has chromium || ! has node || ! has npm || ! has java || ! has pdftotext; then
    if [ "$(id -u)" = 0 ] && has apt-get; then
        wanted=()
        has chromium || wanted+=(chromium)
        has java || wanted+=(default-jre-headless)
        has pdftotext || wanted+=(poppler-utils)
        { has node && has npm; } || wanted+=(nodejs npm)
        { apt-get update -qq && DEBIAN_FRONTEND=noninteractive apt-get install -y -qq "${wanted[@]}"; } >/dev/null 2>&1 || true
    fi
fi
if has chromium && has node && has npm && has java && has pdftotext; then
    work=target/browser
    mkdir -p "$work"
    cp -r tests/browser/*.mjs tests/browser/*.tsv tests/browser/package*.json tests/browser/selftest "$work/"
    if [ ! -d "$work/node_modules" ]; then
        (cd "$work" && npm ci --ignore-scripts --no-audit --no-fund --silent)
    fi
    rm -rf "$work/out"
    target/debug/daywork press --diary example-site --as-of 2026-11-25 --out "$work/out" >/dev/null
    target/debug/daywork jot --diary example-site --as-of 2026-11-25 --pocket "$work/pocket.html" >/dev/null
    # Papers are made in the diary's own folder, so they are made in a copy of it.
    rm -rf "$work/diary" "$work/papers"
    cp -r example-site "$work/diary"
    for job in 2026-015 2026-020 2026-050; do
        for reader in agent tenant; do
            target/debug/daywork handover "$job" --for "$reader" --diary "$work/diary" --as-of 2026-11-25 >/dev/null 2>&1
        done
        target/debug/daywork handover "$job" --daywork --pdf --diary "$work/diary" --as-of 2026-11-25 >/dev/null 2>&1
    done
    mv "$work/diary/out/office/handover" "$work/papers"
    bash tests/browser/run.sh "$work"
else
    missing "the browser checks: they need chromium, node with npm, java and pdftotext (poppler-utils)"
fi

say "calendar"
# Another language's library reads back what press wrote.
venv=target/calendar
if python_in "$venv" tests/calendar/requirements.txt; then
    rm -rf "$venv/out"
    target/debug/daywork press --diary example-site --as-of 2026-11-25 --out "$venv/out" >/dev/null
    PYTHONPATH=tests "$venv/bin/python" -B tests/calendar/read_back.py "$venv/out/office" 2026-11-25
else
    missing "the calendar read back: it needs python3 with venv, and the package icalendar"
fi

say "schemas"
# A validator of another language holds the demo, a new diary, and right and wrong values of every key against the schemas.
work=target/schemas
if python_in "$work" tests/schemas/requirements.txt; then
    rm -rf "$work/diary"
    target/debug/daywork start "$work/diary" >/dev/null
    SCHEMA_CASES="$PWD/$work/cases.json" cargo test --locked --quiet --lib diary::schema >/dev/null
    "$work/bin/python" tests/schemas/check.py "$work/diary" example-site "$work/cases.json"
else
    missing "the schemas: they need python3 with venv, and the packages jsonschema and PyYAML"
fi

say "photos"
# Files of real cameras, with the place in them, go through press; readers of another language look at what comes out.
work=target/photos
mkdir -p "$work"
cp tests/photos/package*.json "$work/"
cameras=("$work/node_modules/jpeg-exif/test" "$work/node_modules/exif-parser/test" "$work/piexif")
if python_in "$work" tests/photos/requirements.txt &&
    { [ -d "$work/piexif" ] ||
        { "$work/bin/python" -m pip download --quiet --disable-pip-version-check --no-binary :all: --no-deps --dest "$work" piexif==1.1.3 >/dev/null 2>&1 &&
            "$work/bin/python" -m zipfile -e "$work/piexif-1.1.3.zip" "$work/piexif"; }; } &&
    has npm && { [ -d "$work/node_modules" ] || (cd "$work" && npm ci --ignore-scripts --no-audit --no-fund --silent); }; then
    PYTHONPATH=tests "$work/bin/python" -B tests/photos/look_back.py target/debug/daywork "$work/work" "${cameras[@]}"
else
    missing "the photos of real cameras: they need python3 with venv, the packages Pillow, ExifRead and piexif, and npm with jpeg-exif and exif-parser"
fi

say "questions"
# A terminal is held from outside: each near spelling is asked about, and each answer does what it says.
work=target/questions
if has python3 && python3 -c 'import pty, termios' >/dev/null 2>&1; then
    rm -rf "$work"
    mkdir -p "$work"
    PYTHONPATH=tests python3 -B tests/terminal/questions.py target/debug/daywork "$work"
else
    missing "the questions on a terminal: they need python3 on a system with pseudo-terminals"
fi

say "pool"
# Many diaries exported for pooling; an engine of another make reckons over them.
work=target/pool
if python_in "$work" tests/pool/requirements.txt; then
    cargo build --locked --quiet --features parquet
    PYTHONPATH=tests "$work/bin/python" -B tests/pool/pool.py target/debug/daywork "$work/work"
else
    missing "the pool of diaries: it needs python3 with venv, and the package duckdb"
fi

say "nothing changed by the tests"
after=$(git status --porcelain 2>/dev/null || true)
if [ "$before" != "$after" ]; then
    printf 'The tests changed files of the project:\n%s\n' "$after" >&2
    exit 1
fi
echo "All done."
