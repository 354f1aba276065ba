// Reads a calendar file with ical.js, a second library; instants as ISO text.

import ICAL from 'ical.js'

export type ReadEntry = {
  uid: string
  sequence: number
  stamp: string
  modified: string
  start: string
  end: string | null
  status: string
  title: string
  detail: string
  url: string
  transp: string
  /** Instants at which it rings. */
  alarms: string[]
}

export type Read = { top: Record<string, string>; entries: ReadEntry[] }

const iso = (value: unknown): string => {
  const time = value as ICAL.Time
  // A floating or zoned time would shift with the reader's zone.
  if (time.zone !== ICAL.Timezone.utcTimezone) throw new Error(`not UTC: ${time.toString()}`)
  return new Date(time.toUnixTime() * 1000).toISOString()
}

export function read(text: string): Read {
  const calendar = new ICAL.Component(ICAL.parse(text) as unknown[])
  const top = Object.fromEntries(
    calendar
      .getAllProperties()
      .map((property) => [property.name, String(property.getFirstValue())]),
  )
  const entries = calendar.getAllSubcomponents('vevent').map((vevent) => {
    const value = (name: string) => vevent.getFirstPropertyValue(name)
    const event = new ICAL.Event(vevent)
    return {
      uid: String(value('uid')),
      sequence: Number(value('sequence')),
      stamp: iso(value('dtstamp')),
      modified: iso(value('last-modified')),
      start: iso(value('dtstart')),
      end: vevent.hasProperty('dtend') ? iso(value('dtend')) : null,
      status: String(value('status')),
      title: event.summary,
      detail: event.description,
      url: String(value('url')),
      transp: String(value('transp')),
      alarms: vevent.getAllSubcomponents('valarm').map((alarm) => {
        const time = event.startDate.clone()
        time.addDuration(alarm.getFirstPropertyValue('trigger') as ICAL.Duration)
        return iso(time)
      }),
    }
  })
  return { top, entries }
}

/** The content lines, unfolded (RFC 5545 §3.1). */
export const contentLines = (text: string): string[] =>
  text.replaceAll('\r\n ', '').split('\r\n').slice(0, -1)
