import { launch } from './launch'
import { runCommand } from './runCommand'

/** `npm run dev`: the same as `npm start`, but serving the sources as they change. */
runCommand(() => launch(true))
