import { getMailSettings } from '@/lib/digest/delivery/mail'
import { startMails } from '@/lib/digest/delivery/startMails'
import { getEnvironment } from '@/lib/store/environment'
import {
  databaseExists,
  ensureDatabase,
  getDatabaseName,
  isProgrammeStarted,
} from '@/lib/store/migrate/databases'
import { migrate } from '@/lib/store/migrate/migrate'
import { ensureDerived } from '@/lib/store/projection/rebuild'
import { assertUtc, openAppPool } from '@/lib/store/scope/pool'
import { ensureSignInSecret, getSiteUrl } from '@/lib/store/site'
import { ensureBuild } from './build'
import { type DatabaseServer, openDatabaseServer } from './databaseServer'
import { isDemoRemoved, makeDemo } from './demoDatabase'
import { ensurePrismaClient } from './prismaClient'
import { writeServedNote } from './servedNote'
import { closeOnShutdown, shutDown, shutDownOnSignals } from './shutdown'
import { log, runStep } from './steps'
import { startWebServer } from './webServer'

/**
 * Brings Holdfast up, step by step, each said as it is done, and leaves it running until it is told to end or a part of it dies.
 * @param isDev serve the sources as they change, instead of a build of them.
 */
export async function launch(isDev: boolean): Promise<'keep running'> {
  shutDownOnSignals()
  const settings = await runStep('Environment', async () => ({
    said: 'Nothing wrong with it.',
    value: getEnvironment(),
  }))
  const server = await runStep('Database', async () => {
    const value = await openDatabaseServer(false)
    return { said: value.description, value }
  })
  server.engine?.onDeath((why) => fail(`${why} Its log is ${settings.dataDir}/engine.log.`))
  const { url, isDemo } = await chooseDatabase(server)
  await runStep('Migrations', () => migrateDatabase(url))
  await rederive(url)
  await prepareCode(isDev)
  await runStep('Mail', async () => {
    const { smtpUrl, outbox } = getMailSettings(getSiteUrl())
    const said = smtpUrl
      ? `By ${new URL(smtpUrl).host}.`
      : `No SMTP_URL is set: mail is written to ${outbox} and reaches nobody.`
    return { said, value: undefined }
  })
  const web = await runStep('Web server', async () => {
    const value = await startWebServer({ databaseUrl: url, port: settings.port, isDev })
    const moved =
      value.port === settings.port ? '' : `Port ${settings.port} is taken, so on the next free one.\n`
    const where = settings.host
      ? `On ${settings.host}, as ${settings.url}.`
      : 'On this machine only (127.0.0.1).'
    return { said: `${moved}${where}`, value }
  })
  closeOnShutdown('The web server', () => web.stop())
  web.onDeath(fail)
  const address = settings.url ?? `http://localhost:${web.port}`
  const forget = writeServedNote(settings.dataDir, {
    address,
    database: getDatabaseName(url),
    pid: process.pid,
  })
  closeOnShutdown('The note of what is served', async () => forget())
  // The demo's people are invented: nobody is written to.
  if (!isDemo) await sendMails(url, address)
  const whose = isDemo ? 'the demo programme' : 'your programme'
  log('✓', 'Holdfast', `Serving ${whose} on ${address} (Ctrl-C stops it)`)
  return 'keep running'
}

/** Sends the mails for as long as this runs. */
async function sendMails(url: string, address: string) {
  const { smtpUrl, smtpCa, from, outbox } = getMailSettings(address)
  const { secret, dataDir, mailReplyTo } = getEnvironment()
  const site = { url: address, from, replyTo: mailReplyTo, secret: ensureSignInSecret(secret, dataDir) }
  const onFault = (sentence: string) => log('!', 'Mails', sentence)
  closeOnShutdown('The mails', await startMails({ url, site, smtpUrl, smtpCa, outbox, onFault }))
}

function fail(why: string) {
  log('✗', 'Holdfast', `${why} Stopping the rest; start again to recover.`)
  void shutDown(1)
}

/** A server of one's own gets no demo. In the embedded engine the real programme goes first once there is one. */
async function chooseDatabase(server: DatabaseServer): Promise<{ url: string; isDemo: boolean }> {
  const { programmeUrl, demoUrl, isEmbedded } = server
  return runStep('Programme', async () => {
    await ensureDatabase(programmeUrl)
    const programme = { url: programmeUrl, isDemo: false }
    const name = getDatabaseName(programmeUrl)
    if (!isEmbedded) return { said: `In the database ${name}.`, value: programme }
    if (await isProgrammeStarted(programmeUrl))
      return { said: `Yours, in the database ${name}.`, value: programme }
    if (isDemoRemoved()) {
      return {
        said: 'Yours, still empty (the demo was removed; npm run demo brings it back).',
        value: programme,
      }
    }
    const demo = { url: demoUrl, isDemo: true }
    const advice = 'npm run demo -- --remove takes it away.'
    if (await databaseExists(demoUrl, getDatabaseName(demoUrl)))
      return { said: `The demo. ${advice}`, value: demo }
    log('·', 'Programme', 'No programme yet: making the demo.')
    await makeDemo(demoUrl, Date.now(), (sentence) => log('·', 'Programme', sentence))
    return { said: `The demo, made just now. ${advice}`, value: demo }
  })
}

async function migrateDatabase(url: string) {
  const applied = await migrate({ url, log: (sentence) => log('·', 'Migrations', sentence) })
  const pool = openAppPool(url, { max: 1 })
  try {
    await assertUtc(pool)
  } finally {
    await pool.end()
  }
  const said =
    applied.length === 0
      ? 'The database is up to date.'
      : `${applied.length} applied; the database is up to date.`
  return { said, value: undefined }
}

/** Due instants are stored, so after a change of the zone data they have to be worked out again, and what moved has to be said. */
async function rederive(url: string) {
  await runStep('Zone data', async () => {
    const pool = openAppPool(url)
    try {
      const moved = await ensureDerived(pool, Date.now())
      if (!moved) return { said: 'As when the samples were last worked out.', value: undefined }
      const lines = moved.movedDues.map(({ code, limit, beforeAt, afterAt }) => {
        return `${code}, ${limit}: due ${formatInstant(beforeAt)} became ${formatInstant(afterAt)}`
      })
      const head = `Now ${moved.to}, before ${moved.from}: ${moved.samples} samples worked out again, ${lines.length} dues moved.`
      return { said: [head, ...lines].join('\n'), value: undefined }
    } finally {
      await pool.end()
    }
  })
}

function formatInstant(at: number | null): string {
  return at === null ? 'none' : new Date(at).toISOString()
}

async function prepareCode(isDev: boolean) {
  if (isDev) {
    await ensurePrismaClient()
    return
  }
  await runStep('Pages', async () => {
    const { isNew, tookMs } = await ensureBuild((sentence) => log('·', 'Pages', sentence))
    return {
      said: isNew ? `Built in ${Math.round(tookMs / 1000)} s.` : 'The build is current.',
      value: undefined,
    }
  })
}
