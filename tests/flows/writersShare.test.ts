import { beforeAll, expect, test } from 'vitest'
import { type SignedIn, signInAs } from '@/tests/setup/signIn'
import { parseOpenMetrics } from '../telemetry/parseOpenMetrics'
import { CONTACT, type HandProgramme, OWN, recordAs, startHandProgramme } from './byHandProgramme'
import { makeManyClients } from './manyClients'

/** More than the queue of writers has places. */
const FORMS = 130
/** A quarter of them. */
const MAX_SHARE = 25

let server: HandProgramme
let other: SignedIn
let postAs: ReturnType<typeof makeManyClients>
beforeAll(async () => {
  server = await startHandProgramme()
  other = await signInAs(server.database, CONTACT)
  postAs = makeManyClients(server.address)
})

/** Sends the form of one event. @returns the status of the answer. */
async function sendForm(n: number): Promise<number> {
  const form = { token: `token-of-one-person-${n}`, kind: 'collected', sample: OWN[0] }
  return (await postAs(n, '/api/record', { ...server.contact.headers }, form)).status
}

async function countWaitingWriters(): Promise<number> {
  const response = await fetch(`${server.address}/api/metrics`, { headers: server.administrator.headers })
  const family = parseOpenMetrics(await response.text()).get('holdfast_writers_waiting')
  return family?.samples.find(({ labels }) => labels.queue === 'ledgers')?.value ?? Number.NaN
}

test('one person who sends many forms takes a share of the queue of writers, and another records meanwhile', async () => {
  const holder = await server.database.owner.connect()
  const statuses: number[] = []
  await holder.query('begin')
  await holder.query("select pg_advisory_xact_lock(hashtext('holdfast writer'))")
  const forms = Array.from({ length: FORMS }, async (_, n) => statuses.push(await sendForm(n)))
  try {
    // Those who find no place are told so at once.
    await expect.poll(() => statuses.length, { timeout: 60_000 }).toBeGreaterThan(0)
    expect(await countWaitingWriters()).toBeLessThanOrEqual(MAX_SHARE)
    const recorded = recordAs(server, other, { kind: 'collected', sample: OWN[1] })
    await holder.query('commit')
    expect((await recorded).status).toBe(200)
  } finally {
    await holder.query('rollback')
    holder.release()
    await Promise.all(forms)
  }
  expect(statuses).toContain(429)
  expect(statuses.filter((status) => status >= 500)).toEqual([])
})
