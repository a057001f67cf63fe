import type { Metadata } from 'next'
import { MailNotice } from '@/app/sign-in/MailNotice'
import { pageVisitor } from '@/lib/access/guard'
import { ownSignIn } from '@/lib/access/session/own'
import { mailNotice } from '@/lib/digest/delivery/mail'
import { mayAsk } from '@/lib/policy/routes'
import { digestPreference } from '@/lib/store/people/digestPreference'
import { administrators, colleagues } from '@/lib/store/people/people'
import { sharedDoor } from '@/lib/store/scope/sharedPool'
import { AddPasskey } from './AddPasskey'
import { DigestChoice } from './DigestChoice'
import { digestFaults, digestFields } from './digestFields'
import { PasskeyList } from './PasskeyList'
import { hasNoRole, roleWords } from './roleWords'
import { SessionList } from './SessionList'
import { refusedZone, ZoneChoice } from './ZoneChoice'

export const dynamic = 'force-dynamic'
export const metadata: Metadata = { title: 'You' }

type Search = Promise<Record<string, string | string[] | undefined>>

export default async function MePage({ searchParams }: { searchParams: Search }) {
  const person = await pageVisitor('page /me')
  const now = Date.now()
  const { sessions, passkeys, sessionId, zone } = await ownSignIn(person, now)
  const hasMail = mayAsk('page /digest', person)
  const typed = await typedFields(searchParams)
  const { kept, zone: zoneTyped } = await searchParams
  const [chosen, others] = await Promise.all([
    digestPreference(sharedDoor(), person.id),
    colleagues(sharedDoor(), person.id),
  ])
  return (
    <>
      <h1>{person.name}</h1>
      <p>
        {person.email}. {roleWords(person.roles)}
      </p>
      {hasNoRole(person.roles) && <NoRole administrators={await administrators(sharedDoor())} />}
      {hasMail && (
        <DigestChoice
          fields={typed ?? chosenFields(chosen)}
          faults={typed ? digestFaults(typed, others) : {}}
          standIns={others}
          atOnceIsStopped={chosen.atOnceIsStopped}
          isKept={typed === null && kept === 'yes'}
        />
      )}
      <ZoneChoice
        zone={zone}
        hasMail={hasMail}
        refused={refusedZone(zoneTyped)}
        isKept={kept === 'zone'}
        now={now}
      />
      <SessionList sessions={sessions} here={sessionId} zone={zone} now={now} />
      <PasskeyList passkeys={passkeys} zone={zone} now={now} />
      <AddPasskey />
      <MailNotice outbox={mailNotice(person)} />
    </>
  )
}

/** What was typed into the form of the weekly mail and could not be kept; null where nothing was. */
async function typedFields(searchParams: Search) {
  const pairs = Object.entries(await searchParams).flatMap(([name, value]) =>
    typeof value === 'string' ? [[name, value] as [string, string]] : [],
  )
  return digestFields(new URLSearchParams(pairs))
}

function chosenFields(chosen: Awaited<ReturnType<typeof digestPreference>>) {
  const { isWanted, wantsQuietLine, language, standInId, standInFrom, standInUntil, atOnce } = chosen
  return {
    wanted: isWanted ? 'yes' : '',
    quiet: wantsQuietLine ? 'yes' : '',
    language,
    standIn: standInId ?? '',
    from: standInFrom ?? '',
    until: standInUntil ?? '',
    atOnce: atOnce.join(','),
  }
}

/** Says to someone who is nothing in the programme yet why there is nothing to see, and who can change that. */
function NoRole({ administrators }: { administrators: readonly { name: string; email: string }[] }) {
  return (
    <div role="status">
      <p className="prose">
        You are signed in, and no role in the programme has been given to you yet, so there is nothing here
        for you to see. Ask an administrator to say on the page People what you are: contact of a plant, at
        the desk of a laboratory, or reader.
      </p>
      {administrators.length > 0 && (
        <ul>
          {administrators.map(({ name, email }) => (
            <li key={email}>
              {name}, <a href={`mailto:${email}`}>{email}</a>
            </li>
          ))}
        </ul>
      )}
    </div>
  )
}
