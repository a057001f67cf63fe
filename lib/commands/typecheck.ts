import { runCommand } from './runCommand'
import { checkTypes } from './runProgram'

/** `npm run typecheck`. */
runCommand(checkTypes)
