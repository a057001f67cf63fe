import { accessSync, constants, mkdirSync } from 'node:fs'
import { formatError, log } from './steps'

/**
 * Says if a folder cannot be written: else lines of the log are lost in silence, and a backup fails a day later. Creates
 * the folder if it is missing.
 * @param setting the setting that names the folder.
 */
export function warnOfFolder(setting: string, folder: string): void {
  try {
    mkdirSync(folder, { recursive: true, mode: 0o700 })
    accessSync(folder, constants.W_OK | constants.X_OK)
  } catch (error) {
    log(
      '!',
      'Folders',
      `${setting}: ${folder} cannot be written: ${formatError(error)}\nGive this user the right to write there (systemd also wants ReadWritePaths=${folder}), and start again.`,
    )
  }
}
