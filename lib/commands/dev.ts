import { launch } from './launch'
import { runCommand } from './runCommand'

/** `npm run dev`: like `npm start`, but serves the sources as they change. */
runCommand(() => launch(true))
