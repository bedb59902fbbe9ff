"""Calendars written by icalendar, vobject and ics, with their occurrences by recurring-ical-events and dateutil.

    pip install -r requirements.txt; python make_python.py

Writes files/py_*.ics with expected/py_*.json beside them, and dateutil_rules.json.
"""
import json, datetime as dt, pathlib, random
from zoneinfo import ZoneInfo
import icalendar, recurring_ical_events, vobject, ics
from dateutil.rrule import rrulestr

here = pathlib.Path(__file__).parent
UTC = dt.timezone.utc
BASE = ZoneInfo("America/New_York")
START, END = dt.datetime(2026, 1, 1, tzinfo=UTC), dt.datetime(2028, 1, 1, tzinfo=UTC)


def instant(value, base=BASE):
    if not isinstance(value, dt.datetime):
        value = dt.datetime.combine(value, dt.time(), base)
    if value.tzinfo is None:
        value = value.replace(tzinfo=base)
    return value.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def expect(name, text, source):
    (here / "files" / f"{name}.ics").write_bytes(text)
    calendar = icalendar.Calendar.from_ical(text)
    found = recurring_ical_events.of(calendar).between(START, END)
    rows = sorted(
        [str(e["UID"]), instant(e["DTSTART"].dt), instant(e["DTEND"].dt), str(e.get("SUMMARY", "")),
         not isinstance(e["DTSTART"].dt, dt.datetime), str(e.get("STATUS", "")) == "CANCELLED"]
        for e in found)
    (here / "expected" / f"{name}.json").write_text(json.dumps(
        {"source": source, "zone": "America/New_York", "from": instant(START), "until": instant(END),
         "bookings": rows}, indent=0, ensure_ascii=False) + "\n")


def event(**kw):
    e = icalendar.Event()
    for key, value in kw.items():
        e.add(key.replace("_", "-"), value)
    e.add("dtstamp", dt.datetime(2026, 1, 2, tzinfo=UTC))
    return e


def with_icalendar():
    ny, paris = ZoneInfo("America/New_York"), ZoneInfo("Europe/Paris")
    c = icalendar.Calendar(); c.add("prodid", "-//check//"); c.add("version", "2.0")
    c.add_component(event(uid="utc", summary="Whimbrel, charter; 7 days \\ Ærø " + "long " * 30,
        dtstart=dt.datetime(2026, 7, 4, 19, tzinfo=UTC), dtend=dt.datetime(2026, 7, 11, 13, tzinfo=UTC)))
    c.add_component(event(uid="paris", summary="Dunlin", location="Dunlin",
        dtstart=dt.datetime(2026, 3, 28, 15, tzinfo=paris), dtend=dt.datetime(2026, 4, 4, 9, tzinfo=paris)))
    c.add_component(event(uid="days", summary="Turnstone\nsecond line", dtstart=dt.date(2026, 3, 7), dtend=dt.date(2026, 3, 10)))
    c.add_component(event(uid="floating", summary="Whimbrel", dtstart=dt.datetime(2026, 8, 1, 15), dtend=dt.datetime(2026, 8, 8, 9)))
    c.add_component(event(uid="length", summary="Dunlin", dtstart=dt.datetime(2026, 9, 5, 15, tzinfo=ny), duration=dt.timedelta(hours=66)))
    c.add_component(event(uid="off", summary="Dunlin", status="CANCELLED", dtstart=dt.date(2026, 5, 1), dtend=dt.date(2026, 5, 8)))
    weekly = event(uid="weekly", summary="Turnstone", dtstart=dt.datetime(2026, 2, 21, 15, tzinfo=ny),
        dtend=dt.datetime(2026, 2, 23, 10, tzinfo=ny), rrule={"freq": "weekly", "count": 8})
    weekly.add("exdate", dt.datetime(2026, 3, 14, 15, tzinfo=ny))
    weekly.add("rdate", dt.datetime(2026, 5, 20, 12, tzinfo=ny))
    c.add_component(weekly)
    c.add_component(event(uid="weekly", summary="Turnstone moved", recurrence_id=dt.datetime(2026, 3, 21, 15, tzinfo=ny),
        dtstart=dt.datetime(2026, 3, 22, 9, tzinfo=ny), dtend=dt.datetime(2026, 3, 23, 10, tzinfo=ny)))
    c.add_component(event(uid="yearly", summary="Refit", dtstart=dt.date(2020, 11, 1), dtend=dt.date(2020, 12, 1),
        rrule={"freq": "yearly"}))
    c.add_component(event(uid="lastfri", summary="Dunlin", dtstart=dt.datetime(2026, 1, 30, 17, tzinfo=paris),
        dtend=dt.datetime(2026, 2, 1, 17, tzinfo=paris), rrule={"freq": "monthly", "byday": "-1FR", "until": dt.datetime(2026, 10, 30, 16, tzinfo=UTC)}))
    expect("py_icalendar", c.to_ical(), f"icalendar {icalendar.__version__}")
    c.add_missing_timezones()
    # The same with the calendar's own zones under names of its own.
    text = c.to_ical().replace(b"America/New_York", b"Harbour East").replace(b"Europe/Paris", b"Harbour Far")
    original = json.loads((here / "expected" / "py_icalendar.json").read_text())
    (here / "files" / "py_own_zones.ics").write_bytes(text)
    original["source"] += "; its VTIMEZONE definitions under other names"
    (here / "expected" / "py_own_zones.json").write_text(json.dumps(original, indent=0, ensure_ascii=False) + "\n")


def with_vobject():
    UTC = vobject.icalendar.utc
    c = vobject.iCalendar()
    for i in range(6):
        e = c.add("vevent")
        e.add("uid").value = f"vobject-{i}"
        e.add("summary").value = f"Whimbrel, party {i}; see \\ note\nbelow"
        e.add("description").value = "Bring the long lines. Tide is late; mind the bar. " * 4
        e.add("dtstart").value = dt.datetime(2026, 6, 1 + 4 * i, 15, tzinfo=UTC)
        e.add("dtend").value = dt.datetime(2026, 6, 4 + 4 * i, 9, tzinfo=UTC)
    expect("py_vobject", c.serialize().encode(), "vobject 0.9.9")


def with_ics():
    c = ics.Calendar()
    for i in range(4):
        e = ics.Event(uid=f"ics-{i}", name=f"Dunlin {i}", begin=f"2026-10-{1 + 5 * i:02} 14:00:00", end=f"2026-10-{4 + 5 * i:02} 10:00:00")
        c.events.add(e)
    d = ics.Event(uid="ics-day", name="Turnstone", begin="2026-11-01"); d.make_all_day(); c.events.add(d)
    expect("py_ics", c.serialize().encode(), "ics 0.7.3")


def rules():
    """Rules drawn by lot, whose start is their first occurrence, as RFC 5545 asks."""
    draw, rows = random.Random(5545), []
    days = ["MO", "TU", "WE", "TH", "FR", "SA", "SU"]
    while len(rows) < 400:
        freq = draw.choice(["YEARLY", "MONTHLY", "WEEKLY", "DAILY", "HOURLY"])
        parts = [f"FREQ={freq}", f"INTERVAL={draw.randint(1, 5)}"]
        pick = lambda low, high, n: ",".join(map(str, sorted(draw.sample(range(low, high), n))))
        if draw.random() < .4: parts.append("BYMONTH=" + pick(1, 13, draw.randint(1, 4)))
        if draw.random() < .3 and freq != "WEEKLY": parts.append("BYMONTHDAY=" + pick(-31, 0, 2) + "," + pick(1, 32, 3))
        if draw.random() < .2 and freq == "YEARLY": parts.append("BYYEARDAY=" + pick(1, 366, 9) + ",-1")
        if draw.random() < .5:
            named = draw.sample(days, draw.randint(1, 3))
            if freq in ("MONTHLY", "YEARLY") and draw.random() < .5:
                named = [draw.choice(["1", "2", "-1", "-2", "4"]) + day for day in named]
            parts.append("BYDAY=" + ",".join(named))
        if draw.random() < .3: parts.append("BYHOUR=" + pick(0, 24, 3))
        if draw.random() < .2: parts.append("BYMINUTE=" + pick(0, 60, 2))
        if draw.random() < .25 and freq in ("MONTHLY", "YEARLY", "WEEKLY") and any(p.startswith("BYDAY") for p in parts):
            parts.append("BYSETPOS=" + draw.choice(["1", "-1", "2", "1,-1"]))
        if draw.random() < .3: parts.append("WKST=" + draw.choice(days))
        count = draw.randint(2, 20)
        text = ";".join(parts)
        anchor = dt.datetime(2020, draw.randint(1, 12), draw.randint(1, 28), draw.randint(0, 23), draw.choice([0, 30]))
        try:
            rule = rrulestr(text, dtstart=anchor)
            first = rule.after(anchor, inc=True)
        except ValueError:
            continue
        if first is None or first.year > 2040: continue
        got = list(rrulestr(text + f";COUNT={count}", dtstart=first))
        if len(got) < count or got[-1].year > 2100 or got[0] != first: continue
        rows.append([first.strftime("%Y%m%dT%H%M%S"), text + f";COUNT={count}", [g.strftime("%Y%m%dT%H%M%S") for g in got]])
    (here / "expected" / "dateutil_rules.json").write_text(json.dumps({"source": "python-dateutil 2.9.0.post0", "rules": rows}, indent=None, separators=(",", ":")).replace("],[\"", "],\n[\"") + "\n")


(here / "expected").mkdir(exist_ok=True)
with_icalendar(); with_vobject(); with_ics(); rules()
