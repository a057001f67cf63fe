import { actWords, displayCode, overdueWords, productName } from '@/lib/judgement/dueWords'
import { duePath, settlingPath } from '@/lib/judgement/settlingPath'
import { lastCutWords } from '@/lib/schedule/lastCut'
import { AWAITED } from '@/lib/schedule/milestoneWords'
import { asksToCut, OVERDUE } from '@/lib/schedule/overdueKinds'
import type { DateWords } from './dateWords'
import { expectedItem } from './expectedWords'
import type { DigestItem, ItemWords, Part, Told, WordsBasis } from './item'
import { knownOf, sinceOf } from './overdueFacts'
import { missingItem, nextItem, plantOf } from './sampleWords'

/** Puts an item into words. */
export function itemWords(item: DigestItem, basis: WordsBasis): ItemWords {
  const { told } = item
  const stake = stakeOf(item, basis.words)
  switch (told.kind) {
    case 'overdue':
      return { ...overdueItem(item, told, basis), stake }
    case 'due':
      return { ...dueItem(item, told, basis), stake }
    case 'expected':
      return expectedItem(told.coming, basis.words)
    case 'at risk':
    case 'soon lost':
    case 'next step':
      return { ...nextItem(item, basis), stake }
    case 'not recorded':
      return { ...missingItem(item, told.milestone, basis), stake }
  }
}

type Of<Kind extends Told['kind']> = Extract<Told, { kind: Kind }>

function overdueItem(item: DigestItem, { overdue }: Of<'overdue'>, basis: WordsBasis): Part {
  const { names, words, reader } = basis
  const { sample } = item
  const product =
    overdue.sample === null || overdue.product === null ? [] : [productName(overdue.product, names)]
  const more = [...product, ...plantOf(item, basis)]
  const facts = { overdue, sample, words }
  return {
    act: overdueWords(overdue, names, more).act + OVERDUE[overdue.kind].andThen,
    why: knownOf(facts),
    when: sinceOf(facts),
    path: settlingPath(overdue, reader),
    asksToCut: asksToCut(overdue.kind),
  }
}

function dueItem(item: DigestItem, { line }: Of<'due'>, basis: WordsBasis): Part {
  const { names, words } = basis
  const { owed, acts, dueAt, zone } = line
  const product = owed.kit === null ? [] : [productName(owed.product, names)]
  return {
    act: actWords(acts, owed, names, [...product, ...plantOf(item, basis)]),
    why: owed.kit === null ? 'its kit is not issued yet' : null,
    when: `due ${words.day(dueAt, zone)}`,
    path: duePath(line, basis.reader),
    asksToCut: acts.includes('cut'),
  }
}

function stakeOf({ loss, sample }: DigestItem, words: DateWords): string | null {
  if (loss === null) return null
  const kit = displayCode(sample?.code ?? '')
  if (loss.of === 'report') {
    const by = `The report on it still has to be out by ${words.day(loss.at, loss.zone)}.`
    return loss.lastCut ? `${by} ${lastCutWords(loss.lastCut, 'It', kit, words.localDay)}` : by
  }
  const to = sample?.binding?.limit.to ?? 'loaded'
  return `${kit} has to be ${AWAITED[to]} by ${words.ownDeadline(loss.at)}, or it proves nothing.`
}
