import type { CallOutcome } from '../../domain/calls/earlier-calls.ts';
import { notFound } from '../../domain/refusal.ts';
import type { CallRow } from '../../store/cars/calls-rows.ts';
import { changeCallRow, findCall, removeCall } from '../../store/cars/calls-rows.ts';
import type { Caller, Context } from '../context/context.ts';

/** A call that was noted. */
export async function showCall(
  { store }: Context,
  { organisationId }: Caller,
  id: string,
): Promise<CallRow> {
  const row = await findCall(store.sql, organisationId, id);
  if (row === null) throw notFound('call');
  return row;
}

/** Puts right what came of a call and what was said; what stood there is in the trail. */
export async function correctCall(
  { store }: Context,
  { organisationId }: Caller,
  id: string,
  call: { readonly outcome: CallOutcome; readonly notes?: string | undefined },
): Promise<CallRow> {
  return store.writeSql(async (sql) => {
    const row = await findCall(sql, organisationId, id);
    if (row === null) throw notFound('call');
    const changed = { ...row, outcome: call.outcome, notes: call.notes ?? null };
    await changeCallRow(sql, changed);
    return changed;
  });
}

/** Takes back a call that was not made; that it stood there is in the trail alone. */
export async function withdrawCall(
  { store }: Context,
  { organisationId }: Caller,
  id: string,
): Promise<void> {
  await store.writeSql(async (sql) => {
    const row = await findCall(sql, organisationId, id);
    if (row === null) throw notFound('call');
    await removeCall(sql, id);
  });
}
