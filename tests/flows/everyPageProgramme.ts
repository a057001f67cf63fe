import { generateKitCode } from '@/lib/custody/kitCode'
import { DAY, HOUR } from '@/lib/hold/zone'
import { makeRandom } from '@/tests/bench/manyEvents'
import { smallRegister } from '@/tests/cases/smallProgramme'
import type { ServedProgramme } from '../setup/signIn'
import { KITS, send, smallEvents, smallKits } from './pagesProgramme'

/** What a plant might call itself, were it out to have others' browsers run something. */
export const HOSTILE =
  '</script><script>window.hasRun=1</script><img src=x onerror="window.hasRun=1"><style>*{color:red}</style>'
export const HOSTILE_PLANT = 'PL9'
export const HOSTILE_KIT = generateKitCode(makeRandom(991))

/** Fills the small programme, in which one sample has arrived and one is ended, and a hostile plant: for claims of every page. */
export async function addHostileEntries(server: ServedProgramme): Promise<void> {
  const now = Date.now()
  const issuedAt = new Date(now - 30 * DAY).toISOString()
  const hostile = { code: HOSTILE_KIT, product: 'HOSTILE', plant: HOSTILE_PLANT, laboratory: 'LAB', issuedAt }
  const { plants, products } = smallRegister() as Record<'plants' | 'products', unknown[]>
  const register = smallRegister({
    plants: [...plants, { code: HOSTILE_PLANT, name: HOSTILE, zone: 'Europe/Lisbon' }],
    products: [...products, { code: 'HOSTILE', plant: HOSTILE_PLANT, name: HOSTILE, protocol: 'TEN' }],
    kits: [...smallKits(now), hostile],
  })
  await send(server, 'PUT', '/api/register', register)
  await send(server, 'POST', '/api/events', [
    ...smallEvents(now),
    ...furtherEvents(now),
    ...hostileEvents(now),
  ])
}

/** One sample of the small programme travels and arrives, and one is ended. */
function furtherEvents(now: number) {
  const at = (hours: number) => new Date(now - hours * HOUR).toISOString()
  const sent = { source: 'desk', sample: KITS.sound, service: 'road', waybill: 'W7' }
  return [
    { ...sent, id: 'sent', kind: 'dispatched', at: at(20) },
    { ...sent, id: 'came', kind: 'received', at: at(2) },
    { source: 'desk', id: 'ended', sample: KITS.tight, kind: 'cancelled', at: at(1) },
  ]
}

function hostileEvents(now: number) {
  const at = new Date(now - HOUR).toISOString()
  const facts = { note: HOSTILE }
  const sample = HOSTILE_KIT
  return [
    { source: HOSTILE.replaceAll('/', ' '), id: HOSTILE, sample, kind: 'collected', at, facts },
    { source: 'desk', id: '3', sample, kind: 'dispatched', at, service: 'road', waybill: 'W3' },
    { source: 'desk', id: '2', kind: 'scanned', at, service: HOSTILE.slice(0, 20), waybill: 'W1', facts },
  ]
}
