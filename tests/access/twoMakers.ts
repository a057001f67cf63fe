import { UNRESTRICTED } from '@/lib/custody/event'
import { generateKitCode } from '@/lib/custody/kitCode'
import { acceptEvents } from '@/lib/store/projection/acceptEvents'
import { applyRegister } from '@/lib/store/register/changeRegister'
import { appendToAuditLog } from '@/lib/store/scope/audit'
import { makeRandom } from '@/tests/bench/manyEvents'
import { checkedRegister, smallRegister, wire } from '@/tests/cases/smallProgramme'
import type { TestDatabase } from '@/tests/setup/database'

const random = makeRandom(5150)

/** Kits of two competing plants, at two laboratories each, by plant and laboratory. */
export const KITS = {
  'PL1 LAB': generateKitCode(random),
  'PL1 LAB2': generateKitCode(random),
  'PL2 LAB': generateKitCode(random),
  'PL2 LAB2': generateKitCode(random),
  /** Not in the register. */
  nowhere: generateKitCode(random),
}

/** Words that occur only in the second plant's data: whoever may not see that data may see none of them. */
export const FOREIGN_WORDS = {
  plant: 'Plant of the other maker',
  product: 'Otherwise secret underlay',
  lot: 'OTHER-LOT-7781',
  waybill: 'OTHERWAYBILL7781',
  source: 'other dock 7781',
  fact: 'other remark 7781',
}

export const REGISTER = checkedRegister({
  laboratories: [
    ...(smallRegister().laboratories as Record<string, unknown>[]),
    {
      ...(smallRegister().laboratories as Record<string, unknown>[])[0],
      code: 'LAB2',
      name: 'Another laboratory',
    },
  ],
  plants: [
    { code: 'PL1', name: 'A plant', zone: 'Europe/Lisbon' },
    { code: 'PL2', name: FOREIGN_WORDS.plant, zone: 'Asia/Kolkata' },
    { code: 'PL3', name: 'A plant that has sent nothing', zone: 'UTC' },
  ],
  products: [
    { code: 'FELT', plant: 'PL1', name: 'Felt tile', protocol: 'TEN' },
    { code: 'CORK', plant: 'PL2', name: FOREIGN_WORDS.product, protocol: 'TEN' },
  ],
  kits: Object.entries(KITS)
    .filter(([name]) => name !== 'nowhere')
    .map(([name, code]) => {
      const [plant, laboratory] = name.split(' ')
      return {
        code,
        plant,
        laboratory,
        product: plant === 'PL1' ? 'FELT' : 'CORK',
        service: 'road',
        issuedAt: new Date(Date.now() - 20 * 86_400_000).toISOString(),
      }
    }),
})

/** Fills every table: samples of two makers cut and shipped, an event that matches none, people, a key, audit lines. */
export async function fillTwoMakers({ app, owner, authPool }: TestDatabase): Promise<void> {
  const now = Date.now()
  const at = (hoursAgo: number) => new Date(now - hoursAgo * 3_600_000).toISOString()
  await applyRegister(app, REGISTER, now)
  const own = { source: 'dock', service: 'road', waybill: 'OWNWAYBILL' }
  const other = {
    source: FOREIGN_WORDS.source,
    service: 'road',
    waybill: FOREIGN_WORDS.waybill,
    lot: FOREIGN_WORDS.lot,
    facts: { note: FOREIGN_WORDS.fact },
  }
  const events = Object.entries(KITS)
    .filter(([name]) => name !== 'nowhere')
    .flatMap(([name, sample]) => {
      const { service, waybill, ...by } = name.startsWith('PL1') ? own : other
      return [
        { ...by, id: `${name} cut`, sample, kind: 'collected', at: at(30) },
        { source: by.source, id: `${name} sent`, sample, kind: 'dispatched', at: at(20), service, waybill },
      ]
    })
  await acceptEvents(
    app,
    wire(...events, {
      source: 'carrier',
      id: 'seen',
      kind: 'scanned',
      at: at(5),
      service: 'road',
      waybill: 'NOBODYS',
    }),
    UNRESTRICTED,
    now,
  )
  await appendToAuditLog(
    app,
    { who: 'command', name: 'test', address: null },
    [{ what: 'filled the tables' }],
    now,
  )
  await owner.query(
    `insert into setup_draft (id, made_by, made_at, content) values ('d1', 'person p1', now(), '{}')`,
  )
  await owner.query(`insert into office (zone, weekdays) values ('UTC', '{1}')`)
  await owner.query(
    `insert into snooze (subject, plant, laboratory, until_at, reason, made_by, made_at)
     select code, plant, laboratory, now(), 'waits', 'One', now() from sample`,
  )
  await owner.query(`insert into app_metadata (name, value) values ('rows', '1')`)
  await authPool.query(`insert into person (id, email, name) values ('p1', 'one@example.org', 'One')`)
  await authPool.query(
    `insert into person_role (person_id, role, place) values ('p1', 'plant contact', 'PL1')`,
  )
  await authPool.query(
    `insert into api_key (id, name, hash, sources, sides, created_by) values ('k1', 'gate', 'a', '{gate}', '{plant}', 'person p1')`,
  )
  await owner.query(
    `insert into account (id, account_id, provider_id, person_id) values ('a', 'a', 'none', 'p1')`,
  )
  await authPool.query(
    `insert into session (id, token, person_id, expires_at) values ('s1', 't', 'p1', now() + interval '1 day')`,
  )
  await authPool.query(
    `insert into passkey (id, public_key, person_id, credential_id, counter, device_type, backed_up)
     values ('y1', 'k', 'p1', 'c', 0, 'singleDevice', false)`,
  )
  await authPool.query(
    `insert into verification (id, identifier, value, expires_at) values ('v1', 'v', 'v', now())`,
  )
  await authPool.query(
    `insert into sign_in_request (id, address_digest, source, link_digest, code_digest, tries_left, asked_at, expires_at)
     values ('r1', 'a', '192.0.2.1', 'l', 'c', 5, now(), now())`,
  )
  await authPool.query(`insert into digest_preference (person_id) values ('p1')`)
  await authPool.query(
    `insert into digest_mail (person_id, occasion, due_at) values ('p1', '2026-W48', now())`,
  )
  await authPool.query(
    `insert into digest_handover (person_id, occasion, begun_at) values ('p1', '2026-W48', now())`,
  )
  await authPool.query(
    `insert into at_once_choice (person_id, kind, since_at) values ('p1', 'lapsed', now())`,
  )
  await authPool.query(`insert into at_once_look (looked_at, event_seq) values (now(), 0)`)
  await authPool.query(`insert into digest_alarm (code, is_armed) values ('a', true)`)
  await authPool.query(`insert into digest_time (weekday, minute_of_day) values (1, 420)`)
  await authPool.query(
    `insert into calendar_feed (id, plant, hash, person_id, made_at) values ('f1', 'PL1', 'a', 'p1', now())`,
  )
  await authPool.query(
    `insert into calendar_entry (plant, uid, digest, modified_at) values ('PL1', 'a', 'a', now())`,
  )
  await authPool.query(`insert into guess_count (key, points, expire) values ('client a', 1, 0)`)
  await authPool.query(`insert into used_signature (digest, used_at) values ('a', now())`)
}
