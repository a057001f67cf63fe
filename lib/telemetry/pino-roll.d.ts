declare module 'pino-roll' {
  import type { SonicBoom, SonicBoomOpts } from 'sonic-boom'

  interface Options extends Omit<SonicBoomOpts, 'dest' | 'fd'> {
    file: string
    size?: string
    extension?: string
    /** `count`: files kept besides the one in use. */
    limit?: { count: number; removeOtherLogFiles?: boolean }
  }
  export default function openRolling(options: Options): Promise<SonicBoom>
}
