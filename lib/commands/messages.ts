import { findMessageFaults } from './findMessageFaults'
import { runCommand } from './runCommand'
import { log } from './steps'

/** `npm run messages`: lists messages that nothing uses, and those that a language lacks. Fails where there are any. */
runCommand(async () => {
  const { unused, missing } = findMessageFaults(process.cwd())
  const lines = [
    ...unused.map((key) => `unused: ${key}`),
    ...Object.entries(missing).flatMap(([tag, keys]) => keys.map((key) => `missing in ${tag}: ${key}`)),
  ]
  if (lines.length > 0) throw new Error(`${lines.join('\n')}\n${lines.length} to mend in lib/messages.`)
  log('✓', 'Messages', '0 unused, 0 missing.')
})
