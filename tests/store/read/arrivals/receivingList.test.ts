import { expect, test } from 'vitest'
import { UNRESTRICTED } from '@/lib/custody/event'
import { generateKitCode } from '@/lib/custody/kitCode'
import { acceptEvents } from '@/lib/store/projection/acceptEvents'
import { getReceivingList } from '@/lib/store/read/arrivals/receivingList'
import { applyRegister } from '@/lib/store/register/changeRegister'
import { makeRandom } from '@/tests/bench/manyEvents'
import { checkedRegister, smallRegister, wire } from '@/tests/cases/smallProgramme'
import { makeTestDatabase } from '@/tests/setup/database'

const NOW = Date.parse('2026-11-10T12:00:00Z')
const random = makeRandom(77)
const [travelling, lost, ruledOut, longAgo] = Array.from({ length: 4 }, () => generateKitCode(random)) as [
  string,
  string,
  string,
  string,
]

test('what is known of a settled sample that may still come is judged, and asks nobody for anything', async () => {
  const { app } = await makeTestDatabase()
  const kit = { plant: 'PL1', laboratory: 'LAB', product: 'FELT', purpose: 'duplicate' }
  const kits = [travelling, lost, ruledOut, longAgo].map((code) => ({
    ...kit,
    code,
    issuedAt: '2026-08-01T09:00:00Z',
  }))
  await applyRegister(app, checkedRegister({ ...smallRegister(), kits }), NOW)
  const report = (sample: string, kind: string, at: string, facts = {}) => ({
    source: 'desk',
    id: `${sample} ${kind}`,
    sample,
    kind,
    at,
    facts,
  })
  const sent = (sample: string, day: string) => [
    report(sample, 'collected', `${day}T08:00:00Z`),
    report(sample, 'dispatched', `${day}T16:00:00Z`),
  ]
  await acceptEvents(
    app,
    wire(
      ...sent(travelling, '2026-11-08'),
      ...sent(lost, '2026-11-06'),
      report(lost, 'lost', '2026-11-09T09:00:00Z'),
      ...sent(ruledOut, '2026-11-07'),
      report(ruledOut, 'deviation', '2026-11-08T09:00:00Z', { what: 'a torn bag' }),
      report(ruledOut, 'ruling', '2026-11-09T09:00:00Z', {
        on: `desk/${ruledOut} deviation`,
        ruling: 'cut again',
      }),
      ...sent(longAgo, '2026-08-06'),
      report(longAgo, 'lost', '2026-08-20T09:00:00Z'),
    ),
    UNRESTRICTED,
    NOW,
  )
  const { laboratories } = await getReceivingList(app, 'all', ['LAB'], NOW)
  const [laboratory] = laboratories
  expect(laboratory?.rows.map(({ code }) => code)).toEqual([travelling])
  const known = new Map(laboratory?.others.map(({ code, judgement }) => [code, judgement]))
  expect([...known.keys()].sort()).toEqual([lost, ruledOut].sort())
  for (const code of [lost, ruledOut]) expect(known.get(code)).toMatchObject({ fitness: 'unfit', acts: [] })
  expect(known.get(ruledOut)?.restraint).toBe('do not load')
})
