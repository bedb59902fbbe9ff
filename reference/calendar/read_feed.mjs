// Reads files/feed.ics back with ical.js and node-ical and prints what they see.
import { createRequire } from 'node:module';
import fs from 'node:fs';
const require = createRequire(import.meta.url);
const { default: ICAL } = await import('ical.js');
const text = fs.readFileSync('files/feed.ics', 'utf8');
const root = new ICAL.Component(ICAL.parse(text));
const events = root.getAllSubcomponents('vevent');
const other = require('node-ical').sync.parseICS(text);
if (events.length !== 4 || Object.values(other).filter((e) => e.type === 'VEVENT').length !== 4) throw new Error('not four events');
for (const part of events) {
  const event = new ICAL.Event(part);
  if (other[event.uid].summary !== event.summary) throw new Error(event.uid);
  console.log([event.uid, event.sequence, event.startDate, part.hasProperty('dtend') ? event.endDate : 'no end', event.summary, part.getFirstPropertyValue('categories'), part.getFirstPropertyValue('status')].join('|'));
}
