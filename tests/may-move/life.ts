import { programCaller } from '../../src/usecases/context/context.ts';
import type { NewVisit } from '../../src/usecases/visits/record-visit.ts';
import { recordVisit } from '../../src/usecases/visits/record-visit.ts';
import { addDays } from '../../src/domain/calendar/day.ts';
import { browse, linkFor } from '../pages/link-for.ts';
import type { Workshop } from '../setup/workshop.ts';
import { fitted } from '../setup/workshop.ts';
import type { Happening, History } from './histories.ts';
import { BadJoints } from './histories.ts';
import { toldToMove } from './movement-words.ts';

export const START = '2026-06-01';
const HEADINGS = { en: 'Please leave the top', de: 'Bitte lassen Sie das Verdeck' } as const;

/** One car of an organisation of its own, lived through day by day over HTTP. */
export class Life {
  #day = START;
  readonly #bad = new BadJoints();
  #car = { ownerId: '', carId: '', topId: '' };
  #key = '';
  #page = '';
  #silent = 0;
  #round = false;
  #staysFrom: string | null = null;
  stayed = 0;
  /** How many times a letter of its own had said so. */
  toldAlone = 0;

  constructor(
    readonly shop: Workshop,
    readonly history: History,
  ) {}

  async begin(name: string): Promise<void> {
    const { language, powered, material, window, place, salt, fittedOn, phone } = this.history;
    this.#now();
    this.#key = await this.shop.keyFor(name);
    this.shop.key = this.#key;
    if (phone !== null) {
      const at = await this.shop.get('/v1/organisation');
      const etag = { 'if-match': String(at.headers['etag']) };
      await this.shop.call('PATCH', '/v1/organisation', { phone }, etag);
    }
    this.#car = await fitted(this.shop, {
      owner: { language },
      car: { registration: 'STUCK', keeping: { place, salt, use: 'summer' } },
      top: {
        fittedOn,
        framePattern: powered ? 'four-seat-powered' : 'four-seat-manual',
        powered,
        cover: { material },
        window,
        warranties: [{ part: 'seams', months: 13 }],
      },
    });
    this.#page = await linkFor(this.shop, this.#car.ownerId, 'owner-page');
  }

  #now(): void {
    this.shop.setNow(`${this.#day}T09:00:00.000Z`);
  }

  #pass(days: number): void {
    this.#day = addDays(this.#day, days);
    this.#now();
  }

  /** Lets one thing happen; then everything that tells somebody to move a top that must stay. */
  async happen(one: Happening): Promise<string[]> {
    const { carId, topId } = this.#car;
    this.#round = false;
    switch (one.what) {
      case 'visit': {
        const { kind, readings, fault, swayMm, told } = one;
        this.#pass(1);
        const work = {
          kind,
          doneOn: this.#day,
          ...(readings.length > 0 ? { readings } : {}),
          ...(fault === null ? {} : { findings: [{ fault, text: 'as seen' }] }),
          ...(swayMm === null ? {} : { swayMm }),
        };
        if (told) {
          const { status, body } = await this.shop.post(`/v1/tops/${topId}/visits`, work);
          if (status !== 201) throw new Error(JSON.stringify(body));
        } else {
          this.#silent += 1;
          const { organisationId } = await this.shop.context.store.records.car.findUniqueOrThrow({
            where: { id: carId },
          });
          const caller = programCaller(organisationId, 'test');
          await recordVisit(this.shop.context, caller, topId, work as NewVisit, { tell: false });
        }
        this.#bad.visit(kind, readings);
        break;
      }
      case 'position': {
        const { position, damp, coverOn } = one;
        const folded = position === 'folded';
        const said = folded ? { damp, coverOn } : {};
        const at = `${this.#day}T08:00:00Z`;
        await this.shop.post(`/v1/cars/${carId}/position`, { position, at, ...said });
        break;
      }
      case 'booking':
        // A full or closed day is refused, as it should be.
        await this.shop.post(`/v1/tops/${topId}/visits`, {
          kind: one.kind,
          plannedOn: addDays(this.#day, one.days),
        });
        break;
      case 'oiling':
        await browse(this.shop, 'POST', `${this.#page}/cars/${carId}/oiled`, {});
        break;
      case 'days':
        this.#pass(one.days);
        break;
      case 'round':
        await this.shop.post('/v1/round');
        this.#round = true;
        break;
    }
    return this.#faults();
  }

  async #faults(): Promise<string[]> {
    const { mayMove } = (await this.shop.get(`/v1/tops/${this.#car.topId}`)).body;
    const letters = await this.#letters();
    const stays = letters.filter(({ kind }) => kind === 'must-stay');
    // Only what no report told of is worth a letter of its own.
    const often =
      stays.length > this.#silent ? [`told ${stays.length} times of ${this.#silent} finds`] : [];
    if (mayMove.verdict !== 'leave') {
      this.#staysFrom = null;
      const untrue = stays.filter(({ state }) => state === 'planned').map(() => 'must-stay waits');
      if (untrue.length + often.length > 0) return [...untrue, ...often];
      return this.#bad.any ? [`${mayMove.verdict}, though a joint is bad`] : [];
    }
    this.stayed += 1;
    this.#staysFrom ??= this.#day;
    return [
      ...often,
      ...this.#untold(letters),
      ...(await this.#faultsOfLetters()),
      ...(await this.#faultsOfOwnersPages()),
      ...(await this.#faultsOfShopsPages()),
      ...(await this.#faultsOfLists(mayMove.repairOn !== null)),
    ];
  }

  async #letters(): Promise<Letter[]> {
    const { items } = (await this.shop.get('/v1/letters?limit=100')).body;
    return (items as Letter[]).filter(({ state }) => state !== 'cancelled');
  }

  /** Once a round was held, its owner has been told that the top must stay, since it must. */
  #untold(letters: readonly Letter[]): string[] {
    const from = this.#staysFrom ?? this.#day;
    const isTold = letters.some(
      ({ plannedAt, text }) => plannedAt.slice(0, 10) >= from && text.includes(this.#heading),
    );
    if (letters.some(({ kind }) => kind === 'must-stay')) this.toldAlone += 1;
    return this.#round && !isTold ? ['nobody was told that it must stay'] : [];
  }

  async #faultsOfLetters(): Promise<string[]> {
    const waiting = (await this.shop.get('/v1/letters?state=planned&limit=100')).body.items;
    const preview = (await this.shop.post('/v1/round', { dryRun: true })).body.letters;
    const ahead = `from=${this.#day}&to=${addDays(this.#day, 90)}`;
    const forecast = (await this.shop.get(`/v1/forecast?${ahead}`)).body.items;
    const all: Letter[] = [...waiting, ...preview];
    return [...all, ...(forecast as Letter[])]
      .filter(({ kind }) => ['care-note', 'visit-offered'].includes(kind))
      .map(({ kind }) => `${kind} is written, or foreseen`)
      .concat(
        all.flatMap(({ kind, subject, text, html }) => [
          ...[subject, text, html].flatMap(toldToMove).map((told) => `${kind}: ${told}`),
          ...(text.slice(0, 300).includes(this.#heading) ? [] : [`${kind} does not say so first`]),
        ]),
      );
  }

  async #faultsOfOwnersPages(): Promise<string[]> {
    const stop = await linkFor(this.shop, this.#car.ownerId, 'stop', 'folded-limit');
    const pages = [this.#page, `${this.#page}?done=folded`, `${this.#page}/card`];
    const told = await Promise.all(
      [...pages, stop].map(async (path) => {
        const { html } = await browse(this.shop, 'GET', path);
        const isSaid = path === stop || html.includes(this.#heading);
        return [...toldToMove(html), ...(isSaid ? [] : ['nothing of the top that must stay'])].map(
          (fault) => `${path}: ${fault}`,
        );
      }),
    );
    return told.flat();
  }

  async #faultsOfShopsPages(): Promise<string[]> {
    const { carId, topId, ownerId } = this.#car;
    const signedIn = await browse(this.shop, 'POST', '/sign-in', { key: this.#key });
    const cookie = String(signedIn.headers['set-cookie']).split(';')[0] ?? '';
    const pages: readonly (readonly [path: string, says: string])[] = [
      ['/today', 'Must not be moved'],
      [`/cars/${carId}`, HEADINGS.en],
      [`/tops/${topId}`, HEADINGS.en],
      ['/find?q=STUCK', 'must not be moved'],
      [`/owners/${ownerId}`, ''],
      [`/cars/${carId}/fault-finding?frame-jerks=yes&half-litre-stands=yes`, HEADINGS.en],
      [`/cars/${carId}/fault-finding?fits-when-warm=yes&cloth-stays-up=yes`, HEADINGS.en],
      [`/cars/${carId}/work`, HEADINGS.en],
      [`/tops/${topId}/booking?kind=repair`, ''],
      [`/tops/${topId}/visit?kind=lubrication`, HEADINGS.en],
    ];
    const told = await Promise.all(
      pages.map(async ([path, says]) => {
        const { status, html } = await browse(this.shop, 'GET', path, undefined, { cookie });
        return [
          ...toldToMove(html),
          ...(status === 200 ? [] : [`status ${status}`]),
          ...(html.includes(says) ? [] : [`nothing of "${says}"`]),
        ].map((fault) => `${path}: ${fault}`);
      }),
    );
    return told.flat();
  }

  async #faultsOfLists(isBooked: boolean): Promise<string[]> {
    const { items } = (await this.shop.get('/v1/calls')).body;
    const reasons = items.flatMap(({ reason }: { reason: string }) => toldToMove(reason));
    const heads = items[0]?.carId === this.#car.carId && items[0].mustStay === true;
    return [
      ...reasons,
      ...(heads !== isBooked ? [] : ['the calls are not headed as they should be']),
    ];
  }

  get #heading(): string {
    return HEADINGS[this.history.language];
  }
}

interface Letter {
  readonly kind: string;
  readonly state: string;
  readonly plannedAt: string;
  readonly subject: string;
  readonly text: string;
  readonly html: string;
}
