import { readShortBody } from '../shortForm'

/** Says that the server answers, once it has taken in a small body. It asks nothing of the database. */
export async function POST(request: Request): Promise<Response> {
  const body = await readShortBody(request)
  return body instanceof Response ? body : Response.json({ answers: true })
}

export async function GET(): Promise<Response> {
  return Response.json({ answers: true })
}
