"""Reads dates.ics back with a calendar library of another language and holds it against the book's own page.

Run by tests/run.sh with the path of a pressed office book and the day it was pressed for. Ends with a line of counts.
"""

import datetime
import pathlib
import re
import sys

import icalendar

import outside
from outside import check

book, as_of = pathlib.Path(sys.argv[1]), datetime.date.fromisoformat(sys.argv[2])
raw = (book / "dates.ics").read_bytes()
check(b"\r\n" in raw and b"\n" not in raw.replace(b"\r\n", b""), "every line ends in CR LF")
check(all(len(line) <= 75 for line in raw.split(b"\r\n")), "no line is longer than 75 octets")
calendar = icalendar.Calendar.from_ical(raw)
check(str(calendar["VERSION"]) == "2.0" and "PRODID" in calendar, "it says its version and who made it")
check(not calendar.errors, f"the calendar is read without errors: {calendar.errors}")
events = list(calendar.walk("VEVENT"))
check(len(events) > 100, f"the demo has its dates: {len(events)}")
for event in events:
    check(not event.errors, f"an event is read without errors: {event.errors}")
uids = [str(event["UID"]) for event in events]
check(len(set(uids)) == len(uids), "no name stands twice")
stamp = datetime.datetime.combine(as_of, datetime.time(), datetime.timezone.utc)
for event in events:
    start, end = event["DTSTART"].dt, event["DTEND"].dt
    check(type(start) is datetime.date, f"{event['UID']} is a whole day")
    check(end - start == datetime.timedelta(days=1), f"{event['UID']} is one day long")
    check(event["DTSTAMP"].dt == stamp, f"{event['UID']} is stamped with the day of the press")
days = [event["DTSTART"].dt for event in events]
check(days == sorted(days), "soonest first")
page = (book / "dates.html").read_text(encoding="utf-8")
shown = re.findall(r'<p class="when"><b>(\d+ \w+ \d+)</b>', page)
check(shown, "the page shows dates")
for words in shown:
    day = datetime.datetime.strptime(words, "%d %B %Y").date()
    check(day in days, f"{words} is on the page and in the calendar")
for event in events:
    ref = str(event["UID"]).split("-", 1)[1].split("@")[0]
    check((book / "jobs" / f"{ref}.html").is_file(), f"{event['UID']} has its job")
print(f"{outside.passed} passed, 0 failed")
