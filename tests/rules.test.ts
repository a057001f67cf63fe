import { existsSync, readFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { describe, expect, test } from 'vitest'
import {
  findAnyBreaches,
  findCastBreaches,
  findClockBreaches,
  findElementBreaches,
  findEnvironmentBreaches,
  findFacadeBreaches,
  findInlineBreaches,
  findLengthBreaches,
  findQueryBreaches,
  findTopLevelBreaches,
} from './setup/rules/habits'
import { findCircles, findImportBreaches } from './setup/rules/imports'
import { findSentenceBreaches } from './setup/rules/sentences'
import { findSideBreaches } from './setup/rules/sides'
import { listProjectPaths, readProjectSources, toSource } from './setup/rules/source'

const sources = readProjectSources()
const one = (path: string, text: string) => [toSource(path, text)]

test('the rules look at the real files', () => {
  expect(sources.length).toBeGreaterThan(60)
  expect(sources.map(({ path }) => path)).toContain('lib/store/environment.ts')
})

describe('imports go only where the design lets them', () => {
  test('in this project', () => expect(findImportBreaches(sources)).toEqual([]))

  test.each([
    ['lib/hold/a.ts', `import { b } from '@/lib/custody/b'`],
    ['lib/hold/a.ts', `import { b } from '../custody/b'`],
    ['lib/hold/a.ts', `export * from '@/lib/store'`],
    ['lib/hold/a.ts', `import { readFileSync } from 'node:fs'`],
    ['lib/lane/a.ts', `import type { B } from '@/lib/custody/b'`],
    ['lib/custody/a.ts', `const b = await import('@/lib/lane/b')`],
    ['lib/custody/a.ts', `type B = import('@/lib/store/b').B`],
    ['lib/schedule/a.ts', `import '@/lib/lane/b'`],
    ['lib/schedule/a.ts', `import pg from 'pg'`],
    ['lib/intake/a.ts', `import { b } from '@/lib/hold/b'`],
    ['lib/store/a.ts', `import { b } from '@/lib/intake/b'`],
    ['lib/store/engine/a.ts', `import { b } from '../../access/b'`],
    ['lib/digest/a.ts', `import { b } from '@/lib/hold/b'`],
    ['lib/access/a.ts', `import { b } from '@/lib/digest/b'`],
    ['lib/lane/model/a.ts', `import { b } from '../forecast/b'`],
    ['lib/store/ledger/a.ts', `import type { B } from '../projection/b'`],
    ['lib/store/odds/a.ts', `import { b } from '../scope/b'`],
    ['lib/access/keys/a.ts', `import { b } from '@/lib/access/session/b'`],
    ['app/page.tsx', `import { inTransaction } from '@/lib/store/scope/transaction'`],
    ['app/page.tsx', `import { acceptEvents, type Act, b } from '../lib/store/projection/acceptEvents'`],
    ['app/page.tsx', `import * as keys from '@/lib/store/people/keys'`],
    ['app/page.tsx', `const keys = await import('@/lib/store/people/keys')`],
    ['app/page.tsx', `export { listKeys } from '@/lib/store/people/keys'`],
    ['app/ui/a.tsx', `import { b } from '@/lib/commands/b'`],
    ['app/ui/a.tsx', `import { b } from '@/prisma/demo/b'`],
  ])('%s may not: %s', (path, text) => expect(findImportBreaches(one(path, text))).toHaveLength(1))

  test.each([
    ['lib/hold/a.ts', `import { b } from './b'`],
    ['lib/lane/a.ts', `import { b } from '@/lib/hold/b'`],
    ['lib/schedule/a.ts', `import { b } from '@/lib/custody/b'; import { c } from 'date-fns'`],
    ['lib/intake/a.ts', `import { b } from '@/lib/custody/b'`],
    ['lib/store/a.ts', `import { b } from '@/lib/schedule/b'; import pg from 'pg'`],
    ['app/(board)/page.tsx', `import { b } from '@/lib/store/read/board'; import { c } from '@/lib/hold/c'`],
    ['lib/commands/a.ts', `import { b } from '@/lib/store/engine'`],
  ])('%s may: %s', (path, text) => expect(findImportBreaches(one(path, text))).toEqual([]))
})

describe('no file imports itself by way of others', () => {
  test('in this project', () => expect(findCircles(sources)).toEqual([]))

  test('also not for types', () => {
    const found = findCircles([
      toSource('lib/a.ts', `import { b } from './b'`),
      toSource('lib/b.ts', `export type { C } from '@/lib/c'`),
      toSource('lib/c.ts', `type B = import('./b').B`),
    ])
    expect(found).toEqual(['lib/b.ts > lib/c.ts > lib/b.ts'])
  })
})

describe('no file only passes on what another has', () => {
  test('in this project', () => expect(findFacadeBreaches(sources)).toEqual([]))

  test.each([`export { b } from './b'`, `export type { B } from './b'`, `export * from '@/lib/b'`])(
    'as by: %s',
    (text) => expect(findFacadeBreaches(one('lib/a.ts', text))).toHaveLength(1),
  )
})

describe('what runs in a browser and what runs on the server are kept apart', () => {
  test('in this project', () => expect(findSideBreaches(sources)).toEqual([]))

  const hook = `import { useParams } from 'next/navigation'`
  const page = toSource('app/page.tsx', `import { B } from './b'`)
  const b = (text: string) => toSource('app/b.tsx', text)
  const store = toSource('lib/store/read/a.ts', `import 'pg'`)

  test.each([
    ['a page with a hook', [toSource('app/x/not-found.tsx', hook)]],
    ['a part of a page with a hook', [page, b(hook)]],
    [
      'a browser’s part that loads the store',
      [page, b(`'use client'\nimport { a } from '@/lib/store/read/a'`), store],
    ],
  ])('so not: %s', (_, files) => expect(findSideBreaches(files)).toHaveLength(1))

  test.each([
    ['a hook in a file that says so', [page, b(`'use client'\n${hook}`)]],
    [
      'a hook that only a browser’s part loads',
      [page, b(`'use client'\nimport './c'`), toSource('app/c.ts', hook)],
    ],
    ['types of the store', [page, b(`'use client'\nimport type { A } from '@/lib/store/read/a'`), store]],
    ['a hook that runs on both', [page, b(`import { useId } from 'react'`)]],
  ])('but well: %s', (_, files) => expect(findSideBreaches(files)).toEqual([]))
})

describe('what people read stands in the catalogue', () => {
  test('in this project', () => expect(findSentenceBreaches(sources)).toEqual([]))

  test.each([
    '<p>Nothing sent yet.</p>',
    '<p>{isOpen ? "Open" : shut}</p>',
    '<img alt="A strip" />',
    // biome-ignore lint/suspicious/noTemplateCurlyInString: it is code to be judged
    '<p>{`${count} samples`}</p>',
    // biome-ignore lint/suspicious/noTemplateCurlyInString: it is code to be judged
    '<a title={`Lane ${name}`} />',
  ])('so not: %s', (text) =>
    expect(findSentenceBreaches(one('app/a.tsx', `const a = ${text}`))).toHaveLength(1),
  )

  test.each([
    '<p>{t("due.none")}</p>',
    '<code>npm start</code>',
    '<p>{a} · {b}</p>',
    '<a className="two words" />',
    '<b>Holdfast</b>',
  ])('but well: %s', (text) =>
    expect(findSentenceBreaches(one('app/a.tsx', `const a = ${text}`))).toEqual([]),
  )
})

describe('the environment is read in one file', () => {
  test('in this project', () => expect(findEnvironmentBreaches(sources)).toEqual([]))

  test.each([
    'process.env.HOME',
    `process['env']`,
    'const { env } = process',
    'const all = { ...process.env }',
  ])('and not by: %s', (text) => {
    expect(findEnvironmentBreaches(one('lib/store/scope/pool.ts', text))).toHaveLength(1)
    expect(findEnvironmentBreaches(one('lib/store/environment.ts', text))).toEqual([])
  })
})

describe('pure code touches neither clock nor chance', () => {
  test('in this project', () => expect(findClockBreaches(sources)).toEqual([]))

  test.each([
    'Date.now()',
    'new Date()',
    'new Date',
    'Date()',
    'performance.now()',
    'Math.random()',
    'setTimeout(f)',
    'fetch(a)',
  ])('and may not use: %s', (text) => {
    for (const part of ['hold', 'lane', 'custody', 'schedule', 'policy', 'judgement']) {
      expect(findClockBreaches(one(`lib/${part}/a.ts`, text))).toHaveLength(1)
    }
    expect(findClockBreaches(one('lib/store/a.ts', text))).toEqual([])
  })

  test('and may use a date made of an instant', () => {
    expect(findClockBreaches(one('lib/hold/a.ts', 'const day = new Date(at)'))).toEqual([])
  })
})

describe('types are not given up', () => {
  test('in this project', () => expect(findAnyBreaches(sources)).toEqual([]))

  test.each([
    'let a: any',
    'const a = b as any',
    'function f(...a: any[]) {}',
    '// @ts-ignore\nf()',
    '// @ts-nocheck',
  ])('as by: %s', (text) => expect(findAnyBreaches(one('app/a.ts', text))).toHaveLength(1))

  test('which the word in a sentence does not', () => {
    expect(findAnyBreaches(one('app/a.ts', `// any of these\nconst any = 'any'`))).toEqual([])
  })
})

describe('what comes from outside is parsed and not cast', () => {
  test('in this project', () => expect(findCastBreaches(sources)).toEqual([]))

  test.each(['a as unknown as B', '(a as unknown) as B', 'a as object as B', 'f(a as unknown as B[])'])(
    'as by: %s',
    (text) => {
      expect(findCastBreaches(one('app/a.ts', `const b = ${text}`))).toHaveLength(1)
      expect(findCastBreaches(one('tests/a.ts', `const b = ${text}`))).toEqual([])
    },
  )

  test('which a single cast, held against by the compiler, does not', () => {
    expect(findCastBreaches(one('lib/a.ts', 'const b = a as B'))).toEqual([])
  })
})

describe('SQL is declared with the schema of its rows', () => {
  test('in this project', () => expect(findQueryBreaches(sources)).toEqual([]))

  test.each([
    `await client.query('select 1')`,
    'db.query<Row>(text, [a])',
    `pool?.query({ text: 'select 1' })`,
    `client['query'](text)`,
  ])('so not sent by: %s', (text) => {
    for (const path of ['lib/store/ledger/a.ts', 'app/api/a/route.ts', 'prisma/demo/a.ts'])
      expect(findQueryBreaches(one(path, text))).toHaveLength(1)
    expect(findQueryBreaches(one('tests/store/a.ts', text))).toEqual([])
    expect(findQueryBreaches(one('lib/store/scope/statement.ts', text))).toEqual([])
  })
})

describe('a page has no style, script or HTML written into it', () => {
  test('in this project', () => expect(findInlineBreaches(sources)).toEqual([]))

  test.each([
    '<p style={{ left: 0 }} />',
    '<p dangerouslySetInnerHTML={{ __html: a }} />',
    '<iframe srcDoc={a} title="a" />',
  ])('as by: %s', (text) => expect(findInlineBreaches(one('app/a.tsx', `const b = ${text}`))).toHaveLength(1))
})

describe('an element is made where its texts are looked at', () => {
  test('in this project', () => expect(findElementBreaches(sources)).toEqual([]))

  test.each([
    `import { jsx } from 'react/jsx-runtime'`,
    `import { createElement } from 'react'`,
    `const a = React.cloneElement(b)`,
  ])('not by: %s', (text) => expect(findElementBreaches(one('app/a.tsx', text))).toHaveLength(1))

  test('by all of the project', () => {
    const { compilerOptions } = JSON.parse(readFileSync('tsconfig.json', 'utf8'))
    expect(compilerOptions).toMatchObject({ jsx: 'react-jsx', jsxImportSource: '#jsx' })
  })
})

describe('a file has at most 300 lines', () => {
  test('in this project', () => expect(findLengthBreaches(sources)).toEqual([]))

  test('so 301 are too many, and 300 are not', () => {
    expect(findLengthBreaches(one('app/a.ts', 'a\n'.repeat(301)))).toEqual([
      'app/a.ts: 301 lines, more than 300',
    ])
    expect(findLengthBreaches(one('app/a.ts', 'a\n'.repeat(300)))).toEqual([])
  })
})

describe('the top of the project holds what belongs there', () => {
  test('in this project', () => expect(findTopLevelBreaches(listProjectPaths())).toEqual([]))

  test('so not a folder of odds and ends', () => {
    expect(findTopLevelBreaches(['lib/hold/a.ts', 'utils/a.ts', 'notes.txt'])).toHaveLength(2)
  })
})

describe('the documents', () => {
  const pages = listProjectPaths().filter((path) => path.endsWith('.md'))

  test('begin with a README of less than 8 kB', () => {
    expect(readFileSync('README.md').length).toBeLessThan(8000)
  })

  test.each(pages)('link and show only what is there: %s', (page) => {
    const links = [...readFileSync(page, 'utf8').matchAll(/\]\(([^)#]+)\)|src="([^"]+)"/g)]
    const targets = links
      .map(([, link, image]) => (link ?? image) as string)
      .filter((to) => !to.includes('://'))
    expect(targets.filter((to) => !existsSync(join(dirname(page), to)))).toEqual([])
  })
})
