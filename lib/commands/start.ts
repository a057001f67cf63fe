import { launch } from './launch'
import { runCommand } from './runCommand'

/** `npm start`: builds what is needed and serves Holdfast. */
runCommand(() => launch(false))
