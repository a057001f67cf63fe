import { createElement } from 'react'
import { renderToStaticMarkup } from 'react-dom/server'
import { expect, test } from 'vitest'
import { TickItem } from '@/app/receiving/TickItem'
import { English } from '@/app/ui/language/English'
import { checkCharacter } from '@/lib/custody/kitCode'

test('a sample opens beside the form, so that what was typed stays', () => {
  const code = `ABCD234${checkCharacter('ABCD234')}`
  const words = { details: '', whereabouts: '', headline: '', caution: '' }
  const row = { code, ...words, isUrgent: false, isTicked: false }
  const shown = renderToStaticMarkup(createElement(English, null, createElement(TickItem, { row })))
  const [link] = /<a [^>]*>.*?<\/a>/.exec(shown) ?? []
  expect(link).toContain(`href="/samples/${code}"`)
  expect(link).toContain('target="_blank"')
  expect(link).toContain('in a new tab')
})
