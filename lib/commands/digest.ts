import { parseArgs } from 'node:util'
import { mailSettings } from '@/lib/digest/delivery/mail'
import { type WouldGet, whoWouldGet } from '@/lib/digest/delivery/preview'
import { environment } from '@/lib/store/environment'
import { databaseExists, databaseName } from '@/lib/store/migrate/databases'
import { migrate } from '@/lib/store/migrate/migrate'
import { appPool, doorPool } from '@/lib/store/scope/pool'
import { signInSecret, siteUrl } from '@/lib/store/site'
import { openDatabaseServer } from './databaseServer'
import { runCommand } from './runCommand'
import { step } from './steps'

const USAGE = `npm run digest -- --dry-run [--week 2026-W48] [--demo]
Prints who would get which weekly mail with what it would say, and sends nothing; the running Holdfast sends it by itself.`

/** `npm run digest -- --dry-run`: prints who would get what. */
runCommand(async () => {
  const { week, isDemo } = wanted()
  const server = await step('Database', async () => {
    const value = await openDatabaseServer(true)
    return { said: value.said, value }
  })
  const url = isDemo ? server.demoUrl : server.programmeUrl
  if (!(await databaseExists(url, databaseName(url))))
    throw new Error(isDemo ? 'There is no demo. npm run demo makes it.' : 'There is no programme yet.')
  await migrate({ url })
  const { secret, dataDir, mailReplyTo } = environment()
  const site = {
    url: siteUrl(),
    from: mailSettings(siteUrl()).from,
    replyTo: mailReplyTo,
    secret: signInSecret(secret, dataDir),
  }
  const [app, door] = [appPool(url), doorPool(url)]
  try {
    const found = await whoWouldGet({ app, door, site }, week, Date.now())
    console.log(found.length === 0 ? 'Nobody is entered yet.' : found.map(written).join('\n\n'))
  } finally {
    await Promise.all([app.end(), door.end()])
  }
})

function written(mail: WouldGet): string {
  if (mail.text === null) return lineOf(mail)
  return [lineOf(mail), '', ...mail.text.trimEnd().split('\n')].join('\n    ').replace(/ +$/gm, '')
}

function lineOf({ name, address, week, dueAt, zone, unless, subject }: WouldGet): string {
  const due = new Intl.DateTimeFormat('en-GB', { dateStyle: 'medium', timeStyle: 'short', timeZone: zone })
  return `${name} <${address}>, ${week}, due ${due.format(dueAt)} ${zone}: ${unless ?? subject}`
}

function wanted(): { week: string | null; isDemo: boolean } {
  try {
    const { values } = parseArgs({
      options: { 'dry-run': { type: 'boolean' }, week: { type: 'string' }, demo: { type: 'boolean' } },
    })
    if (!values['dry-run']) throw new Error('Give --dry-run.')
    return { week: values.week ?? null, isDemo: values.demo === true }
  } catch (error) {
    throw new Error(`${(error as Error).message}\n${USAGE}`)
  }
}
