import { parseRegister } from '@/lib/custody/parseRegister'
import { listEntries, Register } from '@/lib/custody/register'
import { getWeekday } from '@/lib/hold/zone'
import type { Programme } from '@/lib/schedule/owedTests'
import type { AssessedDemo } from './assessDemo'

/** 90th and 95th percentiles, as a transit model of the demo's lanes would give them. */
const PACE = {
  medianTransitDays: () => 2,
  p90TransitDays: () => 4,
  p95TransitDays: () => 5,
  p95LoadDays: () => 3,
  p95ReportDays: () => 30,
}

/** A demo with what its planning and its judgement need: the pace of its lanes, and its office. */
export function planDemo(demo: AssessedDemo): Programme {
  const { document } = parseRegister(JSON.parse(JSON.stringify(demo.register)))
  if (!document) throw new Error('the register is refused')
  return {
    register: new Register(listEntries(document, Number.NEGATIVE_INFINITY)),
    samples: demo.samples,
    pace: PACE,
    office: { zone: 'UTC', isOpen: (day: number) => ![0, 6].includes(getWeekday(day)) },
    now: demo.now,
  }
}
