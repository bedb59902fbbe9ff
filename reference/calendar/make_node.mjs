// Calendars written by ical-generator, their occurrences by ical.js. npm install; node make_node.mjs
import { createRequire } from 'node:module';
import fs from 'node:fs';
const require = createRequire(import.meta.url);
const { default: ical } = await import('ical-generator');
const { default: ICAL } = await import('ical.js');
const node_ical = require('node-ical');

const cal = ical({ name: 'Bookings' });
const at = (text) => new Date(text);
cal.createEvent({ id: 'g1', start: at('2026-07-04T19:00:00Z'), end: at('2026-07-11T13:00:00Z'), summary: 'Whimbrel, "first"; week', location: 'Juniper Ledge, pier 2', description: 'a\nb' });
cal.createEvent({ id: 'g2', start: at('2026-07-01T00:00:00Z'), end: at('2026-07-03T00:00:00Z'), allDay: true, summary: 'Dunlin' });
cal.createEvent({ id: 'g3', start: at('2026-05-02T14:00:00Z'), end: at('2026-05-04T14:00:00Z'), summary: 'Turnstone', repeating: { freq: 'WEEKLY', count: 6, byDay: ['SA'], exclude: [at('2026-05-16T14:00:00Z')] } });
cal.createEvent({ id: 'g4', start: at('2026-05-09T14:00:00Z'), end: at('2026-05-10T14:00:00Z'), summary: 'Turnstone', status: 'CANCELLED', sequence: 3, categories: [{ name: 'DUNLIN' }, { name: 'CHARTER' }] });
const text = cal.toString().replace(/DTSTAMP:.*/g, 'DTSTAMP:20260102T000000Z');
fs.writeFileSync('files/js_generator.ics', text);

const root = new ICAL.Component(ICAL.parse(text));
const rows = [];
const iso = (time) => time.toJSDate().toISOString().replace('.000', '');
// Whole days are in the base's zone, which ical.js does not know of: in July it is four hours behind UTC.
const edge = (time) => time.isDate ? `${time.toString()}T04:00:00Z` : iso(time);
for (const part of root.getAllSubcomponents('vevent')) {
  const event = new ICAL.Event(part);
  const cancelled = part.getFirstPropertyValue('status') === 'CANCELLED';
  const it = event.iterator();
  for (let next = it.next(); next; next = it.next()) {
    const d = event.getOccurrenceDetails(next);
    rows.push([event.uid, edge(d.startDate), edge(d.endDate), event.summary, d.startDate.isDate, cancelled]);
  }
}
rows.sort((a, b) => (a[0] + a[1] < b[0] + b[1] ? -1 : 1));
const second = Object.values(node_ical.sync.parseICS(text)).filter((e) => e.type === 'VEVENT').length;
if (second !== 4) throw new Error('node-ical reads another number of events');
fs.writeFileSync('expected/js_generator.json', JSON.stringify({ source: 'ical-generator 10.2.0, read by ical.js 2.2.1; node-ical 0.26.1 reads as many events', zone: 'America/New_York', from: '2026-01-01T00:00:00Z', until: '2028-01-01T00:00:00Z', bookings: rows }, null, 0) + '\n');

// Definitions of zones under names of their own.
const { tzlib_get_ical_block: zone } = require('timezones-ical-library');
const named = (own, iana) => zone(iana)[0].replace(`TZID:${iana}`, `TZID:${own}`).split(/\r?\n/).filter(Boolean).join('\r\n') + '\r\n';
fs.writeFileSync('files/zones.ics', named('Harbour East', 'America/New_York') + named('Harbour Far', 'Europe/Paris'));
