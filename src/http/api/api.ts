import type { Context } from '../../usecases/context/context.ts';
import { noteAuthors, requireKey } from '../gate/keys.ts';
import { answerOnce } from '../gate/once.ts';
import { callRoutes } from './workshop/calls.ts';
import { bounceRoutes } from './post/bounces.ts';
import { carRoutes } from './records/cars.ts';
import { diaryRoutes } from './workshop/diary.ts';
import { faultRoutes } from './workshop/faults.ts';
import { workRoutes } from './workshop/work.ts';
import { feedRoutes } from './workshop/feeds.ts';
import { hardwareRoutes } from './workshop/hardware.ts';
import { letterRoutes } from './post/letters.ts';
import { organisationRoutes } from './workshop/organisation.ts';
import { lifeRoutes } from './workshop/life.ts';
import { linkRoutes } from './records/links.ts';
import { outlookRoutes } from './workshop/outlook.ts';
import { ownerRoutes } from './records/owners.ts';
import { partRoutes } from './workshop/parts.ts';
import { pivotRoutes } from './records/pivots.ts';
import { positionRoutes } from './records/positions.ts';
import { preferenceRoutes } from './records/preferences.ts';
import { refuseStrayQuery } from '../gate/shape-check.ts';
import type { Routes } from '../gate/routes.ts';
import { ruleRoutes } from './records/rules.ts';
import { standingRoutes } from './records/standing.ts';
import { topRoutes } from './records/tops.ts';
import { trailRoutes } from './records/trail.ts';
import { visitRoutes } from './records/visits.ts';
import { warrantyRoutes } from './records/warranties.ts';
import { wordingRoutes } from './post/wording.ts';

/** Everything under /v1: behind a key, never cached, each POST done once under its Idempotency-Key. */
export async function apiRoutes(app: Routes, context: Context): Promise<void> {
  await requireKey(app, context);
  noteAuthors(app, context);
  answerOnce(app, context);
  app.addHook('preValidation', (request, reply, done) => {
    refuseStrayQuery(request);
    // A route may say otherwise; a refusal says it by itself.
    reply.header('cache-control', 'no-store');
    done();
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
    workRoutes,
    hardwareRoutes,
    warrantyRoutes,
    ruleRoutes,
    trailRoutes,
    organisationRoutes,
  ]) {
    routes(app, context);
  }
}
