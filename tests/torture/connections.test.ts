import { inflictShortly } from './shortForm'
import { CONNECTION_TORMENTS } from './torments'

inflictShortly(CONNECTION_TORMENTS)
