import {
  isLiteralElement,
  isPluralElement,
  isSelectElement,
  isTagElement,
  type MessageFormatElement,
  parse,
} from '@formatjs/icu-messageformat-parser'
import { enGB } from 'date-fns/locale/en-GB'
import { ENGLISH, type Language } from './language'
import { createTranslate } from './translate'

const ACCENTED: Record<string, string> = Object.fromEntries(
  [
    ...'aáeéiíoóuúcçnñsšzžyýAÁEÉIÍOÓUÚCÇNÑSŠZŽYÝbƀdđfƒgğhħjĵkķlļmɱpƥqǫrřtťvṽwŵxẋBƁDĐFƑGĞHĦJĴKĶLĻMḾPƤQǪRŘTŤVṼWŴXẊ'.matchAll(
      /(.)(.)/gu,
    ),
  ].map(([, plain, accented]) => [plain, accented]),
)

/** English that nobody takes for English, each word half as long again: to see what no catalogue has and what is cut off. */
export const pseudoText = (text: string): string =>
  text.replace(
    /[A-Za-z]+/g,
    (word) =>
      word.replace(/[A-Za-z]/g, (letter) => ACCENTED[letter] ?? letter) +
      '·'.repeat(Math.ceil(word.length / 2)),
  )

function pseudoElements(elements: MessageFormatElement[]): MessageFormatElement[] {
  return elements.map((element) => {
    if (isLiteralElement(element)) return { ...element, value: pseudoText(element.value) }
    if (isTagElement(element)) return { ...element, children: pseudoElements(element.children) }
    if (isPluralElement(element) || isSelectElement(element))
      return {
        ...element,
        options: Object.fromEntries(
          Object.entries(element.options).map(([name, option]) => [
            name,
            { ...option, value: pseudoElements(option.value) },
          ]),
        ),
      } as typeof element
    return element
  })
}

/** Parsed when first read, since a server is seldom asked for it. */
let built: Language['messages'] | undefined

/** The pseudo-locale of CLDR's English with accents: `en-XA`, for whoever asks for it by that tag. */
export const PSEUDO: Language = {
  ...ENGLISH,
  tag: 'en-XA',
  dateLocale: {
    ...enGB,
    localize: {
      ...enGB.localize,
      month: (...of) => pseudoText(enGB.localize.month(...of)),
      day: (...of) => pseudoText(enGB.localize.day(...of)),
    },
  },
  get messages() {
    built ??= Object.fromEntries(
      Object.entries(ENGLISH.messages).map(([key, text]) => [key, pseudoElements(parse(text))]),
    )
    return built
  },
}

export const pseudo = createTranslate(PSEUDO)
