"""Drives `daywork jot` in a pseudo-terminal: what it asks, and what each answer does to the diary and to the log.

Run by tests/run.sh with the program and an empty folder. Python's own library is enough. Ends with a line of counts.
"""

import difflib
import os
import pathlib
import pty
import select
import shutil
import subprocess
import sys
import time

import outside
from outside import check

program, folder = os.path.abspath(sys.argv[1]), pathlib.Path(sys.argv[2])
NOTE = "Net loft sockets\n2026-11-23 9-11\n2 soket 40m\nspare key with the harbour office\n"
QUESTION = b"soket: did you mean socket? (yes, no, always) "
ASKED_BELOW_ITS_LINE = "  3  2 soket 40m\n     " + QUESTION.decode()
ANSWER_AGAIN = b"Answer with yes, no or always."
END_OF_FILE, INTERRUPT = b"\x04", b"\x03"
SECONDS = 20


def started(name):
    """A new diary beside a note; its diary.yaml has one more comment than the starter's."""
    diary = folder / name
    shutil.rmtree(diary, ignore_errors=True)
    subprocess.run([program, "start", diary], check=True, capture_output=True)
    settings = diary / "diary.yaml"
    text = settings.read_text("utf-8")
    line = next(line for line in text.splitlines() if line.startswith("  socket:"))
    settings.write_text(text.replace(line, f"{line}  # counted by the plate"), "utf-8")
    (folder / f"{name}.txt").write_text(NOTE, "utf-8")
    return diary


def on_a_terminal(diary, answers, *more, note=None):
    """Runs jot on a terminal of its own; each answer is typed once the question stands there. What was shown, and the exit code."""
    arguments = [program, "jot", "--diary", diary, "--as-of", "2026-11-25", *more]
    if note is not None:
        arguments.append(note)
    process, terminal = pty.fork()
    if process == 0:
        os.environ["NO_COLOR"] = "1"
        os.execv(program, [str(argument) for argument in arguments])
    shown, looked_to, answers = b"", 0, list(answers)
    until = time.monotonic() + SECONDS
    while time.monotonic() < until:
        if not select.select([terminal], [], [], 0.1)[0]:
            continue
        try:
            read = os.read(terminal, 65536)
        except OSError:  # Linux: the other end is closed.
            break
        if not read:
            break
        shown += read
        if answers and answers[0][0] in shown[looked_to:]:
            looked_to = len(shown)
            os.write(terminal, answers.pop(0)[1])
    else:
        os.kill(process, 9)
        sys.exit(f"jot did not end within {SECONDS} s; it had shown:\n{shown.decode()}")
    os.close(terminal)
    code = os.waitpid(process, 0)[1]
    check(not answers, f"every question was asked: {answers}\n{shown.decode()}")
    return shown.replace(b"\r\n", b"\n").decode(), code


def settings(diary):
    return (diary / "diary.yaml").read_text("utf-8")


def log(diary):
    return (diary / "jobs/2026/net-loft-sockets.md").read_text("utf-8")


def check_as_text(diary, shown, name):
    check("3  2 soket 40m                          stays text" in shown, f"{name}: the line is shown as text:\n{shown}")
    check("2 soket 40m" in log(diary) and "task: socket" not in log(diary), f"{name}: the log keeps the line:\n{log(diary)}")


def check_as_task(diary, shown, name):
    check("task 2 x socket, 40 min" in shown, f"{name}: the line is shown as a task:\n{shown}")
    check("- {task: socket, count: 2, time: 40m}" in log(diary), f"{name}: the log has the task:\n{log(diary)}")


def asked(name, answers, changed):
    diary = started(name)
    before = settings(diary)
    shown, code = on_a_terminal(diary, answers, note=folder / f"{name}.txt")
    check(code == 0, f"{name}: it ends with 0: {code}\n{shown}")
    check(shown.count(ASKED_BELOW_ITS_LINE) == len(answers), f"{name}: it asks no oftener, each time below the line:\n{shown}")
    check("A new log, 2026-002: jobs/2026/net-loft-sockets.md" in shown, f"{name}: the log is told of:\n{shown}")
    check((settings(diary) != before) == changed, f"{name}: diary.yaml changes with always alone")
    return diary, before, shown


diary, before, shown = asked("yes", [(QUESTION, b"yes\n")], changed=False)
check_as_task(diary, shown, "yes")

diary, before, shown = asked("no", [(QUESTION, b"no\n")], changed=False)
check_as_text(diary, shown, "no")

diary, before, shown = asked("end", [(QUESTION, END_OF_FILE)], changed=False)
check_as_text(diary, shown, "end of file")

diary, before, shown = asked("again", [(QUESTION, b"perhaps\n"), (QUESTION, b"Y\n")], changed=False)
check(ANSWER_AGAIN.decode() in shown, f"another word is no answer:\n{shown}")
check_as_task(diary, shown, "again")

# A diary has no place for a spelling of who was told: such a question has two answers.
diary = started("who")
misspelt = folder / "who.txt"
misspelt.write_text(NOTE.replace("2 soket 40m", "no bond C2 told onwer"), "utf-8")
who = b"     onwer: did you mean owner? (yes, no) "
before = settings(diary)
shown, code = on_a_terminal(diary, [(who, b"always\n"), (who, b"yes\n")], note=misspelt)
check("Answer with yes or no.\n" in shown, f"what is not offered is no answer:\n{shown}")
check(code == 0 and "told owner" in shown and settings(diary) == before, f"the second answer is taken: {code}\n{shown}")

diary, before, shown = asked("always", [(QUESTION, b"always\n")], changed=True)
check_as_task(diary, shown, "always")
edits = [line for line in difflib.ndiff(before.splitlines(), settings(diary).splitlines()) if line[0] in "+-"]
check(len(edits) == 2, f"always changes one line of diary.yaml: {edits}")
check(edits[1][2:] == edits[0][2:].replace("double socket]", "double socket, soket]"), f"it adds the spelling, last: {edits}")
check(edits[1].endswith("# counted by the plate"), f"the comment of the line stays: {edits}")
inspected = subprocess.run([program, "inspect", "--diary", diary, "--as-of", "2026-11-25"], capture_output=True, text=True)
check(inspected.returncode == 0, f"the diary inspects without an error: {inspected.stdout}{inspected.stderr}")
second = folder / "second.txt"
second.write_text("Boat store sockets\n2026-11-24 9-11\n3 soket 50m\n", "utf-8")
shown, code = on_a_terminal(diary, [], note=second)
check(code == 0 and "did you mean" not in shown and "task 3 x socket, 50 min" in shown, f"what was learnt is not asked:\n{shown}")

diary = started("broken-off")
before = sorted(path for path in diary.rglob("*"))
shown, code = on_a_terminal(diary, [(QUESTION, INTERRUPT)], note=folder / "broken-off.txt")
check(code != 0 and before == sorted(diary.rglob("*")), f"Ctrl-C at a question writes nothing: {code}\n{shown}")

diary = started("look")
shown, code = on_a_terminal(diary, [], "--dry-run", note=folder / "look.txt")
check(code == 0 and "(yes, no" not in shown and "Would be a new log" in shown, f"a dry run asks nothing:\n{shown}")

# Without a file the note itself is typed; then nobody is left at the keyboard to answer.
diary = started("typed")
shown, code = on_a_terminal(diary, [(b"end it with Ctrl-D on a line of its own.", NOTE.encode() + END_OF_FILE)])
check(code == 0 and "(yes, no" not in shown, f"a note that is typed is read without questions: {code}\n{shown}")
check_as_text(diary, shown, "typed")

diary = started("piped")
piped = subprocess.run(
    [program, "jot", "--diary", diary, "--as-of", "2026-11-25", folder / "piped.txt"],
    stdin=subprocess.DEVNULL, capture_output=True, text=True, timeout=SECONDS)
check(piped.returncode == 0 and "(yes, no" not in piped.stdout + piped.stderr, f"without a terminal nothing is asked: {piped}")
check_as_text(diary, piped.stdout, "piped")

print(f"{outside.passed} passed, 0 failed")
