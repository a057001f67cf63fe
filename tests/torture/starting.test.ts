import { inflictShortly } from './shortForm'
import { STARTING_TORMENTS } from './torments'

inflictShortly(STARTING_TORMENTS)
