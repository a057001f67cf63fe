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
import { assertUtc, openAppPool } from '@/lib/store/scope/pool'
import { ensureSignInSecret, getSiteUrl } from '@/lib/store/site'
import { ensureBuild } from './build'
import { type DatabaseServer, openDatabaseServer } from './databaseServer'
import { isDemoRemoved, makeDemo } from './demoDatabase'
import { openLauncherLog } from './launcherLog'
import { ensurePrismaClient } from './prismaClient'
import { deriveBeforeServing, deriveWhileServing } from './rederive'
import { scheduleBackups } from './scheduleBackups'
import { writeServedNote } from './servedNote'
import { closeOnShutdown, shutDown, shutDownOnSignals } from './shutdown'
import { log, runStep } from './steps'
import { startWebServer } from './webServer'

/**
 * Starts Holdfast step by step, prints each step, and runs until it is stopped or a part of it dies.
 * @param isDev serve the sources as they change, instead of a build.
 */
export async function launch(isDev: boolean): Promise<'keep running'> {
  shutDownOnSignals()
  const logging = await openLauncherLog()
  const settings = await runStep('Environment', async () => ({
    summary: 'Valid.',
    value: getEnvironment(),
  }))
  const server = await runStep('Database', async () => {
    const value = await openDatabaseServer(false)
    return { summary: value.description, value }
  })
  server.engine?.onDeath((why) => fail(`${why} See its log, ${settings.dataDir}/engine.log.`))
  const { url, isDemo } = await chooseDatabase(server)
  await runStep('Migrations', () => migrateDatabase(url))
  await deriveBeforeServing(url)
  await prepareCode(isDev)
  await runStep('Mail', async () => {
    const { smtpUrl, outbox } = getMailSettings(getSiteUrl())
    const summary = smtpUrl
      ? `Sent by ${new URL(smtpUrl).host}.`
      : `SMTP_URL is not set: mail is written to ${outbox} and nobody receives it.`
    return { summary, value: undefined }
  })
  const web = await runStep('Web server', async () => {
    const value = await startWebServer({ databaseUrl: url, port: settings.port, isDev, log: logging })
    const moved =
      value.port === settings.port ? '' : `Port ${settings.port} is taken; using the next free one.\n`
    const where = settings.host
      ? `Listens on ${settings.host}, as ${settings.url}.`
      : 'Listens on this machine only (127.0.0.1).'
    return { summary: `${moved}${where}`, value }
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
  deriveWhileServing(url)
  // The demo's people are invented, so the demo sends no mail.
  if (!isDemo) await sendMails(url, address)
  if (!isDemo) await scheduleBackups(url)
  const whose = isDemo ? 'the demo programme' : 'your programme'
  log('✓', 'Holdfast', `Serving ${whose} on ${address} (Ctrl-C stops it)`)
  return 'keep running'
}

/** Sends mail until the command ends. */
async function sendMails(url: string, address: string) {
  const { smtpUrl, smtpCa, from, outbox } = getMailSettings(address)
  const { secret, dataDir, mailReplyTo } = getEnvironment()
  const site = { url: address, from, replyTo: mailReplyTo, secret: ensureSignInSecret(secret, dataDir) }
  const onFault = (sentence: string) => log('!', 'Mails', sentence)
  closeOnShutdown('The mails', await startMails({ url, site, smtpUrl, smtpCa, outbox, onFault }))
}

function fail(why: string) {
  log('✗', 'Holdfast', `${why} Stopping everything else; start again to recover.`)
  void shutDown(1)
}

/** A server from DATABASE_URL gets no demo. In the embedded engine the programme takes precedence once it exists. */
async function chooseDatabase(server: DatabaseServer): Promise<{ url: string; isDemo: boolean }> {
  const { programmeUrl, demoUrl, isEmbedded } = server
  return runStep('Programme', async () => {
    await ensureDatabase(programmeUrl)
    const programme = { url: programmeUrl, isDemo: false }
    const name = getDatabaseName(programmeUrl)
    if (!isEmbedded) return { summary: `In the database ${name}.`, value: programme }
    if (await isProgrammeStarted(programmeUrl))
      return { summary: `Yours, in the database ${name}.`, value: programme }
    if (isDemoRemoved()) {
      return {
        summary: 'Yours, still empty. The demo was removed; npm run demo recreates it.',
        value: programme,
      }
    }
    const demo = { url: demoUrl, isDemo: true }
    const advice = 'npm run demo -- --remove removes it.'
    if (await databaseExists(demoUrl, getDatabaseName(demoUrl)))
      return { summary: `The demo. ${advice}`, value: demo }
    log('·', 'Programme', 'No programme yet; creating the demo.')
    await makeDemo(demoUrl, Date.now(), (sentence) => log('·', 'Programme', sentence))
    return { summary: `The demo, just created. ${advice}`, value: demo }
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
  const summary =
    applied.length === 0
      ? 'The database is up to date.'
      : `${applied.length} applied; the database is up to date.`
  return { summary, value: undefined }
}

async function prepareCode(isDev: boolean) {
  if (isDev) {
    await ensurePrismaClient()
    return
  }
  await runStep('Pages', async () => {
    const { isNew, tookMs } = await ensureBuild((sentence) => log('·', 'Pages', sentence))
    return {
      summary: isNew ? `Built in ${Math.round(tookMs / 1000)} s.` : 'The build is current.',
      value: undefined,
    }
  })
}
