import { formatKitCode } from '@/lib/custody/kitCode'
import { OVERDUE, type Overdue } from '@/lib/judgement/overdueKinds'
import type { MessageKey } from '@/lib/messages/message'
import type { Translate } from '@/lib/messages/translate'
import { ACTS, type ActKind, type Actor } from '@/lib/schedule/act'
import type { OwedTest } from '@/lib/schedule/owedTests'
import { nameAct } from './actText'

// Mails write kit codes as pages do; lib/digest may not import lib/custody.
export { formatKitCode }

/** Names of plants and laboratories, and of products, by their codes, as far as they have one. */
export interface Names {
  places: ReadonlyMap<string, string>
  products: ReadonlyMap<string, string>
}

/** What to do, without a full stop, and why, as a sentence: "Cut 7KQ2-M94Y", "The day for it has passed." */
export interface ActText {
  act: string
  why: string
}

/** What something overdue asks for, and why. Since when is for the caller to add, who knows the reader's zone. */
export function describeOverdue(t: Translate, overdue: Overdue, names: Names): ActText {
  return { act: describeOverdueAct(t, 'text', overdue, names), why: t.message(overdue.why) }
}

/** What something overdue asks for, or with what to record. `details` stand in brackets: "Cut 7KQ2-M94Y (loop tile; Aspen Mill)". */
export function describeOverdueAct(
  t: Translate,
  form: 'text' | 'recordText',
  { kind, act, sample: code, product, spare }: Overdue,
  names: Names,
  details: readonly string[] = [],
): string {
  const name = code === null ? getProductName(t, product, names) : formatKitCode(code)
  const sample = addDetails(t, name, details)
  const own = form === 'recordText' ? OVERDUE[kind].recordText : undefined
  if (own || act === null) return t(own ?? 'overdue.noKit.do', { sample })
  return nameAct(t, form, { act, spare }, sample)
}

/** Acts of one test that one actor can do on one day, by their kinds. */
const JOINT_ACTS: Readonly<Record<string, Extract<MessageKey, `act.joint.${string}`>>> = {
  'cut, hand over': 'act.joint.cutHandOver',
  'receive, load': 'act.joint.receiveLoad',
  'load, end test': 'act.joint.loadEndTest',
  'end test, report': 'act.joint.endTestReport',
  'receive, load, end test': 'act.joint.receiveLoadEndTest',
  'load, end test, report': 'act.joint.loadEndTestReport',
  'receive, load, end test, report': 'act.joint.receiveLoadEndTestReport',
}

/** What acts of a test that are due on one day ask for: "Cut 7KQ2-M94Y and hand it to the carrier". */
export function describeActs(
  t: Translate,
  kinds: readonly ActKind[],
  { kit, product }: OwedTest,
  names: Names,
  details: readonly string[] = [],
): string {
  const name = kit === null ? getProductName(t, product, names) : formatKitCode(kit)
  const sample = addDetails(t, name, details)
  const joint = JOINT_ACTS[kinds.join(', ')]
  if (joint) return t(joint, { sample })
  return kinds.map((kind) => t(ACTS[kind].text, { sample })).join('. ')
}

/** A sample's name with more about it in brackets. */
export function addDetails(t: Translate, sample: string, details: readonly string[]): string {
  return details.length === 0 ? sample : t('act.sample.detailed', { sample, details: details.join('; ') })
}

/** Who has to act, by name, within a sentence: "the programme", "Aspen Mill". */
export function getActorName(t: Translate, actor: Actor, { places }: Names): string {
  return actor.by === 'programme' ? t('act.actor.programme') : (places.get(actor.code) ?? actor.code)
}

/** The same at the beginning of a sentence, or as a heading: "The programme". */
export function getActorHeading(t: Translate, actor: Actor, names: Names): string {
  return actor.by === 'programme' ? t('act.actor.programmeHeading') : getActorName(t, actor, names)
}

/** The name of a product; its code where it has none. */
export function getProductName(t: Translate, code: string | null, { products }: Names): string {
  return code === null ? t('act.product.unnamed') : (products.get(code) ?? code)
}
