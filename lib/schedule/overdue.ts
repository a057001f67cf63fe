import type { Sample } from '@/lib/custody/sample'
import { DutySamples } from './dutySamples'
import { findActor, type Overdue } from './overdueKinds'
import { findOwedTests, type OwedTest, type Programme } from './owedTests'
import { findSampleOverdue } from './sampleOverdue'

/** Whether something overdue holds up this test, whose later acts can then hardly be in time. */
export function isForTest(overdue: Overdue, owed: OwedTest): boolean {
  return overdue.duty === owed.duty && overdue.number === owed.number
}

/**
 * All that is overdue at `now`, longest first, whatever the order of samples, events or entries. Retained samples are
 * never owed, and so never overdue. `owed` may look further ahead: what is not due yet is not overdue.
 */
export function findOverdue(
  programme: Programme,
  dutySamples = new DutySamples(programme.samples, programme.register),
  owed = findOwedTests(programme, 0, dutySamples),
): Overdue[] {
  const owedByTest = new Map(owed.map((one) => [`${one.number} ${one.duty}`, one]))
  const findOwedTest = ({ kit }: Sample) =>
    dutySamples
      .testsFor(kit.code)
      .flatMap(({ number, duty }) => owedByTest.get(`${number} ${duty}`) ?? [])
      .filter((one) => one.kit === kit.code)
      .sort((a, b) => a.dueDay - b.dueDay)[0] ?? null
  return [
    ...owed.flatMap((one) => findTestWithoutKit(one, programme)),
    ...findSampleOverdue(programme, findOwedTest),
  ].sort((a, b) => a.sinceAt - b.sinceAt || (a.subject < b.subject ? -1 : a.subject > b.subject ? 1 : 0))
}

/** A test whose first kit should have been posted by now, and for which no kit was issued. */
function findTestWithoutKit(owed: OwedTest, { now }: Programme): Overdue[] {
  const first = owed.acts[0]
  if (!first || owed.kits.length > 0 || now <= first.dueAt) return []
  const kind = 'duty with no kit'
  return [
    {
      kind,
      actor: findActor(kind, owed),
      sinceAt: first.dueAt,
      zone: first.zone,
      plant: owed.plant,
      laboratory: owed.laboratory,
      product: owed.product,
      sample: null,
      duty: owed.duty,
      number: owed.number,
      reason: null,
      deviation: null,
      subject: `${kind}/${owed.duty}/${owed.number}`,
    },
  ]
}
