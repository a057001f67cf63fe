import { inflictShortly } from './shortForm'
import { SERVING_TORMENTS } from './torments'

inflictShortly(SERVING_TORMENTS)
