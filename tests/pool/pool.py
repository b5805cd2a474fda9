"""Pools 200 invented diaries with an engine that knows nothing of the program, and holds its medians against the program's.

Arguments: the program (built with its feature parquet) and a folder to work in. Each diary is exported by itself; the
program's own medians come from one diary that holds the logs of all. The SQL is that of docs/export.md.
"""

import json
import random
import re
import shutil
import subprocess
import sys
from pathlib import Path

import duckdb

from outside import check

program, work = Path(sys.argv[1]).resolve(), Path(sys.argv[2])
docs = Path(__file__).resolve().parents[2] / "docs" / "export.md"
DIARIES = 200
AS_OF = "2026-11-25"
SETTINGS = """title: Diary {number}
site: {{address: https://example.com}}
locations: {{shop: Shop, rented-flat: Rented flat}}
tasks:
  socket: {{name: Change a socket outlet, unit: each}}
  cable-run: {{name: Run a cable, unit: metre}}
  fault-finding: {{name: Fault finding, unit: job}}
  "17": {{name: A key in figures, unit: each}}
"""
TASKS = ["socket", "cable-run", "fault-finding", "17"]
dice = random.Random(20261125)


def log(reference):
    """A job of one or two visits; a count may be missing, a visit may be a free return, a job may be public."""
    visits = []
    for day in range(1, dice.randint(2, 3)):
        tasks = []
        for task in dice.sample(TASKS, dice.randint(1, 3)):
            count = f", count: {dice.randint(1, 30)}" if dice.random() < 0.8 else ""
            tasks.append(f"{{task: {task}{count}, time: {dice.randint(5, 150)}m}}")
        kind = dice.choice(["planned", "planned", "call-out", "guarantee"])
        visits.append(f"  - {{date: 2026-0{dice.randint(1, 9)}-1{day}, kind: {kind}, time: 9h, tasks: [{', '.join(tasks)}]}}")
    publish = "publish: ready\n" if dice.random() < 0.5 else ""
    lines = "\n".join(visits)
    return f"---\ntitle: Job {reference}\nref: {reference}\nlocation: shop\nplace: Somewhere {reference}\n{publish}visits:\n{lines}\n---\nDone.\n"


def diary(folder, number, logs):
    (folder / "jobs").mkdir(parents=True)
    (folder / "diary.yaml").write_text(SETTINGS.format(number=number))
    for reference, text in logs.items():
        (folder / "jobs" / f"{reference}.md").write_text(text)


def run(*arguments):
    out = subprocess.run([program, *arguments, "--as-of", AS_OF], capture_output=True, text=True)
    check(out.returncode == 0, f"{arguments}: {out.stdout}{out.stderr}")
    return out.stdout


shutil.rmtree(work, ignore_errors=True)
pool, everything = work / "pool", {}
for number in range(1, DIARIES + 1):
    logs = {f"2026-{number:03}-{index:02}": log(f"2026-{number:03}-{index:02}") for index in range(dice.randint(1, 8))}
    folder = work / "diaries" / str(number)
    diary(folder, number, logs)
    everything |= logs
    said = run("export", "--to", "parquet", "--anonymous", "--diary", folder, "--out", pool / f"diary={number}")
    check(" of " in said, said)
diary(work / "all", 0, everything)

# Nothing private in the bytes; refs, places and the title of a log that is not public are.
files = sorted(pool.rglob("*.parquet"))
check(len(files) > 3 * DIARIES, f"{len(files)} files")
for path in files:
    private = re.search(rb"Somewhere|2026-\d{3}-\d{2}", path.read_bytes())
    check(private is None, f"{path} holds {private}")

# The query is the documents' own, so that what they tell is what was tried.
query = re.search(r"```sql\n(SELECT task, count\(\*\).*?)```", docs.read_text(), re.DOTALL)
check(query is not None, "docs/export.md has the query")
query = query[1].replace("pool/", f"{pool}/")
rows = {task: (n, median) for task, n, median in duckdb.sql(query).fetchall()}

hours = json.loads(run("hours", "--diary", work / "all", "--format", "json"))
ours = {task["task"]: (task["n"], task["each"]["median"]) for task in hours["tasks"]}
check(set(rows) == set(TASKS) == set(ours), f"{rows} {ours}")
for task in TASKS:
    (n, median), (our_n, our_median) = rows[task], ours[task]
    check(n == our_n > 100, f"{task}: {n} jobs and {our_n}")
    check(abs(median - our_median) <= 1e-9 * our_median, f"{task}: {median} and {our_median}")

# What the documents say of each column is what stands in the files.
described = duckdb.sql(f"DESCRIBE SELECT * EXCLUDE (diary, task) FROM read_parquet('{files[0]}', hive_partitioning = true)").fetchall()
section = docs.read_text().split("## Pooling")[1]
documented = re.findall(r"^\| `(\w+)` \| `(\w+)` \|", section, re.MULTILINE)
check([(name, kind) for name, kind, *_ in described] == documented, f"{described} {documented}")

# A task type that is gone leaves no file behind, and another's file is left alone.
folder, out = work / "diaries" / "1", pool / "diary=1" / "observations"
mine = out / "task=mine" / "part.parquet"
mine.parent.mkdir()
mine.write_text("mine")
stale = out / "task=gone" / "part.parquet"
stale.parent.mkdir()
shutil.copy(files[0], stale)
run("export", "--to", "parquet", "--anonymous", "--diary", folder, "--out", pool / "diary=1")
check(not stale.exists() and mine.read_text() == "mine", "only what is stale is swept")

total = sum(n for n, _ in rows.values())
medians = ", ".join(f"{task} {median:.4g}" for task, (_, median) in sorted(rows.items()))
print(f"{DIARIES} diaries, {len(files)} files, {total} observations: DuckDB {duckdb.__version__} finds the program's medians ({medians}).")
