import { getMailSettings } from '@/lib/digest/delivery/mail'
import { getEnvironment } from '@/lib/store/environment'
import { getDatabaseName, isProgrammeStarted } from '@/lib/store/migrate/databases'
import { migrate } from '@/lib/store/migrate/migrate'
import { assertUtc, openAppPool } from '@/lib/store/scope/pool'
import { getSiteUrl } from '@/lib/store/site'
import { ensureBuild } from './build'
import { chooseProgramme, type Programme } from './chooseProgramme'
import { openDatabaseServer } from './databaseServer'
import { isDemoRemoved } from './demoDatabase'
import { openLauncherLog } from './launcherLog'
import { ensurePrismaClient } from './prismaClient'
import { deriveBeforeServing } from './rederive'
import { answerServeAgain, forgetRequests } from './serveAgain'
import { forgetServedNote } from './servedNote'
import { serveProgramme } from './serveProgramme'
import { closeOnShutdown, shutDown, shutDownOnSignals } from './shutdown'
import { formatError, log, runStep, StepFailed } from './steps'
import { warnOfFolder } from './warnOfFolder'

/**
 * Starts Holdfast step by step, prints each step, and runs until it is stopped or PostgreSQL dies. A web server that
 * dies is started again.
 * @param isDev serve the sources as they change, instead of a build.
 */
export async function launch(isDev: boolean): Promise<'keep running'> {
  shutDownOnSignals()
  const log = await openLauncherLog()
  const settings = await runStep('Environment', async () => ({
    summary: 'Valid.',
    value: getEnvironment(),
  }))
  if (log) warnOfFolder('HOLDFAST_LOG_DIR', log.folder)
  const server = await runStep('Database', async () => {
    const value = await openDatabaseServer(false)
    return { summary: value.description, value }
  })
  server.engine?.onDeath((why) => fail(`${why} See its log, ${settings.dataDir}/engine.log.`))
  const programme = await chooseProgramme(server)
  await prepareDatabase(programme)
  await prepareCode(isDev)
  await runStep('Mail', async () => {
    const { smtpUrl, outbox } = getMailSettings(getSiteUrl())
    const summary = smtpUrl
      ? `To be sent by ${new URL(smtpUrl).host}.`
      : `SMTP_URL is not set: mail is written to ${outbox} and nobody receives it.`
    return { summary, value: undefined }
  })
  forgetRequests(settings.dataDir)
  let serving = await serveProgramme(programme, { firstPort: settings.port, isDev, log })
  closeOnShutdown('The web server', () => {
    forgetServedNote(settings.dataDir)
    return serving.stop()
  })
  const serveAgain = async (changed: string) => {
    try {
      const next = await chooseProgramme(server)
      if (next.url === serving.programme.url && getDatabaseName(next.url) !== changed) return
      await prepareDatabase(next)
      const before = serving
      // Two servers that reload the sources would share one folder of built pages.
      if (isDev) await before.stop()
      serving = await serveProgramme(next, { firstPort: before.port, before, isDev, log })
      if (!isDev) await before.stop()
    } catch (error) {
      // A step has told already why it failed.
      const why = error instanceof StepFailed ? '' : ` ${formatError(error)}`
      fail(`The programme to serve cannot be changed.${why}`)
    }
  }
  // A first start takes a while: meanwhile the demo may have been removed, or a programme begun.
  const isOutdated = isDemoRemoved() || (await isProgrammeStarted(server.programmeUrl))
  if (programme.isDemo && isOutdated) await serveAgain('')
  answerServeAgain(settings.dataDir, serveAgain)
  return 'keep running'
}

/**
 * PostgreSQL is not started again here: its end has a cause outside, such as a full disk or too little memory, and a
 * whole start checks everything on the way. A supervisor does that.
 */
function fail(why: string) {
  log('✗', 'Holdfast', `${why} Stopping everything else; start again to recover.`)
  void shutDown(1)
}

async function prepareDatabase({ url }: Programme) {
  await runStep('Migrations', () => migrateDatabase(url))
  await deriveBeforeServing(url)
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
