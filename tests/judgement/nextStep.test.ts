import { expect, test } from 'vitest'
import { MILESTONES } from '@/lib/hold/milestone'
import { findRecorder, WAITS_AFTER } from '@/lib/judgement/nextStep'

test('a sample waits for a step at the plant, and at the laboratory until its test', () => {
  expect(WAITS_AFTER).toEqual(['produced', 'collected', 'sealed', 'received', 'conditioned'])
})

test('a missing time is asked of the laboratory if the laboratory reports it, else of the plant', () => {
  const theirs = MILESTONES.filter((milestone) => findRecorder(milestone) === 'laboratory')
  expect(theirs).toEqual(['received', 'conditioned', 'loaded', 'reported'])
})
