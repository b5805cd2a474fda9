"""Holds diaries against the schemas that `daywork start` writes, with a validator that knows nothing of the program.

Arguments: a diary that was just started, another diary, and the right and wrong values that the program's own test
wrote (`src/diary/schema.rs`). YAML is read by the core schema of YAML 1.2 (YAML 1.2.2, section 10.3.2), as editors do:
a date is text, and `yes` is a word.
"""

import json
import re
import sys
from pathlib import Path

import yaml
from jsonschema import Draft7Validator

started, demo, cases = (Path(argument) for argument in sys.argv[1:])


class Core(yaml.SafeLoader):
    """YAML 1.2 core: null, true and false, whole and decimal numbers; the rest is text."""


Core.yaml_implicit_resolvers = {}
for tag, pattern, make in [
    ("null", r"(?:~|null|Null|NULL|)", lambda text: None),
    ("bool", r"(?:true|True|TRUE|false|False|FALSE)", lambda text: text.lower() == "true"),
    ("int", r"[-+]?[0-9]+", int),
    ("float", r"[-+]?(?:\.[0-9]+|[0-9]+(?:\.[0-9]*)?)(?:[eE][-+]?[0-9]+)?", float),
]:
    name = f"tag:yaml.org,2002:{tag}"
    Core.add_implicit_resolver(name, re.compile(f"^{pattern}$"), None)
    Core.add_constructor(name, lambda loader, node, make=make: make(node.value))

folder = started / "schemas"
schemas = {path.name: json.loads(path.read_text()) for path in sorted(folder.iterdir())}
validators = {}
for name, schema in schemas.items():
    Draft7Validator.check_schema(schema)
    validators[name] = Draft7Validator(schema)
problems = []


def told(name, value):
    """Where a value does not fit, most telling first."""
    errors = sorted(validators[name].iter_errors(value), key=lambda error: -len(error.path))
    return [f"{'.'.join(map(str, error.path))}: {error.message[:120]}" for error in errors]


def kind(path):
    """The schema of a file of a diary."""
    at_root = {"diary.yaml": "diary.json", "clients.yaml": "clients.json", "about.md": "about.json"}
    in_folder = {"jobs": "log", "guides": "guide", "reviews": "review", "answers": "answer", "prices": "price"}
    return at_root.get(path.name) if len(path.parts) == 1 else f"{in_folder[path.parts[0]]}.json"


def parsed(path):
    """What a file says, and the comments of its first lines; None where it has no front matter."""
    text = path.read_text(encoding="utf-8")
    if path.suffix == ".md":
        if not text.startswith("---\n"):
            return None, ""
        text = text[4:].split("\n---\n", 1)[0]
    return yaml.load(text, Core), text


def files(diary):
    for pattern in ["diary.yaml", "clients.yaml", "about.md", "jobs/**/*.md", "guides/**/*.md", "reviews/**/*.md", "answers/**/*.md", "prices/*.yaml"]:
        yield from sorted(diary.glob(pattern))


counts = {}
for diary in [started, demo]:
    for path in files(diary):
        name = kind(path.relative_to(diary))
        value, text = parsed(path)
        if value is None:
            continue
        counts[name] = counts.get(name, 0) + 1
        problems += [f"{path} does not fit {name}: {fault}" for fault in told(name, value)]
        if diary == started:
            comment = re.match(r"# yaml-language-server: \$schema=(\S+)\n", text)
            leads = comment and (path.parent / comment[1]).resolve()
            if leads != (folder / name).resolve():
                problems.append(f"{path} does not lead to {name}")
if counts.get("log.json", 0) < 100 or set(counts) != set(schemas):
    problems.append(f"too few files were looked at: {counts}")

fitting = {True: 0, False: 0}
for case in json.loads(cases.read_text()):
    fits = not told(case["schema"], case["value"])
    fitting[case["fits"]] += 1
    if fits != case["fits"]:
        problems.append(f"{case['schema']}: {'taken' if fits else 'refused'}: {json.dumps(case['value'])}")
if min(fitting.values()) < 300:
    problems.append(f"too few values were tried: {fitting}")

# Slips as people make them, in files of the demo: what is written, what instead, and the key that is wrong.
log = sorted((demo / "jobs").glob("**/two-shore-power-outlets-and-a-long-run.md"))[0]
slips = [
    (log, r"^location:", "locaton:", ""),
    (log, r"^title:.*\n", "", ""),
    (log, r"date: \d{4}-(\d\d)-(\d\d)", r"date: \2/\1", "visits.0.date"),
    (log, r"from: (\d+):(\d\d)", r"from: \1.\2", "visits.0.from"),
    (log, r"time: (\d+)m", r"time: \1", "visits.0"),
    (log, r"code: C1", "code: Code 1", "findings.0.code"),
    (log, r"labour: \d+\.\d\d", "labour: 40 pounds", "quoted.labour"),
    (log, r"device: \{[^}]*\}", "device: B32", "readings.0.device"),
    (log, r"zs: [\d.]+", "zs: 0.8 ohm", "readings"),
    (log, r"^publish:.*", "publish: soon", "publish"),
    (log, r"^visits:\n", "visits: []\nleft_over:\n", "visits"),
    (demo / "diary.yaml", r"hour: [\d.]+", "hour: forty", "rates.hour"),
    (demo / "diary.yaml", r"address: https://", "address: ", "site.address"),
    (demo / "diary.yaml", r"^tasks:\n  (\S+):", r"tasks:\n  My \1:", "tasks"),
    (demo / "diary.yaml", r"from: \d{4}-", "from: ", "years.0.from"),
    (demo / "diary.yaml", r"markup_percent: \d+", "markup: 15", "rates"),
]
for path, pattern, instead, where in slips:
    text = parsed(path)[1]
    slipped, changed = re.subn(pattern, instead, text, count=1, flags=re.MULTILINE)
    if not changed:
        problems.append(f"{path} has nothing like {pattern}")
        continue
    faults = told(kind(path.relative_to(demo)), yaml.load(slipped, Core))
    if not any(fault.startswith(where) for fault in faults):
        problems.append(f"{instead!r} in {path}: nothing was said of {where!r}: {faults}")

if problems:
    sys.exit("\n".join(problems[:20]))
print(
    f"{len(schemas)} schemas fit {sum(counts.values())} files ({counts['log.json']} logs) and {fitting[True]} right values, "
    f"and refuse {fitting[False]} wrong values and {len(slips)} slips."
)
