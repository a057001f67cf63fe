import type { NextConfig } from 'next'

const config: NextConfig = {
  poweredByHeader: false,
  reactStrictMode: true,
  // The folder is given, or a lock file in a folder above would be taken for the root.
  turbopack: { root: import.meta.dirname },
  // npm run typecheck does it, and the first start should not have to.
  typescript: { ignoreBuildErrors: true },
  // There are no pictures to make smaller, and what does it asks pages of ours for any asker.
  images: { unoptimized: true },
  agentRules: false,
  // Loaded once for a process, so that all of it writes to the same metrics and log.
  serverExternalPackages: ['prom-client', 'pino', 'pino-roll'],
  experimental: {
    // A page is loaded when it is first asked for: a server answers sooner, and until then takes 100 MB less.
    preloadEntriesOnStart: false,
    // Nothing reads them, and they are nearly half of what a build writes.
    turbopackSourceMaps: false,
  },
  // Some browsers ask for it by this name, whatever the page says.
  rewrites: async () => [{ source: '/favicon.ico', destination: '/icon.svg' }],
}

export default config
