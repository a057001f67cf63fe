import { parseArgs } from 'node:util'
import { buildSignInLink } from '@/lib/digest/delivery/signInMail'
import { isEmail, normalizeEmail } from '@/lib/policy/email'
import { getEnvironment } from '@/lib/store/environment'
import { databaseExists, ensureDatabase, getDatabaseName } from '@/lib/store/migrate/databases'
import { migrate } from '@/lib/store/migrate/migrate'
import { ensurePerson } from '@/lib/store/people/people'
import { createLink, REQUEST_MINUTES } from '@/lib/store/people/signInRequest'
import { COMMAND } from '@/lib/store/scope/audit'
import { openAuthPool } from '@/lib/store/scope/pool'
import { ensureSignInSecret, getSiteUrl } from '@/lib/store/site'
import { openDatabaseServer } from './databaseServer'
import { runCommand } from './runCommand'
import { askToServeAgain } from './serveAgain'
import { readServedNote } from './servedNote'
import { keepOutputForResult, log, runStep } from './steps'

const USAGE = 'Usage: npm run admin -- you@example.org [--name "Your name"] [--demo]'

/**
 * `npm run admin -- you@example.org`: makes someone an administrator of the programme, or of the demo with `--demo`,
 * and prints a one-time sign-in link, alone on standard output. A running Holdfast that shows the demo changes over to the
 * programme, which has its first person now.
 */
runCommand(async () => {
  keepOutputForResult()
  const { email, name, isDemo } = readOptions()
  const server = await runStep('Database', async () => {
    const value = await openDatabaseServer(true)
    return { summary: value.description, value }
  })
  const url = isDemo ? server.demoUrl : server.programmeUrl
  await runStep('Person', async () => {
    if (isDemo && !(await databaseExists(url, getDatabaseName(url))))
      throw new Error('There is no demo. Create it with npm run demo.')
    await ensureDatabase(url)
    await migrate({ url })
    return { summary: `Administrator ${email}, in the database ${getDatabaseName(url)}.`, value: undefined }
  })
  const database = getDatabaseName(url)
  const link = await makeSignInLink(url, email, name)
  const { dataDir, url: siteUrl } = getEnvironment()
  const before = readServedNote(dataDir)
  const mayChange = server.isEmbedded && !isDemo && before !== null && before.database !== database
  const served = mayChange ? await askToServeAgain(dataDir, database) : before
  if (mayChange && served?.database === database)
    log('✓', 'Programme', 'The running Holdfast served the demo; now it serves your programme.')
  log('✓', 'Link', `It works once, within ${REQUEST_MINUTES} minutes:`)
  const where = siteUrl ?? (served ?? before)?.address ?? getSiteUrl()
  process.stdout.write(`${buildSignInLink(where, link)}\n`)
  if (!before) log('·', 'Link', 'Start Holdfast (npm start), then open the link.')
  else if (server.isEmbedded && served?.database !== database)
    log('!', 'Link', `The running Holdfast serves ${before.database}. Restart it, then open the link.`)
})

function readOptions() {
  const { values, positionals } = parseArgs({
    options: { demo: { type: 'boolean', default: false }, name: { type: 'string' } },
    allowPositionals: true,
  })
  const [email = ''] = positionals
  if (positionals.length !== 1 || !isEmail(email)) throw new Error(`Name one e-mail address.\n${USAGE}`)
  return {
    email: normalizeEmail(email),
    name: values.name ?? (email.split('@')[0] as string),
    isDemo: values.demo,
  }
}

async function makeSignInLink(url: string, email: string, name: string): Promise<string> {
  const { secret, dataDir } = getEnvironment()
  const authPool = openAuthPool(url, { max: 1 })
  try {
    const now = Date.now()
    const roles = [{ role: 'administrator' as const, place: '' }]
    const id = await ensurePerson(authPool, { email, name, roles }, COMMAND, now)
    const made = await createLink(
      { authPool, secret: ensureSignInSecret(secret, dataDir) },
      { id, email, name },
      now,
    )
    return made.token
  } finally {
    await authPool.end()
  }
}
