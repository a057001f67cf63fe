import type { Metadata } from 'next'
import { useTranslate } from '#translate'
import { MailNotice } from '@/app/sign-in/MailNotice'
import { rich } from '@/app/ui/language/rich'
import { getTranslate } from '@/app/ui/language/serverTranslate'
import { requireUser } from '@/lib/access/guard'
import { readOwnSignIn } from '@/lib/access/session/ownSignIn'
import { findOutboxNotice } from '@/lib/digest/delivery/mail'
import { mayAccess } from '@/lib/policy/routes'
import { readDigestPreference } from '@/lib/store/people/digestPreference'
import { listAdministrators, listColleagues } from '@/lib/store/people/people'
import { getAuthPool } from '@/lib/store/scope/sharedPool'
import { AddPasskey } from './AddPasskey'
import { parseDigestFields, validateDigestFields } from './digestFields'
import { MailPreferences } from './MailPreferences'
import { PasskeyList } from './PasskeyList'
import { describeRoles, hasNoRole } from './roles'
import { SessionList } from './SessionList'
import { findRefusedZone, ZoneChoice } from './ZoneChoice'

export const dynamic = 'force-dynamic'
export async function generateMetadata(): Promise<Metadata> {
  const t = await getTranslate()
  return { title: t('account.title') }
}

type Search = Promise<Record<string, string | string[] | undefined>>

export default async function MePage({ searchParams }: { searchParams: Search }) {
  const t = await getTranslate()
  const person = await requireUser('page /me')
  const now = Date.now()
  const { sessions, passkeys, sessionId, zone } = await readOwnSignIn(person, now)
  const hasMail = mayAccess('page /digest', person)
  const typed = await parseTypedFields(searchParams)
  const { kept, zone: zoneTyped } = await searchParams
  const [chosen, others] = await Promise.all([
    readDigestPreference(getAuthPool(), person.id),
    listColleagues(getAuthPool(), person.id),
  ])
  return (
    <>
      <h1>{person.name}</h1>
      <p>{person.email}</p>
      <p>{describeRoles(t, person.roles)}</p>
      {hasNoRole(person.roles) && <NoRole administrators={await listAdministrators(getAuthPool())} />}
      {hasMail && (
        <MailPreferences
          fields={typed ?? toFields(chosen)}
          faults={typed ? validateDigestFields(typed, others) : {}}
          standIns={others}
          alertsAreStopped={chosen.alertsAreStopped}
          isSaved={typed === null && kept === 'yes'}
        />
      )}
      <ZoneChoice
        zone={zone}
        hasMail={hasMail}
        refused={findRefusedZone(zoneTyped)}
        isKept={kept === 'zone'}
        now={now}
      />
      <SessionList sessions={sessions} here={sessionId} zone={zone} now={now} />
      <PasskeyList passkeys={passkeys} zone={zone} now={now} />
      <AddPasskey />
      <MailNotice outbox={findOutboxNotice(person)} />
    </>
  )
}

/** The fields of the mail form that were sent but could not be saved; null if there are none. */
async function parseTypedFields(searchParams: Search) {
  const pairs = Object.entries(await searchParams).flatMap(([name, value]) =>
    typeof value === 'string' ? [[name, value] as [string, string]] : [],
  )
  return parseDigestFields(new URLSearchParams(pairs))
}

function toFields(chosen: Awaited<ReturnType<typeof readDigestPreference>>) {
  const { isWanted, wantsQuietLine, language, standInId, standInFrom, standInUntil, alerts } = chosen
  return {
    wanted: isWanted ? 'yes' : '',
    quiet: wantsQuietLine ? 'yes' : '',
    language,
    standIn: standInId ?? '',
    from: standInFrom ?? '',
    until: standInUntil ?? '',
    alerts: alerts.join(','),
  }
}

/** Tells someone without a role why there is nothing to see, and which administrators can change that. */
function NoRole({ administrators }: { administrators: readonly { name: string; email: string }[] }) {
  const t = useTranslate()
  return (
    <div role="status">
      <p className="prose">{t('account.noRole')}</p>
      {administrators.length > 0 && (
        <ul>
          {administrators.map(({ name, email }) => (
            <li key={email}>
              {rich(t, 'account.noRole.administrator', {
                name,
                email,
                mail: (text) => <a href={`mailto:${email}`}>{text}</a>,
              })}
            </li>
          ))}
        </ul>
      )}
    </div>
  )
}
