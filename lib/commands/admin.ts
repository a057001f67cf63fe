import { parseArgs } from 'node:util'
import { linkAddress } from '@/lib/digest/delivery/signInMail'
import { canonicalEmail, isEmail } from '@/lib/policy/email'
import { environment } from '@/lib/store/environment'
import { databaseExists, databaseName, ensureDatabase } from '@/lib/store/migrate/databases'
import { migrate } from '@/lib/store/migrate/migrate'
import { ensurePerson } from '@/lib/store/people/people'
import { makeLink, REQUEST_MINUTES } from '@/lib/store/people/signInRequest'
import { COMMAND } from '@/lib/store/scope/audit'
import { doorPool } from '@/lib/store/scope/pool'
import { signInSecret, siteUrl } from '@/lib/store/site'
import { openDatabaseServer } from './databaseServer'
import { runCommand } from './runCommand'
import { servedNow } from './served'
import { say, step } from './steps'

const USAGE = 'Usage: npm run admin -- you@example.org [--name "Your name"] [--demo]'

/**
 * `npm run admin -- you@example.org`: makes someone an administrator of the programme, or with `--demo` of the demo,
 * and prints a link that signs them in once.
 */
runCommand(async () => {
  const { email, name, isDemo } = options()
  const server = await step('Database', async () => {
    const value = await openDatabaseServer(true)
    return { said: value.said, value }
  })
  const url = isDemo ? server.demoUrl : server.programmeUrl
  await step('Administrator', async () => {
    if (isDemo && !(await databaseExists(url, databaseName(url))))
      throw new Error('There is no demo. npm run demo makes it.')
    await ensureDatabase(url)
    await migrate({ url })
    return { said: `${email}, in the database ${databaseName(url)}.`, value: undefined }
  })
  await step('Link', async () => {
    const link = await linkFor(url, email, name)
    const served = servedNow(environment().dataDir)
    const where = environment().url ?? served?.address ?? siteUrl()
    const said = `${linkAddress(where, link)}\nIt works once, for ${REQUEST_MINUTES} minutes.`
    return { said, value: undefined }
  })
  hint(databaseName(url), server.isEmbedded)
})

function options() {
  const { values, positionals } = parseArgs({
    options: { demo: { type: 'boolean', default: false }, name: { type: 'string' } },
    allowPositionals: true,
  })
  const [email = ''] = positionals
  if (positionals.length !== 1 || !isEmail(email)) throw new Error(`Name one e-mail address.\n${USAGE}`)
  return {
    email: canonicalEmail(email),
    name: values.name ?? (email.split('@')[0] as string),
    isDemo: values.demo,
  }
}

async function linkFor(url: string, email: string, name: string): Promise<string> {
  const { secret, dataDir } = environment()
  const door = doorPool(url, { max: 1 })
  try {
    const now = Date.now()
    const roles = [{ role: 'administrator' as const, place: '' }]
    const id = await ensurePerson(door, { email, name, roles }, COMMAND, now)
    const made = await makeLink({ door, secret: signInSecret(secret, dataDir) }, { id, email, name }, now)
    return made.token
  } finally {
    await door.end()
  }
}

/** A link is good where its database is served. */
function hint(database: string, isEmbedded: boolean) {
  const served = servedNow(environment().dataDir)
  if (!served) return say('·', 'Link', 'Start Holdfast first (npm start), then open it.')
  if (isEmbedded && served.database !== database)
    say(
      '!',
      'Link',
      `The Holdfast that is running serves ${served.database}. Stop it and start it again, then open the link.`,
    )
}
