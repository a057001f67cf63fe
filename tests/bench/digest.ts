import { fork } from 'node:child_process'
import { createTransport } from 'nodemailer'
import { openSmtpTransport } from '@/lib/digest/delivery/mailTransport'
import { SENDER_COUNT } from '@/lib/digest/delivery/startMails'
import { openAuthPool, openOwnerPool } from '@/lib/store/scope/pool'
import { fillTwoMakers } from '@/tests/access/twoMakers'
import { SITE, sendDue } from '@/tests/digest/programme'
import type { BenchEngine } from './benchServer'
import { type Comparison, compareAsync } from './compare'

const PEOPLE = 10_000

/** Composes, stores and hands over the weekly mail of 10,000 people, against a bare loop of the mail library. */
export async function benchDigest(engine: BenchEngine): Promise<Comparison[]> {
  const { url, pool } = await engine.database('bench_digest')
  const [owner, authPool] = [openOwnerPool(url, { max: 2 }), openAuthPool(url, { max: 2 * SENDER_COUNT + 3 })]
  const sink = fork('tests/bench/mailSink.ts', [], { execArgv: ['--import', 'tsx'] })
  try {
    await fillTwoMakers({ app: pool, owner, authPool, url, name: 'bench_digest' })
    await insertPeople(owner)
    const port = await new Promise<number>((resolve) =>
      sink.once('message', (words: { port: number }) => resolve(words.port)),
    )
    const smtpUrl = `smtp://127.0.0.1:${port}`
    const { rows } = await owner.query<{ email: string }>('select email from person limit $1', [PEOPLE])
    let sample = { subject: '', text: '', html: '' }
    const subject = {
      name: 'the weekly mail',
      count: PEOPLE,
      run: async () => {
        await owner.query('truncate digest_mail, digest_handover, queue.job')
        await sendDue({
          app: pool,
          authPool,
          site: SITE,
          now: Date.now,
          openTransport: () => openSmtpTransport(smtpUrl),
          senders: SENDER_COUNT,
          onFault: (sentence) => console.error(sentence),
        })
        const sent = await owner.query(`select from digest_mail where state = 'sent'`)
        if ((sent.rowCount ?? 0) < PEOPLE) throw new Error(`Only ${sent.rowCount} were sent.`)
        const kept = await owner.query<typeof sample>(
          'select subject, body_text as text, body_html as html from digest_mail limit 1',
        )
        sample = kept.rows[0] ?? sample
      },
    }
    const plainest = {
      name: 'a bare loop of the mail library',
      count: PEOPLE,
      run: async () => {
        const transport = createTransport({
          host: '127.0.0.1',
          port,
          pool: true,
          maxConnections: SENDER_COUNT,
          maxMessages: Number.POSITIVE_INFINITY,
        })
        await Promise.all(
          rows.map(({ email }) => transport.sendMail({ ...sample, from: SITE.from, to: email })),
        )
        transport.close()
      },
    }
    return [
      await compareAsync('10,000 weekly mails', subject, plainest, {
        aim: 'a fifth as fast as sending the same text bare',
        aimRatio: 1 / 5,
        rounds: 1,
      }),
    ]
  } finally {
    sink.disconnect()
    await Promise.all([owner.end(), authPool.end()])
  }
}

async function insertPeople(owner: ReturnType<typeof openOwnerPool>): Promise<void> {
  await owner.query(`truncate digest_mail, digest_handover, digest_preference, digest_time`)
  await owner.query(
    `insert into person (id, email, name, zone, created_at)
     select 'bench' || n, 'bench' || n || '@test.invalid', 'Person ' || n, 'Europe/Lisbon', now() - interval '1 year'
     from generate_series(1, $1) n`,
    [PEOPLE],
  )
  await owner.query(
    `insert into person_role (person_id, role, place)
     select 'bench' || n, 'plant contact', case when n % 2 = 0 then 'PL1' else 'PL2' end from generate_series(1, $1) n`,
    [PEOPLE],
  )
}
