import { launch } from './launch'
import { runCommand } from './runCommand'

/** `npm start`: everything, from nothing to a served page. */
runCommand(() => launch(false))
