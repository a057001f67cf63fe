import { expect, test } from 'vitest'
import { parseCondition, readConditionAnswers } from '@/lib/intake/hand/conditionForm'

function parseTemperature(text: string) {
  return parseCondition(readConditionAnswers((part) => (part === 'temperature' ? text : '')))
}

test.each([
  ['61', 61],
  ['61 °C', 61],
  ['61°c', 61],
  ['61 C', 61],
  ['61 ℃', 61],
  ['61º', 61],
  ['61,5 ° C', 61.5],
  ['−4,5 °C', -4.5],
])('a temperature of “%s” is %d', (text, temperature) => {
  expect(parseTemperature(text)).toEqual({ condition: { temperature }, faults: [] })
})

test.each(['0x10', '1e1', '142 °F', '61 K', '°C', 'C', 'warm', '200 °C'])(
  '“%s” is no temperature in °C',
  (text) => {
    expect(parseTemperature(text).faults).toMatchObject([{ part: 'temperature' }])
  },
)

// Tried at each of the blanks, they would take minutes.
test.each([' ', '° ', '\u00a0'])(
  'a number with thousands of “%s” behind it is read like any other',
  (between) => {
    const many = between.repeat(20_000)
    expect(parseTemperature(`1${many}x`).faults).toHaveLength(1)
    expect(parseTemperature(`1${many}1`).faults).toHaveLength(1)
  },
)
