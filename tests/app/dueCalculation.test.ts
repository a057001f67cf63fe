import { createElement } from 'react'
import { renderToStaticMarkup } from 'react-dom/server'
import { expect, test } from 'vitest'
import { DueCalculation } from '@/app/samples/[code]/DueCalculation'
import { English } from '@/app/ui/language/English'
import { formatLimit } from '@/app/ui/words/clock'
import { explainDue } from '@/lib/hold/dueBreakdown'
import { COUNTING_CHOICES } from '@/lib/hold/units'
import { english } from '@/lib/messages/english'
import { checkedRegister } from '@/tests/cases/smallProgramme'
import { limit, ms, places } from '../hold/places'

// Cut on Friday, 30 October 2026, 16:10 in Lisbon; the laboratory in New York opens from Monday to Friday.
const START = ms('2026-10-30T16:10:00Z')
const AMOUNTS = [0, 1, 3]
const laboratory = checkedRegister({}).laboratories[0]

/** What a sample's page says of a limit of 0, of 1 and of 3: what it allows, and its sum. */
const SAID: Record<string, readonly (readonly [allows: string, sum: string])[]> = {
  hours: [
    ['At most 0 hours', 'Fri 30 Oct 16:10 Lisbon + 0 hours = Fri 30 Oct 16:10 Lisbon'],
    ['At most 1 hour', 'Fri 30 Oct 16:10 Lisbon + 1 hour = Fri 30 Oct 17:10 Lisbon'],
    ['At most 3 hours', 'Fri 30 Oct 16:10 Lisbon + 3 hours = Fri 30 Oct 19:10 Lisbon'],
  ],
  'days of 24 hours': [
    ['At most 0 days of 24 hours', 'Fri 30 Oct 16:10 Lisbon + 0 × 24 hours = Fri 30 Oct 16:10 Lisbon'],
    ['At most 1 day of 24 hours', 'Fri 30 Oct 16:10 Lisbon + 1 × 24 hours = Sat 31 Oct 16:10 Lisbon'],
    ['At most 3 days of 24 hours', 'Fri 30 Oct 16:10 Lisbon + 3 × 24 hours = Mon 2 Nov 16:10 Lisbon'],
  ],
  'calendar days at the laboratory': [
    [
      'By the end of the day on which it was cut, by the laboratory’s calendar, it must be in the chamber.',
      'Fri 30 Oct is day 0 in New York; it ends with Fri 30 Oct',
    ],
    [
      'At most 1 day of the laboratory’s calendar',
      'Fri 30 Oct is day 0 in New York; day 1 ends with Sat 31 Oct',
    ],
    [
      'At most 3 days of the laboratory’s calendar',
      'Fri 30 Oct is day 0 in New York; day 3 ends with Mon 2 Nov',
    ],
  ],
  'calendar days at the plant': [
    [
      'By the end of the day on which it was cut, by the plant’s calendar, it must be in the chamber.',
      'Fri 30 Oct is day 0 in Lisbon; it ends with Fri 30 Oct',
    ],
    ['At most 1 day of the plant’s calendar', 'Fri 30 Oct is day 0 in Lisbon; day 1 ends with Sat 31 Oct'],
    ['At most 3 days of the plant’s calendar', 'Fri 30 Oct is day 0 in Lisbon; day 3 ends with Mon 2 Nov'],
  ],
  'weeks of 168 hours': [
    ['At most 0 weeks of 168 hours', 'Fri 30 Oct 16:10 Lisbon + 0 × 168 hours = Fri 30 Oct 16:10 Lisbon'],
    ['At most 1 week of 168 hours', 'Fri 30 Oct 16:10 Lisbon + 1 × 168 hours = Fri 6 Nov 16:10 Lisbon'],
    ['At most 3 weeks of 168 hours', 'Fri 30 Oct 16:10 Lisbon + 3 × 168 hours = Fri 20 Nov 16:10 Lisbon'],
  ],
  'weeks of 7 calendar days at the laboratory': [
    [
      'By the end of the day on which it was cut, by the laboratory’s calendar, it must be in the chamber.',
      'Fri 30 Oct is day 0 in New York; it ends with Fri 30 Oct',
    ],
    [
      'At most 1 week of 7 days of the laboratory’s calendar',
      'Fri 30 Oct is day 0 in New York; week 1 ends with Fri 6 Nov',
    ],
    [
      'At most 3 weeks of 7 days of the laboratory’s calendar',
      'Fri 30 Oct is day 0 in New York; week 3 ends with Fri 20 Nov',
    ],
  ],
  'weeks of 7 calendar days at the plant': [
    [
      'By the end of the day on which it was cut, by the plant’s calendar, it must be in the chamber.',
      'Fri 30 Oct is day 0 in Lisbon; it ends with Fri 30 Oct',
    ],
    [
      'At most 1 week of 7 days of the plant’s calendar',
      'Fri 30 Oct is day 0 in Lisbon; week 1 ends with Fri 6 Nov',
    ],
    [
      'At most 3 weeks of 7 days of the plant’s calendar',
      'Fri 30 Oct is day 0 in Lisbon; week 3 ends with Fri 20 Nov',
    ],
  ],
  'months at the laboratory': [
    [
      'At most 0 months of the laboratory’s calendar',
      'Fri 30 Oct is in month 0 in New York; it ends with Sat 31 Oct',
    ],
    [
      'At most 1 month of the laboratory’s calendar',
      'Fri 30 Oct is in month 0 in New York; month 1 ends with Mon 30 Nov',
    ],
    [
      'At most 3 months of the laboratory’s calendar',
      'Fri 30 Oct is in month 0 in New York; month 3 ends with Sun 31 Jan 2027',
    ],
  ],
  'months at the plant': [
    [
      'At most 0 months of the plant’s calendar',
      'Fri 30 Oct is in month 0 in Lisbon; it ends with Sat 31 Oct',
    ],
    [
      'At most 1 month of the plant’s calendar',
      'Fri 30 Oct is in month 0 in Lisbon; month 1 ends with Mon 30 Nov',
    ],
    [
      'At most 3 months of the plant’s calendar',
      'Fri 30 Oct is in month 0 in Lisbon; month 3 ends with Sun 31 Jan 2027',
    ],
  ],
  'working days of the laboratory': [
    [
      'At most 0 working days of the laboratory',
      'Day 0 is the first open day from Fri 30 Oct in New YorkFri 30 Oct 0Day 0 ends with Fri 30 Oct',
    ],
    [
      'At most 1 working day of the laboratory',
      'Day 0 is Fri 30 Oct in New YorkSat 31 Oct not openSun 1 Nov not openMon 2 Nov 1Day 1 ends with Mon 2 Nov',
    ],
    [
      'At most 3 working days of the laboratory',
      'Day 0 is Fri 30 Oct in New YorkSat 31 Oct not openSun 1 Nov not openMon 2 Nov 1Tue 3 Nov 2Wed 4 Nov 3Day 3 ends with Wed 4 Nov',
    ],
  ],
}

test.each([...COUNTING_CHOICES])('a limit in %s', (choice, says) => {
  const rendered = AMOUNTS.map((amount) => {
    const one = limit({ ...says, amount })
    const calculation = explainDue(one, START, places())
    if (!laboratory) throw new Error('no laboratory')
    const sum = createElement(DueCalculation, {
      calculation,
      limit: one,
      laboratory,
      zone: 'Europe/Lisbon',
      now: START,
    })
    const text = renderToStaticMarkup(createElement(English, null, sum))
      .replace(/<[^>]+>/g, '')
      .replaceAll('&#x27;', "'")
    return [formatLimit(english, one).split(' from when')[0], text]
  })
  expect(rendered).toEqual(SAID[choice])
})
