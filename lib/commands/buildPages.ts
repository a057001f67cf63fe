import { findBinaries } from '@/lib/store/engine/binaries'
import { getEnvironment } from '@/lib/store/environment'
import { ensureBuild } from './build'
import { runCommand } from './runCommand'
import { formatError, log, runStep } from './steps'

/**
 * `npm run build`: prepares all that a start would write beside the code, for a server that may write to its data folder
 * only. Needs no database.
 */
runCommand(async () => {
  await runStep('Pages', async () => {
    const { isNew, tookMs } = await ensureBuild((sentence) => log('·', 'Pages', sentence))
    const summary = isNew ? `Built in ${Math.round(tookMs / 1000)} s.` : 'The build is current.'
    return { summary, value: undefined }
  })
  if (getEnvironment().databaseUrl) return
  await findBinaries().then(
    () => log('✓', 'Database', 'The embedded PostgreSQL is ready to run.'),
    (error) => log('!', 'Database', formatError(error)),
  )
})
