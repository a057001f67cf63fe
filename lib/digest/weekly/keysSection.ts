import type { Translate } from '@/lib/messages/translate'
import type { KeyWarnings } from '@/lib/policy/keyWarnings'
import type { ListedKey } from '@/lib/store/people/keys'
import type { Digest } from './digest'
import { listSome } from './lineText'
import type { MaybeSection } from './sections'

/** So long after a key lost kinds is it named, ms: it may well do without them. */
const NARROWED_NAMED_MS = 28 * 86_400_000

/** Names the keys that an administrator has to look at: those to part, and those that lost kinds lately. */
export function renderKeys(
  t: Translate,
  { keyWarnings, asOf }: Digest,
  siteUrl: string,
  maxNames: number,
): MaybeSection {
  if (!keyWarnings) return false
  const keys = listWarnedKeys(keyWarnings, asOf)
  if (keys.length === 0) return false
  return {
    heading: t('mail.keys.heading'),
    note: t('mail.names', {
      names: listSome(
        t,
        keys.map(({ name }) => name),
        maxNames,
      ),
    }),
    groups: [],
    more: { text: t('mail.keys.see'), url: `${siteUrl}/keys` },
  }
}

function listWarnedKeys({ shared, twoSided, narrowed }: KeyWarnings<ListedKey>, asOf: number): ListedKey[] {
  const isLate = ({ narrowedAt }: ListedKey) => narrowedAt !== null && asOf - narrowedAt < NARROWED_NAMED_MS
  return [...new Set([...shared.flatMap(({ keys }) => keys), ...twoSided, ...narrowed.filter(isLate)])]
}
