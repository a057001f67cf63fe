import { z } from 'zod'
import type { Register } from '@/lib/custody/register'
import type { Limit } from '@/lib/hold/limit'
import { DAY } from '@/lib/hold/zone'
import { statement } from '../../scope/statement'
import type { Queryable } from '../../scope/transaction'

/** A protocol and a laboratory for which a plant cuts samples. */
export interface ShipChoice {
  /** Identifies the choice in an address. */
  key: string
  protocol: string
  laboratory: string
  limits: readonly Limit[]
  /** The services that the kits name. */
  services: string[]
}

const USED = statement(
  z.object({
    laboratory: z.string(),
    protocol: z.string(),
    product: z.string(),
    services: z.array(z.string()).nullable(),
  }),
  `select laboratory, protocol, mode() within group (order by product) as product,
     array_agg(distinct service) filter (where service is not null) as services
   from sample where plant = $1 and protocol is not null and issued_at > $2
   group by laboratory, protocol order by count(*) desc, laboratory, protocol`,
)

const YEAR_MS = 365 * DAY

/** The choices of a plant by its kits of the last year in the transaction’s scope, the most used first. */
export async function listShipChoices(
  db: Queryable,
  register: Register,
  plant: string,
  now: number,
): Promise<ShipChoice[]> {
  const used = await USED.all(db, [plant, new Date(now - YEAR_MS)])
  return used
    .filter(({ laboratory }) => register.laboratories.has(laboratory))
    .map(({ laboratory, protocol, product, services }) => ({
      key: [protocol, laboratory].map(encodeURIComponent).join('/'),
      protocol,
      laboratory,
      limits: getCurrentLimits(register, protocol, product, now),
      services: services ?? [],
    }))
}

/** The limits of this protocol that apply to a clock starting at `now`. */
function getCurrentLimits(
  register: Register,
  protocol: string,
  product: string,
  now: number,
): readonly Limit[] {
  const inForce = register
    .listLimits(product)
    .findLast((version) => version.protocol === protocol && version.holdsFromAt <= now)
  return inForce?.limits ?? register.protocols.get(protocol)?.limits ?? []
}
