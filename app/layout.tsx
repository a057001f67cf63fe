import type { Metadata, Viewport } from 'next'
import type { ReactNode } from 'react'
import styles from './layout.module.css'
import './globals.css'
import { SiteHeader } from './ui/SiteHeader'

// Every page is made for its request: one made while building would have no nonce for its scripts.
export const dynamic = 'force-dynamic'

export const metadata: Metadata = {
  title: { default: 'Holdfast', template: '%s · Holdfast' },
  description: 'Which sample will be in the chamber before its hold limit, and who has to act today.',
  icons: { icon: '/icon.svg' },
  manifest: '/manifest.webmanifest',
  robots: { index: false, follow: false },
}

export const viewport: Viewport = {
  themeColor: [
    { media: '(prefers-color-scheme: light)', color: '#fbfaf6' },
    { media: '(prefers-color-scheme: dark)', color: '#15191b' },
  ],
}

export default function RootLayout({ children }: { children: ReactNode }) {
  return (
    <html lang="en-GB">
      <body>
        <SiteHeader />
        <main id="content" className="page" tabIndex={-1}>
          {children}
        </main>
        <SiteFooter />
      </body>
    </html>
  )
}

function SiteFooter() {
  return (
    <footer className={`page ${styles.footer}`}>
      <p>Holdfast informs; the laboratory and the programme decide.</p>
    </footer>
  )
}
