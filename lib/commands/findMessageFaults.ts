import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import ts from 'typescript'
import { en } from '@/lib/messages/en'
import { ENGLISH } from '@/lib/messages/language'
import { LANGUAGES } from '@/lib/messages/languages'

/** What is wrong with the catalogue: keys that nothing uses, and by language those that are missing. */
export interface MessageFaults {
  unused: string[]
  missing: Record<string, string[]>
}

/**
 * Compares the catalogue with the sources of `root` (a folder with `app` and `lib`). A key counts as used where it stands
 * as a string, or fits a template with something in its gaps: `hold.unit.${unit}`. Keys that the sources use and the
 * catalogue lacks do not compile, so the missing ones are those of other languages.
 */
export function findMessageFaults(root: string): MessageFaults {
  const texts = new Set<string>()
  const templates: RegExp[] = []
  for (const path of listSources(root)) collectStrings(path, texts, templates)
  const isUsed = (key: string) => texts.has(key) || templates.some((template) => template.test(key))
  const keys = Object.keys(en)
  return {
    unused: keys.filter((key) => !isUsed(key)),
    missing: Object.fromEntries(
      LANGUAGES.filter((language) => language !== ENGLISH).map(({ tag, messages }) => [
        tag,
        keys.filter((key) => !(key in messages)),
      ]),
    ),
  }
}

function listSources(root: string): string[] {
  return ['app', 'lib'].flatMap((part) =>
    readdirSync(join(root, part), { recursive: true, encoding: 'utf8' })
      .filter((name) => /\.tsx?$/.test(name))
      .map((name) => join(root, part, name))
      .filter(
        (path) => !path.includes(join('lib', 'messages', 'en')) && !path.includes(join('store', 'prisma')),
      ),
  )
}

function collectStrings(path: string, texts: Set<string>, templates: RegExp[]): void {
  const file = ts.createSourceFile(path, readFileSync(path, 'utf8'), ts.ScriptTarget.Latest)
  const visit = (node: ts.Node): void => {
    if (ts.isStringLiteralLike(node)) texts.add(node.text)
    // A template says which keys it means only where it begins like one.
    if (ts.isTemplateExpression(node) && /^[a-zA-Z]+\./.test(node.head.text))
      templates.push(
        new RegExp(
          `^${[node.head.text, ...node.templateSpans.map(({ literal }) => literal.text)].map(escapePattern).join('.+')}$`,
        ),
      )
    ts.forEachChild(node, visit)
  }
  visit(file)
}

const escapePattern = (text: string) => text.replace(/[.*+?^${}()|[\]\\]/g, '\\$&')
