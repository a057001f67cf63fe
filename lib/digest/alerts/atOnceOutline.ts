import { displayCode } from '@/lib/judgement/dueWords'
import type { AtOnceKind } from '@/lib/store/people/atOnceChoice'
import type { SampleDossier } from '@/lib/store/read/sample/sampleDossier'
import { dateWords } from '../weekly/dateWords'
import { footOf } from '../weekly/footOf'
import type { Outline, OutlineLine } from '../weekly/sections'
import { AT_ONCE, type AtOnceReader, type TurnWords } from './atOnceWords'

/** A sample, and how it turned. */
export interface TurnedSample {
  kind: AtOnceKind
  dossier: SampleDossier
}

interface Reader {
  person: AtOnceReader
  /** Names of whom the reader stands in for, or shares a mailbox with. */
  standsFor: readonly string[]
  siteUrl: string
  stopUrl: string
}

/**
 * What became of one sample, or of several that turned alike, in words for a mail of its own, as of `now` (ms UTC). Null
 * where nothing of it holds (any more).
 */
export function atOnceOutline(turned: readonly TurnedSample[], now: number, reader: Reader): Outline | null {
  const { person, standsFor, siteUrl, stopUrl } = reader
  const words = dateWords(person.language, { zone: person.zone, asOf: now })
  const told = turned
    .flatMap(({ kind, dossier }) => {
      const found = AT_ONCE[kind].tell(dossier, words, person)
      return found ? [{ kind, dossier, words: found }] : []
    })
    .sort((a, b) => dueOf(a) - dueOf(b) || (codeOf(a) < codeOf(b) ? -1 : 1))
  const [first] = told
  if (!first) return null
  const isOne = told.length === 1
  const turn = `${subjectOf(told.map(codeOf))} ${AT_ONCE[first.kind].turned[isOne ? 'one' : 'several']}`
  const why = whyOfAll(told.map((one) => one.words))
  const because = isOne ? null : same(told.map((one) => one.words.next.because))
  const isTheirs = told.some((one) => one.words.isTheirs)
  return {
    subject: `Holdfast: ${turn}`,
    lead: [`${turn}.`, ...(why === null ? [] : [why])].join(' '),
    sections: [
      {
        heading: isTheirs ? 'What to do' : `Nothing for you to do: how ${isOne ? 'it stands' : 'they stand'}`,
        note: because && `Each ${because}.`,
        groups: grouped(told, (one) => lineOf(one, { isWhySaid: why !== null, because, siteUrl })),
        more: null,
      },
    ],
    foot: footOf({
      cause: `Sent at once, as of ${words.time(now, person.zone)}.`,
      standsFor,
      asksToCut: told.some((one) => one.words.asksToCut),
      siteUrl,
      stop: { text: 'Stop mails at once', url: stopUrl },
    }),
  }
}

type Worded = TurnedSample & { words: TurnWords }

/** Both of two, and how many of more. */
function subjectOf(codes: readonly string[]): string {
  return codes.length > 2 ? `${codes.length} samples` : codes.join(' and ')
}

/** Why, where one sentence says it of all of them; else each says its own. */
function whyOfAll(all: readonly TurnWords[]): string | null {
  return same(all.map(({ why }) => (all.length === 1 ? why.one : why.several)))
}

/** What all of them are; null where they differ. */
function same(all: readonly string[]): string | null {
  const [first = null, ...more] = new Set(all)
  return more.length === 0 ? first : null
}

function lineOf(
  { words: { next, why } }: Worded,
  said: { isWhySaid: boolean; because: string | null; siteUrl: string },
): OutlineLine {
  return {
    act: { text: next.act, url: said.siteUrl + next.path },
    why: said.because === null ? `it ${next.because}` : null,
    when: next.when,
    stake: said.isWhySaid ? null : why.one,
    isOverdue: false,
  }
}

function grouped(told: readonly Worded[], line: (one: Worded) => OutlineLine) {
  const groups = new Map<string, OutlineLine[]>()
  for (const one of told) {
    const heading = sampleWords(one.dossier)
    groups.set(heading, [...(groups.get(heading) ?? []), line(one)])
  }
  return [...groups].map(([heading, lines]) => ({ heading, lines }))
}

function sampleWords({ row, plant }: SampleDossier): string {
  const product = row.productName ?? row.product
  return [product ?? 'Its product is not known yet', ...(row.lot ? [`lot ${row.lot}`] : []), plant.name].join(
    ', ',
  )
}

/** When what is running runs out, ms UTC. */
function dueOf({ dossier: { row } }: TurnedSample): number {
  return row.binding?.dueAt ?? Number.MAX_VALUE
}

function codeOf({ dossier: { row } }: TurnedSample): string {
  return displayCode(row.code)
}
