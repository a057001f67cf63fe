// Runs Prisma's client generator without its command line. A process of its own: loaded into its caller it would hold
// 120 MB.
import { createRequire } from 'node:module'

// Required, not imported: the generator's ES module imports names from @prisma/internals that Node cannot resolve.
const load = createRequire(import.meta.url)
const { getGenerators, loadSchemaContext } = load('@prisma/internals')
const { PrismaClientTsGenerator } = load('@prisma/client-generator-ts')

try {
  const generators = await getGenerators({
    schemaContext: await loadSchemaContext({
      schemaPath: { cliProvidedPath: process.argv[2] },
      printLoadMessage: false,
    }),
    registry: { 'prisma-client': { type: 'in-process', generator: new PrismaClientTsGenerator() } },
    skipDownload: true,
    cliCommand: 'generate',
  })
  for (const generator of generators) await generator.generate()
} catch (error) {
  console.error(error.message)
  process.exitCode = 1
}
