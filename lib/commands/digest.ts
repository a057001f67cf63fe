import { parseArgs } from 'node:util'
import { getMailSettings } from '@/lib/digest/delivery/mail'
import { type MailPreview, previewMails } from '@/lib/digest/delivery/previewMails'
import { getEnvironment } from '@/lib/store/environment'
import { databaseExists, getDatabaseName } from '@/lib/store/migrate/databases'
import { migrate } from '@/lib/store/migrate/migrate'
import { openAppPool, openAuthPool } from '@/lib/store/scope/pool'
import { ensureSignInSecret, getSiteUrl } from '@/lib/store/site'
import { openDatabaseServer } from './databaseServer'
import { runCommand } from './runCommand'
import { runStep } from './steps'

const USAGE = `npm run digest -- --dry-run [--week 2026-W48] [--demo]
Prints the recipient and the text of each weekly mail that is due, and sends nothing. A running Holdfast sends them by itself.`

/** `npm run digest -- --dry-run`: prints each mail that is due, and its recipient. */
runCommand(async () => {
  const { week, isDemo } = readOptions()
  const server = await runStep('Database', async () => {
    const value = await openDatabaseServer(true)
    return { summary: value.description, value }
  })
  const url = isDemo ? server.demoUrl : server.programmeUrl
  if (!(await databaseExists(url, getDatabaseName(url))))
    throw new Error(isDemo ? 'There is no demo. Create it with npm run demo.' : 'There is no programme yet.')
  await migrate({ url })
  const { secret, dataDir, mailReplyTo } = getEnvironment()
  const site = {
    url: getSiteUrl(),
    from: getMailSettings(getSiteUrl()).from,
    replyTo: mailReplyTo,
    secret: ensureSignInSecret(secret, dataDir),
  }
  const [app, authPool] = [openAppPool(url), openAuthPool(url)]
  try {
    const found = await previewMails({ app, authPool, site }, week, Date.now())
    console.log(found.length === 0 ? 'There are no people yet.' : found.map(formatMail).join('\n\n'))
  } finally {
    await Promise.all([app.end(), authPool.end()])
  }
})

function formatMail(mail: MailPreview): string {
  if (mail.text === null) return formatHeading(mail)
  return [formatHeading(mail), '', ...mail.text.trimEnd().split('\n')].join('\n    ').replace(/ +$/gm, '')
}

function formatHeading({ name, address, week, dueAt, zone, notSentBecause, subject }: MailPreview): string {
  const due = new Intl.DateTimeFormat('en-GB', { dateStyle: 'medium', timeStyle: 'short', timeZone: zone })
  return `${name} <${address}>, ${week}, due ${due.format(dueAt)} ${zone}: ${notSentBecause ?? subject}`
}

function readOptions(): { week: string | null; isDemo: boolean } {
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
