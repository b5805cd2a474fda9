#!/usr/bin/env bash
# How long a press takes, held against the floor: the least program that reads, parses, renders and writes the same
# bytes with the same libraries (benches/floor.rs). One table of ratios for each number of logs.
#
#   bash benches/bench.sh [NUMBER OF LOGS]...      1000 and 10000 where none is given; 100000 takes 5 GB of disk and minutes
#
# Everything is measured in one run on one disk, each press into a folder of its own: a file that takes the place of one
# just deleted costs more. Other work on the machine shows in the figures; ROUNDS=5 takes the middle of five.
set -euo pipefail
cd "$(dirname "$0")/.."
rounds=${ROUNDS:-3}
sizes=("$@")
[ ${#sizes[@]} -gt 0 ] || sizes=(1000 10000)

cargo build --release --locked --quiet --bin daywork --example floor --example many_logs
release=${CARGO_TARGET_DIR:-target}/release
daywork=$release/daywork
work=$(mktemp -d "${BENCH_DIR:-target}/bench.XXXXXX")
trap 'rm -rf "$work"' EXIT

# Seconds of a command, in the variable named first. What it prints is dropped unless it fails.
seconds() {
    local -n into=$1
    shift
    sync
    local began=$EPOCHREALTIME
    "$@" >"$work/said" 2>&1 || { cat "$work/said" >&2; exit 1; }
    into=$(awk -v a="$began" -v b="$EPOCHREALTIME" 'BEGIN { printf "%.3f", b - a }')
}
middle() { printf '%s\n' "$@" | sort -g | sed -n "$((($# + 1) / 2))p"; }
over() { awk -v a="$1" -v b="$2" 'BEGIN { printf "%.2f", a / b }'; }

printf '%s cores, %s logs of 4 kB, half of them public; the middle of %s rounds\n\n' "$(nproc)" "${sizes[*]}" "$rounds"
printf '| logs | floor | full press | one edit | no edit | hours | one edit of a full press | peak memory a log |\n'
printf '|---|---|---|---|---|---|---|---|\n'
for logs in "${sizes[@]}"; do
    diary=$work/diary
    rm -rf "$diary"
    "$release/examples/many_logs" "$diary" "$logs"
    # A day after the last log's.
    day=$((1990 + (logs + 999) / 1000))-01-01
    press=("$daywork" press --diary "$diary" --as-of "$day" --out)
    edited=$(printf '%s/jobs/1990/1990-%04d.md' "$diary" $((logs < 1000 ? logs / 2 : 500)))
    floors=() fulls=() edits=() nones=() reports=()
    # Once unmeasured, so that the floor knows what to write and the logs are in memory for both.
    "${press[@]}" "$work/first" >/dev/null 2>&1
    for round in $(seq "$rounds"); do
        seconds took "$release/examples/floor" "$diary" "$work/first" "$work/floor-$round"
        floors+=("$took")
        seconds took "${press[@]}" "$work/out-$round"
        fulls+=("$took")
        printf '\nA word more, of round %s.\n' "$round" >>"$edited"
        seconds took "${press[@]}" "$work/out-$round"
        edits+=("$took")
        seconds took "${press[@]}" "$work/out-$round"
        nones+=("$took")
        seconds took "$daywork" hours --diary "$diary" --as-of "$day"
        reports+=("$took")
    done
    memory='not measured'
    if [ -x /usr/bin/time ]; then
        /usr/bin/time -f '%M' -o "$work/peak" "${press[@]}" "$work/out-memory" >/dev/null 2>&1
        memory=$(awk -v logs="$logs" '{ printf "%.0f kB", $1 * 1.024 / logs }' "$work/peak")
    fi
    floor=$(middle "${floors[@]}")
    full=$(middle "${fulls[@]}")
    edit=$(middle "${edits[@]}")
    none=$(middle "${nones[@]}")
    report=$(middle "${reports[@]}")
    printf '| %s | 1 (%.2f s) | %s | %s | %s | %s | %s | %s |\n' "$logs" "$floor" "$(over "$full" "$floor")" \
        "$(over "$edit" "$floor")" "$(over "$none" "$floor")" "$(over "$report" "$floor")" "$(over "$edit" "$full")" "$memory"
    [ -z "${before:-}" ] || printf '\nFrom %s to %s logs a full press took %s times as long.\n\n' "$before_logs" "$logs" "$(over "$full" "$before")"
    before=$full before_logs=$logs
    rm -rf "$work"/first "$work"/floor-* "$work"/out-*
done
