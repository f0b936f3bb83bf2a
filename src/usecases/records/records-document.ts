import { z } from 'zod';
import type { Fault } from '../../domain/refusal.ts';
import { invalid, pointerTo, Refused } from '../../domain/refusal.ts';
import { DOCUMENT_FORMAT, DOCUMENT_VERSION } from './export-records.ts';
import { recordFaults } from './record-checks.ts';
import { instant } from './record-fields.ts';
import type { OrganisationRecords, SetRecord } from './record-set.ts';
import { ORGANISATION, RECORD_SETS } from './record-sets.ts';

const sets = Object.fromEntries(
  RECORD_SETS.map(({ name, shape }) => [name, z.array(shape).default([])]),
);
const documentShape = z.strictObject({
  format: z.literal(DOCUMENT_FORMAT),
  version: z.literal(DOCUMENT_VERSION),
  exportedAt: instant,
  organisations: z.array(ORGANISATION.shape.extend(sets)).min(1),
});

/**
 * Reads an export. Every record is held against the rules that hold for the API, and against the
 * records that it refers to; refused with every fault by its JSON pointer.
 */
export function recordsIn(text: string): OrganisationRecords[] {
  const json = parsed(text);
  refuseOtherFormats(json);
  const read = documentShape.safeParse(json);
  if (!read.success) {
    throw new Refused({ kind: 'invalid', faults: read.error.issues.flatMap(faultsOf) });
  }
  const organisations = read.data.organisations.map(splitUp);
  const faults = recordFaults(organisations);
  if (faults.length > 0) throw new Refused({ kind: 'invalid', faults });
  return organisations;
}

function parsed(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch (fault) {
    const [, position] = /position (\d+)/.exec(String(fault)) ?? [];
    const line = text.slice(0, Number(position ?? text.length)).split('\n').length;
    throw invalid(`line ${line}`, 'The file is not JSON from here on. Was it cut off?');
  }
}

function refuseOtherFormats(json: unknown): void {
  const { format, version } = (json ?? {}) as { format?: unknown; version?: unknown };
  if (format !== DOCUMENT_FORMAT) {
    throw invalid('#/format', `Only files that "foldkeep export" wrote can be imported as JSON.`);
  }
  if (typeof version === 'number' && version > DOCUMENT_VERSION) {
    throw invalid('#/version', 'A newer Foldkeep wrote this file. Import it with that version.');
  }
}

function splitUp(whole: SetRecord): OrganisationRecords {
  const names = new Set(RECORD_SETS.map(({ name }) => name));
  return {
    organisation: Object.fromEntries(Object.entries(whole).filter(([name]) => !names.has(name))),
    sets: new Map(
      RECORD_SETS.map(({ name }) => [name, (whole[name] ?? []) as readonly SetRecord[]]),
    ),
  };
}

function faultsOf(issue: z.core.$ZodIssue): Fault[] {
  const pointer = pointerTo(issue.path);
  if (issue.code !== 'unrecognized_keys') return [{ pointer, detail: issue.message }];
  return issue.keys.map((key) => ({
    pointer: pointerTo([...issue.path, key]),
    detail: 'There is no such field. Leave it out.',
  }));
}
