import { AsyncLocalStorage } from 'node:async_hooks';
import { setTimeout as sleep } from 'node:timers/promises';
import type { Span } from '@opentelemetry/api';
import {
  diag,
  DiagLogLevel,
  ROOT_CONTEXT,
  SpanKind,
  SpanStatusCode,
  trace,
} from '@opentelemetry/api';
import { OTLPMetricExporter } from '@opentelemetry/exporter-metrics-otlp-http';
import { OTLPTraceExporter } from '@opentelemetry/exporter-trace-otlp-http';
import { resourceFromAttributes } from '@opentelemetry/resources';
import { MeterProvider, PeriodicExportingMetricReader } from '@opentelemetry/sdk-metrics';
import { BasicTracerProvider, BatchSpanProcessor } from '@opentelemetry/sdk-trace-base';
import type { TelemetrySettings } from './config.ts';
import type { Work } from './usecases/context/watch.ts';
import { WORK } from './usecases/context/watch.ts';
import type { Gauges } from './http/metrics.ts';

export interface Telemetry {
  /** Sends what is left, or gives up soon: a collector that is away keeps nobody from ending. */
  stop(): Promise<void>;
}

interface Sources {
  /** The counts that `/metrics` shows. */
  readonly gauges: () => Promise<Gauges>;
  /** Told once, where the collector takes nothing. */
  readonly onFault: () => void;
}

const LAST_WORDS_MS = 3_000;
// The bounds that the semantic conventions of OpenTelemetry advise for this histogram, in seconds.
const DURATION_BOUNDS = [0.005, 0.01, 0.025, 0.05, 0.075, 0.1, 0.25, 0.5, 0.75, 1, 2.5, 5, 7.5, 10];

/**
 * Sends spans and counts to the collector that the settings name (OTLP over HTTP), from what the program
 * tells of its work. Loaded only where one is set.
 */
export function startTelemetry(
  settings: TelemetrySettings,
  { gauges, onFault }: Sources,
): Telemetry {
  noteFaults(onFault);
  const resource = resourceFromAttributes({ 'service.name': settings.serviceName });
  const spans = settings.traces
    ? new BasicTracerProvider({
        resource,
        spanProcessors: [new BatchSpanProcessor(new OTLPTraceExporter())],
      })
    : null;
  const meters = settings.metrics
    ? new MeterProvider({
        resource,
        readers: [
          new PeriodicExportingMetricReader({
            exporter: new OTLPMetricExporter(),
            exportIntervalMillis: settings.metricsEveryMs,
            exportTimeoutMillis: Math.min(settings.metricsEveryMs, 30_000),
          }),
        ],
      })
    : null;
  const deaf = [
    ...(spans === null ? [] : [spanWork(spans)]),
    ...(meters === null ? [] : [measureRequests(meters)]),
  ];
  if (meters !== null) showGauges(meters, gauges);
  return {
    async stop() {
      for (const stopHearing of deaf) stopHearing();
      const last = Promise.allSettled([spans?.shutdown(), meters?.shutdown()]);
      await Promise.race([last, sleep(LAST_WORDS_MS, undefined, { ref: false })]);
      diag.disable();
    },
  };
}

/** A span for each piece of work, inside that of the work that it is part of. */
function spanWork(provider: BasicTracerProvider): () => void {
  const tracer = provider.getTracer('foldkeep');
  const current = new AsyncLocalStorage<Span>();
  const open = new WeakMap<Work, Span>();
  WORK.start.bindStore(current, (work) => {
    const outer = current.getStore();
    const within = outer === undefined ? ROOT_CONTEXT : trace.setSpan(ROOT_CONTEXT, outer);
    const span = tracer.startSpan(work.name, { kind: KINDS[work.kind] }, within);
    open.set(work, span);
    return span;
  });
  const hearing = {
    start: () => undefined,
    end: () => undefined,
    asyncStart: () => undefined,
    asyncEnd: (work: Work) => {
      const span = open.get(work);
      if (span === undefined) return;
      open.delete(work);
      span.setAttributes(work.facts);
      if (Number(work.facts['http.response.status_code'] ?? 0) >= 500) {
        span.setStatus({ code: SpanStatusCode.ERROR });
      }
      span.end();
    },
    error: (work: Work & { readonly error: unknown }) => {
      // Its kind alone: the words of a fault may hold values.
      work.facts['error.type'] = kindOfFault(work.error);
      open.get(work)?.setStatus({ code: SpanStatusCode.ERROR });
    },
  };
  WORK.subscribe(hearing);
  return () => {
    WORK.unsubscribe(hearing);
    WORK.start.unbindStore(current);
  };
}

const KINDS = {
  request: SpanKind.SERVER,
  statement: SpanKind.CLIENT,
  work: SpanKind.INTERNAL,
} as const;

function kindOfFault(fault: unknown): string {
  if (!(fault instanceof Error)) return 'unknown';
  return 'code' in fault && typeof fault.code === 'string' ? fault.code : fault.name;
}

function measureRequests(meters: MeterProvider): () => void {
  const duration = meters.getMeter('foldkeep').createHistogram('http.server.request.duration', {
    unit: 's',
    advice: { explicitBucketBoundaries: DURATION_BOUNDS },
  });
  const begun = new WeakMap<Work, number>();
  const hearing = {
    start: (work: Work) => {
      if (work.kind === 'request') begun.set(work, performance.now());
    },
    end: () => undefined,
    asyncStart: () => undefined,
    asyncEnd: (work: Work) => {
      const at = begun.get(work);
      if (at !== undefined) duration.record((performance.now() - at) / 1_000, { ...work.facts });
    },
    error: () => undefined,
  };
  WORK.subscribe(hearing);
  return () => WORK.unsubscribe(hearing);
}

function showGauges(meters: MeterProvider, read: () => Promise<Gauges>): void {
  const meter = meters.getMeter('foldkeep');
  const letters = meter.createObservableGauge('foldkeep.letters', {
    description: 'Letters by state.',
  });
  const waiting = meter.createObservableGauge('foldkeep.oldest_due_letter', {
    unit: 's',
    description: 'How long the oldest letter that may leave has waited.',
  });
  const aside = meter.createObservableGauge('foldkeep.owners_set_aside', {
    description: 'Owners for whom the last round could decide or write nothing.',
  });
  meter.addBatchObservableCallback(
    async (result) => {
      // A database that is away leaves a gap; that it is away is said elsewhere.
      const now = await read().catch(() => null);
      if (now === null) return;
      for (const { state, n } of now.states) result.observe(letters, n, { state });
      result.observe(waiting, now.oldestDueSeconds);
      result.observe(aside, now.setAside);
    },
    [letters, waiting, aside],
  );
}

/** The library says what is wrong at every attempt, with addresses; once and without them is enough. */
function noteFaults(onFault: () => void): void {
  let isTold = false;
  const error = () => {
    if (!isTold) onFault();
    isTold = true;
  };
  const silent = () => undefined;
  const logger = { error, warn: silent, info: silent, debug: silent, verbose: silent };
  diag.setLogger(logger, { logLevel: DiagLogLevel.ERROR, suppressOverrideMessage: true });
}
