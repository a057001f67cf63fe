import ts from 'typescript'
import { type Breach, formatBreach, type Source, walkNodes } from './source'

/** Attributes that a person reads or hears. */
const READ_ATTRIBUTES = new Set([
  'aria-label',
  'aria-description',
  'aria-roledescription',
  'alt',
  'placeholder',
  'title',
  'label',
  'legend',
  'hint',
  'caption',
  'heading',
])
/** What stands in these is for machines: commands, wire keys, codes. */
const MACHINE_ELEMENTS = new Set(['code', 'pre', 'kbd', 'script', 'style'])
const WORDS = /\p{L}{2}/u
/** The program's own name is the same in every language, and the key of a message is no words. */
const NOT_WORDS = /^([^\p{L}]*Holdfast[^\p{L}]*|[a-z]\w*(\.\w+)+)$/u

/** Words for people that stand in a component instead of the catalogue of messages. */
export function findSentenceBreaches(sources: Source[]): Breach[] {
  return sources
    .filter(({ path }) => path.startsWith('app/') && path.endsWith('.tsx'))
    .flatMap((source) =>
      [...walkNodes(source.tree)].flatMap((node) => {
        const text = readWords(node)
        return text !== null && WORDS.test(text) && !NOT_WORDS.test(text)
          ? [formatBreach(source, node, `“${text.trim().slice(0, 40)}” belongs in lib/messages`)]
          : []
      }),
    )
}

/** The words of a node that a person reads: text between tags, a string in braces there, or one of certain attributes. */
function readWords(node: ts.Node): string | null {
  if (ts.isJsxText(node)) return isForMachines(node) ? null : node.text
  const { parent } = node
  const isText =
    ts.isStringLiteral(node) || ts.isNoSubstitutionTemplateLiteral(node) || ts.isTemplateExpression(node)
  if (!isText || !parent) return null
  const isBetweenTags = (at: ts.Node): boolean =>
    ts.isJsxExpression(at)
      ? ts.isJsxElement(at.parent) || ts.isJsxFragment(at.parent)
      : (ts.isConditionalExpression(at) || ts.isParenthesizedExpression(at)) && isBetweenTags(at.parent)
  if (isBetweenTags(parent)) return isForMachines(node) ? null : withoutGaps(node)
  const attribute = ts.isJsxExpression(parent) ? parent.parent : parent
  return ts.isJsxAttribute(attribute) && READ_ATTRIBUTES.has(attribute.name.getText())
    ? withoutGaps(node)
    : null
}

const withoutGaps = (node: ts.Node) =>
  ts.isTemplateExpression(node)
    ? [node.head.text, ...node.templateSpans.map(({ literal }) => literal.text)].join(' ')
    : (node as ts.StringLiteral).text

function isForMachines(node: ts.Node): boolean {
  for (let at = node.parent; at; at = at.parent)
    if (ts.isJsxElement(at) && MACHINE_ELEMENTS.has(at.openingElement.tagName.getText())) return true
  return false
}
