import type pg from 'pg'
import { z } from 'zod'
import type { OpenTest } from '@/lib/schedule/occurrences'
import { buildOwedCondition } from '../../projection/sampleConditions'
import { toSqlInstant } from '../../scope/sqlInstant'
import { statement } from '../../scope/statement'

/** SQL: a required sample is reported and has not failed. */
const reportedSql = (of = '') =>
  `${of}stage = 'reported' and ${of}failed_at is null and not ${of}is_unruled and ${buildOwedCondition(of)}`

const THEIRS = '($6::text[] is null or plant = any($6::text[]))'
const UNRULED = `${THEIRS} and is_unruled and ending is distinct from 'cancelled'`
const UNFINISHED = `${THEIRS} and stage is distinct from 'reported' and ending is null and purpose <> 'retained'`
/** Reported, and it may be that this was before its loading. */
const OUT_OF_ORDER =
  "stage = 'reported' and ending is null and purpose <> 'retained' and 'out of order' = any(flags)"

/**
 * The codes of actionable samples. `xmin` is the version of a row: it differs each time the row is written, which happens
 * whenever anything that bears on the sample has changed.
 */
const ACTIONABLE = statement(
  z.object({ code: z.string(), version: z.string() }),
  `with recursive open_test as (
    select * from unnest($2::text[], $3::text[], $4::timestamptz[], $5::timestamptz[])
      as test (product, laboratory, opens_at, closes_at)
  ),
  failing as (
    select code from sample
      left join lateral (select true as is_there from sample other where other.replaces = sample.code
        and other.ending is distinct from 'cancelled' and other.purpose <> 'retained' limit 1) replacement on true
      left join lateral (select true as is_there from sample other where other.code = sample.replaced_by
        and other.plant = sample.plant and other.ending = 'cancelled' limit 1) given_up on true
      left join lateral (select true as is_there from sample other where other.made = sample.made
        and other.issued_at > sample.failed_at and ${reportedSql('other.')} limit 1) later on true
    where ${THEIRS} and sample.failed_at is not null and ${buildOwedCondition('sample.')} and replacement.is_there is null
      and (replaced_by is null or given_up.is_there) and later.is_there is null
  ),
  may_have_lapsed as (
    select distinct made from sample
    where ${UNFINISHED} and (has_lapsed or due_at < $1::timestamptz or failed_at is not null)
    union select made from sample where code = any($7::text[])
    union select made from sample
      where ${UNRULED}
  ),
  asking as (
    select code from sample where ${UNFINISHED}
    union select code from sample where code = any($7::text[])
    union select code from failing
    union select code from sample where ${THEIRS} and ${OUT_OF_ORDER}
    union select replacing.code from sample replaced join sample replacing on replacing.code = replaced.replaced_by
      where ($6::text[] is null or replaced.plant = any($6::text[])) and replaced.failed_at is not null
        and ${buildOwedCondition('replaced.')} and replaced.replaced_by is not null
        and replacing.plant = replaced.plant and replacing.purpose = 'retained'
        and (replacing.is_unruled or replacing.stage is distinct from 'reported')
    union select code from sample
      where ${UNRULED}
    union select last.code from may_have_lapsed cross join lateral (
      select code from sample where made = may_have_lapsed.made and ${reportedSql()} order by issued_at desc limit 1) last
    union select coalesce(settling.code, counting.code) from open_test
      left join lateral (
        select code from sample where made = open_test.product and laboratory = open_test.laboratory
          and issued_at >= opens_at and issued_at < closes_at
          and ${reportedSql()} and ending is null and replaced_by is null and replaces is null
        order by issued_at limit 1) settling on true
      left join lateral (
        select code from sample where settling.code is null and made = open_test.product
          and laboratory = open_test.laboratory
          and issued_at >= opens_at and issued_at < closes_at and ${buildOwedCondition()} offset 0) counting on true
  ),
  wanted as (
    select code, replaces, replaced_by, sample.xmin::text as version from asking join sample using (code)
    union
    select other.code, other.replaces, other.replaced_by, other.version from wanted cross join lateral (
      select code, replaces, replaced_by, xmin::text as version from sample where code in (wanted.replaces, wanted.replaced_by)
      union all select code, replaces, replaced_by, xmin::text from sample where replaces = wanted.code
      union all select code, replaces, replaced_by, xmin::text from sample where replaced_by = wanted.code) other
  )
  select code, version from wanted order by code`,
)

/**
 * The samples that can have something owed or overdue at `now` (ms UTC), of some plants or (null) of all: those neither
 * reported nor ended, those to be cut again and not replaced, those that wait for a ruling, those reported out of order, those that count for one of
 * `tests` whose window is open, and what these replace or are replaced by. Finished samples are not read, however many
 * there are; failed ones cost an index entry. `also` has samples to be judged whether or not they ask for anything. The
 * transaction must see everything.
 *
 * The query decides nothing: it is a superset of the samples about which `judge` asks something, and the judge says what.
 * `tests/store/read/judged/actionableSamples.test.ts` compares them on all samples.
 */
export async function findActionableSamples(
  client: pg.ClientBase,
  plants: readonly string[] | null,
  tests: readonly OpenTest[],
  now: number,
  also: readonly string[] = [],
): Promise<{ code: string; version: string }[]> {
  const text = (at: number | null) => (at === null ? 'infinity' : toSqlInstant(at))
  return ACTIONABLE.all(client, [
    toSqlInstant(now),
    tests.map(({ product }) => product),
    tests.map(({ laboratory }) => laboratory),
    tests.map(({ opensAt }) => text(opensAt)),
    tests.map(({ closesAt }) => text(closesAt)),
    plants,
    also,
  ])
}
