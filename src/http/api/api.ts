import type { Deed } from '../../usecases/deed.ts';
import { requireKey } from '../keys.ts';
import { answerOnce } from '../once.ts';
import { callRoutes } from './calls.ts';
import { bounceRoutes } from './bounces.ts';
import { carRoutes } from './cars.ts';
import { diaryRoutes } from './diary.ts';
import { faultRoutes } from './faults.ts';
import { feedRoutes } from './feeds.ts';
import { hardwareRoutes } from './hardware.ts';
import { letterRoutes } from './letters.ts';
import { organisationRoutes } from './organisation.ts';
import { lifeRoutes } from './life.ts';
import { linkRoutes } from './links.ts';
import { outlookRoutes } from './outlook.ts';
import { ownerRoutes } from './owners.ts';
import { partRoutes } from './parts.ts';
import { pivotRoutes } from './pivots.ts';
import { positionRoutes } from './positions.ts';
import { preferenceRoutes } from './preferences.ts';
import type { Routes } from './routes.ts';
import { ruleRoutes } from './rules.ts';
import { standingRoutes } from './standing.ts';
import { topRoutes } from './tops.ts';
import { visitRoutes } from './visits.ts';
import { warrantyRoutes } from './warranties.ts';
import { wordingRoutes } from './wording.ts';

/** Everything under /v1: behind a key, never cached, each POST done once under its Idempotency-Key. */
export async function apiRoutes(app: Routes, deed: Deed): Promise<void> {
  requireKey(app, deed);
  answerOnce(app, deed);
  app.addHook('onSend', async (_request, reply, payload) => {
    if (!reply.hasHeader('cache-control')) reply.header('cache-control', 'no-store');
    return payload;
  });
  for (const routes of [
    ownerRoutes,
    preferenceRoutes,
    linkRoutes,
    carRoutes,
    topRoutes,
    pivotRoutes,
    visitRoutes,
    positionRoutes,
    diaryRoutes,
    callRoutes,
    partRoutes,
    lifeRoutes,
    outlookRoutes,
    letterRoutes,
    bounceRoutes,
    standingRoutes,
    wordingRoutes,
    feedRoutes,
    faultRoutes,
    hardwareRoutes,
    warrantyRoutes,
    ruleRoutes,
    organisationRoutes,
  ]) {
    routes(app, deed);
  }
}
