import { listed } from '@/app/ui/words/numberWords'
import type { ListedKey } from '@/lib/store/people/keys'

/** Of which samples a key reports: "every sample", "samples of P1 and P2", "samples bound for L1". */
export function reachWords({ plants, laboratories }: Pick<ListedKey, 'plants' | 'laboratories'>): string {
  if (plants === null && laboratories === null) return 'every sample'
  const parts = [
    plants?.length ? `samples of ${listed(plants)}` : '',
    laboratories?.length ? `samples bound for ${listed(laboratories)}` : '',
  ].filter(Boolean)
  return parts.length === 0 ? 'no sample' : parts.join(', and ')
}

/** What else a key may do or has to. */
export function keyNotes(key: Pick<ListedKey, 'mayImportHistory' | 'maySetRegister' | 'mustSign'>): string[] {
  return [
    key.mustSign && 'signs what it sends',
    key.mayImportHistory && 'may import history',
    key.maySetRegister && 'may send the register',
  ].filter((note) => note !== false)
}

/** What has become of a key at `now` (ms UTC): it works, has expired or was revoked. */
export function keyState({ revokedAt, expiresAt }: ListedKey, now: number): 'works' | 'expired' | 'revoked' {
  if (revokedAt !== null) return 'revoked'
  return expiresAt !== null && expiresAt <= now ? 'expired' : 'works'
}
