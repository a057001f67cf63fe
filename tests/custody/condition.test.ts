import { expect, test } from 'vitest'
import {
  CONDITION,
  CONDITION_PARTS,
  condition,
  findConditionProblems,
  listFaults,
  readCondition,
} from '@/lib/custody/condition'
import { english } from '@/lib/messages/english'

const RANGE = { temperature: { min: 5, max: 40 } }

/** The faults of a condition as texts: "seal hold: seal broken". */
function tell(given: unknown, rules = {}): string[] {
  return listFaults(condition.parse(given), rules).map(
    ({ fault, grade, what }) => `${fault} ${grade}: ${english.message(what)}`,
  )
}

test('a sample that arrives as it should has no faults', () => {
  const given = {
    seal: 'intact',
    sealNumber: 'A 4711',
    packaging: 'sound',
    form: 'complete',
    codeMatches: true,
    airtight: true,
    specimen: 'whole',
    temperature: 21.5,
  }
  expect(Object.keys(given)).toEqual(CONDITION_PARTS)
  expect(tell(given, RANGE)).toEqual([])
  expect(tell({}, RANGE)).toEqual([])
})

test('each part that is wrong is a fault of its own', () => {
  const given = {
    seal: 'broken',
    packaging: 'wet',
    form: 'missing',
    codeMatches: false,
    airtight: false,
    specimen: 'too little',
    temperature: 61,
  }
  expect(tell(given, RANGE)).toEqual([
    'seal hold: seal broken',
    'packaging hold: packaging wet',
    'form note: form missing',
    'code hold: code on the bag differs from the form',
    'airtight hold: bag not airtight',
    'specimen hold: too little of the specimen',
    'temperature hold: 61 °C, outside 5 to 40 °C',
  ])
})

test('every part but the number of the seal has one right value, and the others are faults', () => {
  for (const part of CONDITION_PARTS) {
    const options = CONDITION[part].options ?? []
    const right = options.filter(({ value }) => tell({ [part]: value }).length === 0)
    expect(right, part).toHaveLength(options.length > 0 ? 1 : 0)
  }
})

test('a protocol gives the grades, and the range of temperatures, ends included', () => {
  expect(tell({ seal: 'missing', form: 'incomplete' }, { grades: { seal: 'note', form: 'hold' } })).toEqual([
    'seal note: seal missing',
    'form hold: form incomplete',
  ])
  expect(tell({ temperature: 61 })).toEqual([])
  expect(tell({ temperature: 40 }, RANGE)).toEqual([])
  expect(tell({ temperature: 5 }, RANGE)).toEqual([])
  expect(tell({ temperature: 4.9 }, { temperature: { min: 5 } })).toEqual([
    'temperature hold: 4.9 °C, below 5 °C',
  ])
  expect(tell({ temperature: 40.1 }, { temperature: { max: 40 } })).toEqual([
    'temperature hold: 40.1 °C, above 40 °C',
  ])
})

test.each([
  ['torn', null, 'not an object', 'seal, sealNumber, packaging'],
  [[{ seal: 'broken' }], null, 'not an object', 'seal, sealNumber'],
  [{ seel: 'broken' }, null, '“seel”', 'seal, sealNumber'],
  [{ seal: 'torn' }, 'seal', 'facts.condition.seal', 'intact, broken, missing, other number'],
  [{ seal: true }, 'seal', 'facts.condition.seal', 'intact, broken'],
  [{ airtight: 'no' }, 'airtight', 'facts.condition.airtight', 'true, false'],
  [{ temperature: '61' }, 'temperature', 'facts.condition.temperature', 'from -100 to 150'],
  [{ temperature: 451 }, 'temperature', 'facts.condition.temperature', 'from -100 to 150'],
  [{ sealNumber: 'x'.repeat(101) }, 'sealNumber', 'facts.condition.sealNumber', '100 characters'],
])('%j is refused, with what would be right', (value, part, detail, right) => {
  const problems = findConditionProblems(value)
  expect(problems.map((problem) => problem.part)).toEqual([part])
  expect(problems.map((problem) => english.message(problem.detail))).toEqual([
    expect.stringContaining(detail),
  ])
  expect(problems.map((problem) => english.message(problem.right))).toEqual([expect.stringContaining(right)])
})

test('what was recorded before conditions had parts is read as what it said', () => {
  expect(readCondition({ 'seal intact': false, temperature: 61 })).toEqual({
    seal: 'broken',
    temperature: 61,
  })
  expect(readCondition({ 'seal intact': true })).toEqual({ seal: 'intact' })
  expect(readCondition({ 'seal intact': 'perhaps', temperature: 'warm' })).toEqual({})
  expect(readCondition({ temperature: 61, condition: { temperature: 20 } })).toEqual({ temperature: 20 })
  expect(readCondition({ condition: 'good' })).toEqual({})
  expect(readCondition({ condition: { seal: 'torn', specimen: 'wrong', smell: 'none' } })).toEqual({
    specimen: 'wrong',
  })
  expect(readCondition(null)).toEqual({})
})
