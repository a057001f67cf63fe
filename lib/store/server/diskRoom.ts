import { statfs } from 'node:fs/promises'

/** The room of the file system that holds a folder, bytes. */
export interface DiskRoom {
  free: number
  total: number
}

/** Null if there is no such folder, or the system cannot tell. `free` is what our user may still fill. */
export async function readDiskRoom(folder: string): Promise<DiskRoom | null> {
  try {
    const { bavail, blocks, bsize } = await statfs(folder)
    return { free: bavail * bsize, total: blocks * bsize }
  } catch {
    return null
  }
}
