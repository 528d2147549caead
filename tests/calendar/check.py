#!/usr/bin/python3
"""The calendar of the example garden, read by a calendar library that is none of
ours (python3-icalendar of Debian).

    check.py COMMAND GARDEN

COMMAND is the program to be tested.  Runs it twice and later in the season, and
says "calendar: ..." with exit status 1 when anything is not as it should be.
"""
import datetime
import json
import subprocess
import sys

import icalendar

COMMAND, GARDEN = sys.argv[1], sys.argv[2]
FIRST_DAY, LATER_DAY = "2026-04-01", "2026-04-03"
LINE_OCTETS = 75
bad = []


def check(what, is_so):
    if not is_so:
        bad.append(what)


def run(day, form):
    words = [COMMAND, "season", GARDEN, "--date", day, "--format", form]
    done = subprocess.run(words, stdout=subprocess.PIPE, check=False)
    check(f"exit status {done.returncode} of {' '.join(words)}", done.returncode in (0, 1))
    return done.stdout


def read(raw):
    return icalendar.Calendar.from_ical(raw.decode("utf-8"))


def events_of(calendar):
    return [part for part in calendar.walk() if part.name == "VEVENT"]


def check_bytes(raw):
    check("the last line has no end", raw.endswith(b"\r\n"))
    for line in raw.split(b"\r\n"):
        check(f"a line of {len(line)} octets", len(line) <= LINE_OCTETS)
        check("a bare line end", b"\n" not in line and b"\r" not in line)


def check_event(event):
    start, end = event.decoded("DTSTART"), event.decoded("DTEND")
    check("an event is not all-day", type(start) is datetime.date and type(end) is datetime.date)
    check("an event is longer than a day", end - start == datetime.timedelta(days=1))
    for key in ("UID", "DTSTAMP", "SUMMARY", "DESCRIPTION"):
        check(f"{key} is missing", key in event)
    check("broken property values", not getattr(event, "errors", []))


def dated_rows(card):
    rows = []
    for table in card["tables"]:
        ids = [column["id"] for column in table["columns"]]
        if "date" in ids:
            place = {name: ids.index(name) for name in ("group", "date", "do")}
            rows += [(row[place["date"]], f'{row[place["group"]]}: {row[place["do"]]}')
                     for row in table["rows"]]
    return rows


def check_against_card(events):
    """Text that was escaped and folded comes back as the card has it."""
    card = json.loads(run(FIRST_DAY, "json"))
    told = sorted((str(e.decoded("DTSTART")), str(e["SUMMARY"])) for e in events)
    rows = sorted(dated_rows(card))
    check("events differ from the card's dated rows",
          len(told) == len(rows) and
          all(day == date and summary.startswith(words)
              for (day, summary), (date, words) in zip(told, rows)))
    check("no event says what to weigh", any(" g a bag, " in summary for _, summary in told))
    for caution in card["cautions"]:
        check(f'caution {caution["code"]} is missing from an event',
              all(caution["text"] in str(e["DESCRIPTION"]) for e in events))


def main():
    raw = run(FIRST_DAY, "ics")
    calendar = read(raw)
    events = events_of(calendar)
    uids = [str(e["UID"]) for e in events]

    check("VERSION is not 2.0", str(calendar.get("VERSION")) == "2.0")
    check("PRODID is missing", "PRODID" in calendar)
    check("there are no events", len(events) > 0)
    check("two events share a UID", len(set(uids)) == len(uids))
    check_bytes(raw)
    for event in events:
        check_event(event)
    check_against_card(events)
    again = [str(e["UID"]) for e in events_of(read(run(FIRST_DAY, "ics")))]
    later = [str(e["UID"]) for e in events_of(read(run(LATER_DAY, "ics")))]
    check("UIDs change from run to run", again == uids)
    check("UIDs change with the day", later == uids)
    check("reading and writing loses something",
          len(events_of(icalendar.Calendar.from_ical(calendar.to_ical()))) == len(events))
    for what in sorted(set(bad)):
        print(f"calendar: {what}", file=sys.stderr)
    if not bad:
        print(f"calendar: {len(events)} events read as they should")
    return 1 if bad else 0


sys.exit(main())
