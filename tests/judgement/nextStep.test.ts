import { expect, test } from 'vitest'
import { MILESTONES } from '@/lib/hold/milestone'
import { findRecorder, WAITS_AFTER } from '@/lib/judgement/nextStep'

test('a sample waits for someone at the plant, and at the laboratory until its test', () => {
  expect(WAITS_AFTER).toEqual(['produced', 'collected', 'sealed', 'received', 'conditioned'])
})

test('a time that is missing is asked of the laboratory where it is the laboratory’s word, else of the plant', () => {
  const theirs = MILESTONES.filter((milestone) => findRecorder(milestone) === 'laboratory')
  expect(theirs).toEqual(['received', 'conditioned', 'loaded', 'reported'])
})
