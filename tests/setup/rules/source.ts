import { spawnSync } from 'node:child_process'
import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { posix } from 'node:path'
import ts from 'typescript'

/** A source file under the rules. `path` is relative to the project, with slashes. */
export interface Source {
  path: string
  text: string
  /** Parsed on demand; only for files that TypeScript can read. */
  tree: ts.SourceFile
}

/** A broken rule, as `path:line: what`. */
export type Breach = string

export function toSource(path: string, text: string): Source {
  let tree: ts.SourceFile | undefined
  return {
    path,
    text,
    get tree() {
      const kind = path.endsWith('x') ? ts.ScriptKind.TSX : ts.ScriptKind.TS
      tree ??= ts.createSourceFile(path, text, ts.ScriptTarget.Latest, true, kind)
      return tree
    },
  }
}

export function isCode({ path }: Source): boolean {
  return /\.(ts|tsx|mjs)$/.test(path) && !path.endsWith('.d.ts')
}

/** All files of the project except those in `.gitignore`; without git, all except generated folders. */
export function listProjectPaths(): string[] {
  const listed = spawnSync('git', ['ls-files', '-z', '--cached', '--others', '--exclude-standard'], {
    encoding: 'utf8',
    maxBuffer: 1 << 26,
  })
  if (listed.status !== 0) return walk('.')
  return [...new Set(listed.stdout.split('\0'))].filter((path) => path !== '' && existsSync(path))
}

const made = /^(node_modules|\.next|\.data|\.git|next-env\.d\.ts|.*\.tsbuildinfo|lib\/store\/prisma)$/

function walk(folder: string): string[] {
  return readdirSync(folder, { withFileTypes: true }).flatMap((entry) => {
    const path = posix.join(folder, entry.name)
    if (made.test(path)) return []
    return entry.isDirectory() ? walk(path) : [path]
  })
}

export function readProjectSources(): Source[] {
  return listProjectPaths()
    .map((path) =>
      toSource(path, /\.(ts|tsx|mjs|css|md|sql|json)$/.test(path) ? readFileSync(path, 'utf8') : ''),
    )
    .filter((source) => source.text !== '')
}

export function formatBreach({ path, tree }: Source, node: ts.Node, what: string): Breach {
  const { line } = tree.getLineAndCharacterOfPosition(node.getStart(tree))
  return `${path}:${line + 1}: ${what}`
}

/** Every node of a file, in preorder. */
export function* walkNodes(at: ts.Node): Generator<ts.Node> {
  yield at
  for (const child of at.getChildren()) yield* walkNodes(child)
}
