/**
 * SQL that joins an event `e` to the newest unplaced ones, newest first: those of each reporter in turn, so that nobody who sends
 * many pushes another's out. `of`: a condition on the event `e` and its row `u` of the unplaced.
 */
export function newestInTurn(of: string, max: number): string {
  return `join (
     select seq from (
       select e.seq, row_number() over (partition by e.reported_by order by e.seq desc) as turn
       from event e join unplaced u on u.event_seq = e.seq where ${of}) as newest
     order by turn, seq desc limit ${max}
   ) as shown using (seq) order by e.seq desc`
}
