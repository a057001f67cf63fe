import { pick } from '../programme'
import { makeBadCsv } from './badCsv'
import { makeBadFields } from './badFields'
import { breakJson } from './badJson'
import { makeBadTransport } from './badTransport'
import type { HostileRequest } from './hostileRequest'

const MAKERS = [makeBadFields, breakJson, makeBadCsv, makeBadTransport]

/** Makes one hostile body; the same numbers from `random` make the same one. */
export function makeHostileBody(random: () => number, number: number): HostileRequest {
  return pick(random, MAKERS)(random, number)
}
