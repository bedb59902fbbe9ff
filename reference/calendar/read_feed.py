"""Reads files/feed.ics back with icalendar and vobject and prints what they see; fails if they disagree with it."""
import pathlib, icalendar, vobject

text = (pathlib.Path(__file__).parent / "files" / "feed.ics").read_bytes()
events = list(icalendar.Calendar.from_ical(text).walk("VEVENT"))
other = vobject.readOne(text.decode()).vevent_list
assert len(events) == len(other) == 4
assert all(not event.errors for event in events)
for event, same in zip(events, other):
    assert str(event["SUMMARY"]) == same.summary.value and event["DTSTART"].dt == same.dtstart.value
    end = event.get("DTEND")
    print("|".join(map(str, [event["UID"], event["SEQUENCE"], event["DTSTART"].dt, end.dt if end else "no end",
                             event["SUMMARY"], event["CATEGORIES"].cats[0], event["STATUS"]])))
