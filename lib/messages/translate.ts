import { TZDate } from '@date-fns/tz'
import { format } from 'date-fns'
import { IntlMessageFormat } from 'intl-messageformat'
import { nameBidiControls } from './bidiControls'
import { en } from './en'
import type { DateForm, Language } from './language'
import type { InstantValue, Message, MessageKey, Values, ValuesParameter } from './message'
import { formatZone } from './zoneName'

/**
 * Translation into one language: renders its messages, plurals, lists, numbers and days. In what it renders, bidirectional
 * control characters are named.
 */
export interface Translate {
  /** A message of the catalogue, with its values. */
  <K extends MessageKey>(key: K, ...values: ValuesParameter<K, string>): string
  /** BCP 47 tag of the language. */
  readonly tag: string
  /** A message whose values or tags are more than text, in its parts and in order. */
  parts<K extends MessageKey, Part>(key: K, values: Values<K, Part>): (string | Part)[]
  /** A message that pure code found. */
  message(message: Message): string
  /** "a, b and c". */
  list(items: readonly string[]): string
  /** "a, b or c". */
  choice(items: readonly string[]): string
  /** A number, by default with at most three decimals: "1,234.5". */
  number(value: number, options?: Intl.NumberFormatOptions): string
  /** An instant (ms UTC) as it is read in `zone` (IANA name), in one of the forms of the language. */
  date(at: number, zone: string, form: DateForm): string
}

/** Makes the translator of a language. Messages are parsed when first used. */
export function createTranslate(language: Language): Translate {
  const { tag, dates, dateLocale } = language
  const parsed = new Map<MessageKey, IntlMessageFormat>()
  const find = (key: MessageKey) => {
    const known = parsed.get(key)
    if (known) return known
    const made = new IntlMessageFormat(language.messages[key] ?? en[key], tag)
    parsed.set(key, made)
    return made
  }
  const lists = {
    conjunction: new Intl.ListFormat(tag, { type: 'conjunction' }),
    disjunction: new Intl.ListFormat(tag, { type: 'disjunction' }),
  }
  const plainNumber = new Intl.NumberFormat(tag)
  const render = (key: MessageKey, values?: object) =>
    nameBidiControls(find(key).format(values as never) as string)
  const formatDate = (at: number, zone: string, form: DateForm) =>
    format(new TZDate(at, zone), dates[form], { locale: dateLocale })
  const renderInstant = ({ at, zone }: InstantValue) =>
    `${formatDate(at, zone, 'weekdayDayTime')} ${formatZone(zone)}`
  const renderMessage = ({ key, values }: Message): string =>
    render(
      key,
      Object.fromEntries(
        Object.entries(values).map(([name, value]) => [
          name,
          typeof value !== 'object' ? value : 'zone' in value ? renderInstant(value) : renderMessage(value),
        ]),
      ),
    )
  return Object.assign(render as Translate, {
    tag,
    parts: <Part>(key: MessageKey, values: object) => {
      const made = find(key).format<Part>(values as never)
      return [made].flat().map((part) => (typeof part === 'string' ? nameBidiControls(part) : part))
    },
    message: renderMessage,
    list: (items: readonly string[]) => lists.conjunction.format(items),
    choice: (items: readonly string[]) => lists.disjunction.format(items),
    number: (value: number, options?: Intl.NumberFormatOptions) =>
      options ? value.toLocaleString(tag, options) : plainNumber.format(value),
    date: formatDate,
  })
}
