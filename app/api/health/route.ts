import { readShortBody } from '../shortForm'

/** Answers after reading a small body, without the database. */
export async function POST(request: Request): Promise<Response> {
  const body = await readShortBody(request)
  return body instanceof Response ? body : Response.json({ answers: true })
}

export async function GET(): Promise<Response> {
  return Response.json({ answers: true })
}
