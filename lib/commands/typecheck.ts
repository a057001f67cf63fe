import { checkTypes } from './checkTypes'
import { runCommand } from './runCommand'

/** `npm run typecheck`. */
runCommand(checkTypes)
