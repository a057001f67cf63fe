import { describe, expect, test } from 'vitest'
import { formatRowAct } from '@/app/ui/words/act'
import { formatKitCode } from '@/lib/custody/kitCode'
import { DAY } from '@/lib/hold/zone'
import type { NextAct } from '@/lib/judgement/nextAct'
import type { ActingRoles } from '@/lib/judgement/responsibility'
import { english } from '@/lib/messages/english'
import { ADMINISTRATOR, NOBODY } from '../../../judgement/responsibleViewer'
import { act, clock, judgedRow } from '../../sampleRows'

const NOW = Date.parse('2026-11-10T12:00:00Z')
const PLANT = { ...NOBODY, plants: ['PL1'] }
const DESK = { ...NOBODY, laboratories: ['LAB'] }
const CODE = judgedRow().code
const told = (acts: NextAct[], reader: ActingRoles, now = NOW) =>
  formatRowAct(
    english,
    judgedRow({ binding: clock({ startedAt: NOW - DAY }), judgement: { acts } }),
    reader,
    now,
  )

describe('what a list says is to be done', () => {
  test('is the reader’s own act, linked to its form, by when at their place', () => {
    const byAt = Date.parse('2026-11-12T04:59:59.999Z')
    const acts = [
      act('rule on it', 'programme', { findings: ['desk/1'] }),
      act('load it', 'laboratory', { byAt }),
    ]
    expect(told(acts, DESK)).toEqual({
      text: 'Load it',
      path: `/samples/${CODE}?record=loaded#record`,
      when: '(by the end of Wed 11 Nov, New York)',
      isTheirs: true,
      isUrgent: false,
    })
    expect(told(acts, ADMINISTRATOR)).toMatchObject({
      text: 'Rule on what was found',
      path: `/samples/${CODE}?record=ruling&on=desk%2F1#record`,
      when: null,
    })
  })

  test('is else what somebody else has to do today, as a question to them', () => {
    const urgent = act('load it', 'laboratory', { isUrgent: true, byAt: NOW - 1 })
    expect(told([urgent], PLANT)).toEqual({
      text: 'Ask the laboratory to load it',
      path: null,
      when: '(overdue since Tue 10 Nov 06:59 New York)',
      isTheirs: false,
      isUrgent: true,
    })
    expect(told([act('load it', 'laboratory')], PLANT)).toBeNull()
  })

  test('is overdue since the day that lists of what is overdue say, unless it is in time by another', () => {
    const overdue = { kind: 'deviation with no ruling', sinceAt: NOW - DAY } as const
    const when = (byAt: number | null) =>
      told([act('rule on it', 'programme', { overdue, byAt })], ADMINISTRATOR)?.when
    expect(when(null)).toBe('(overdue since Mon 9 Nov 12:00 UTC)')
    expect(when(NOW - 1)).toBe('(overdue since Mon 9 Nov 12:00 UTC)')
    expect(when(NOW + DAY)).toBe('(by Wed 11 Nov 12:00 UTC)')
  })

  test('names the spare kit to whoever replaces the sample with it', () => {
    const replace = act('replace it', 'programme', { isUrgent: true, spare: CODE })
    expect(told([replace], ADMINISTRATOR)?.text).toBe(`Replace it with the spare kit ${formatKitCode(CODE)}`)
    expect(told([replace], PLANT)?.text).toBe('Ask the programme to replace it')
  })

  test('says from when on, where it would be early', () => {
    const early = act('load it', 'laboratory', { notBeforeAt: NOW + 1, byAt: NOW + DAY })
    expect(told([early], DESK)?.when).toBe(
      '(not before Tue 10 Nov 07:00 New York, and by Wed 11 Nov 07:00 New York)',
    )
  })

  test('has no link where there is only to wait', () => {
    expect(told([act('wait for the ruling', 'plant')], PLANT)).toMatchObject({
      text: 'Wait for the ruling',
      path: null,
    })
  })

  test('is nothing once the due has passed since the sample was judged', () => {
    expect(told([act('load it', 'laboratory')], DESK, NOW + 10 * DAY)).toBeNull()
  })
})
