import { describe, expect, test } from 'vitest'
import { describeDueDates } from '@/app/setup/describeDueDates'
import { parseProtocol, toProtocolValues } from '@/app/setup/forms/protocolForm'
import { COUNTING_CHOICES } from '@/lib/hold/units'
import { english } from '@/lib/messages/english'
import { checkedRegister } from '@/tests/cases/smallProgramme'
import { limit } from '../hold/places'

const NOW = Date.parse('2026-10-30T12:00:00Z')
const register = checkedRegister()

describe('the form of a protocol', () => {
  test.each([...COUNTING_CHOICES])('reads back a limit in %s', (_, says) => {
    const base = { name: 'a', from: 'collected', to: 'loaded', amount: 3, citation: 'a contract' } as const
    const least = says.unit === 'months' ? {} : { atLeast: 2 }
    const limits = [
      limit({ ...base, ...says }),
      limit({ ...base, ...says, ...least, name: 'b', extendable: false }),
    ]
    const { content, problems } = parseProtocol(
      toProtocolValues({ code: 'P', name: 'P', limits, tight: 0.5, atRisk: 0.875 }),
    )
    expect(problems).toEqual([])
    expect(content).toEqual({ code: 'P', name: 'P', limits, tight: 0.5, atRisk: 0.875 })
  })

  test('reads back what is right at receipt, and refuses what it cannot read', () => {
    const limits = [limit({ name: 'a', from: 'collected', to: 'loaded', amount: 3, unit: 'hours' })]
    const condition = { temperature: { min: 5, max: 40.5 }, grades: { seal: 'note', form: 'hold' } } as const
    const values = toProtocolValues({ code: 'P', name: 'P', limits, condition })
    expect(parseProtocol(values)).toMatchObject({ content: { condition }, problems: [] })
    expect(parseProtocol({ ...values, minTemperature: '−3,5' }).content.condition).toMatchObject({
      temperature: { min: -3.5 },
    })
    const wrong = { minTemperature: 'cold', maxTemperature: '451', sealGrade: 'grave' }
    expect(parseProtocol({ ...values, ...wrong }).problems.map(({ field }) => field)).toEqual([
      'minTemperature',
      'maxTemperature',
      'sealGrade',
    ])
    expect(parseProtocol({ ...values, minTemperature: '41' }).problems.map(({ field }) => field)).toEqual([
      'maxTemperature',
    ])
    expect(
      parseProtocol(toProtocolValues({ code: 'P', name: 'P', limits })).content.condition,
    ).toBeUndefined()
  })

  test('refuses a least time and a word about extensions that it cannot read', () => {
    const values = { limit1: 'a', from1: 'collected', to1: 'loaded', amount1: '3', counted1: 'hours' }
    const fields = (more: Record<string, string>) =>
      parseProtocol({ ...values, ...more }).problems.map(({ field }) => field)
    expect(fields({ atLeast1: '', extendable1: 'yes' })).toEqual([])
    expect(fields({ atLeast1: '1.5', extendable1: 'perhaps' })).toEqual(['atLeast1', 'extendable1'])
  })

  test('shows from when a sample may be in the chamber, if there is a least time', () => {
    const rest = { name: 'rest', from: 'received', to: 'loaded', amount: 3, atLeast: 2 } as const
    const values = toProtocolValues({ code: 'P', name: 'P', limits: [{ ...rest, unit: 'working days' }] })
    const asked = { ...values, tryPlant: 'PL1', tryLaboratory: 'LAB', tryStart: '2026-10-30T16:10' }
    expect(describeDueDates(english, asked, register, NOW)[0]).toMatch(
      / Not before Tuesday 3 November, 00:00 in New York\.$/,
    )
  })

  test('shows by when a sample has to be in the chamber, in both time zones', () => {
    const values = toProtocolValues({
      code: 'P',
      name: 'P',
      limits: [{ name: 'cut to chamber', from: 'collected', to: 'loaded', amount: 3, unit: 'working days' }],
    })
    const asked = { ...values, tryPlant: 'PL1', tryLaboratory: 'LAB', tryStart: '2026-10-30T16:10' }
    // The laboratory is open from Monday to Thursday: 2, 3 and 4 November; clocks in New York went back on the 1st.
    expect(describeDueDates(english, asked, register, NOW)).toEqual([
      'cut to chamber: cut on Friday 30 October, 16:10 in Lisbon, to be in the chamber by the end of Wednesday 4 November in New York, which is Thu 5 Nov 04:59 Lisbon.',
    ])
    expect(describeDueDates(english, { ...asked, tryStart: '' }, register, NOW)).toEqual([])
  })

  test.each(['10001', '99999999999', '1e3', '-1', '2.5', ''])(
    'shows no due date for the amount "%s"',
    (amount1) => {
      const values = { limit1: 'cut to chamber', from1: 'collected', to1: 'loaded', amount1 }
      const tried = { tryPlant: 'PL1', tryLaboratory: 'LAB', tryStart: '2026-10-30T16:10' }
      for (const counted1 of COUNTING_CHOICES.keys())
        expect(describeDueDates(english, { ...values, ...tried, counted1 }, register, NOW), counted1).toEqual(
          [],
        )
      expect(
        describeDueDates(english, { ...values, ...tried, amount1: '3', counted1: 'hours' }, register, NOW),
      ).toHaveLength(1)
    },
  )

  test('shows no due date for unknown milestones and countings', () => {
    const values = {
      limit1: 'cut to chamber',
      from1: 'collected',
      to1: 'loaded',
      amount1: '3',
      counted1: 'hours',
    }
    const tried = { tryPlant: 'PL1', tryLaboratory: 'LAB', tryStart: '2026-10-30T16:10' }
    for (const wrong of [{ from1: 'nothing' }, { to1: 'collected' }, { counted1: 'constructor' }])
      expect(describeDueDates(english, { ...values, ...tried, ...wrong }, register, NOW)).toEqual([])
  })
})
